import { clock, type Say, sayIn } from "../rules/say.js";
import type { Finding, FlightResult, LogResult, RunToReport } from "../score/result.js";
import { markdownText } from "./escape/markdown-text.js";
import { CAUTION, flightVerdictWord } from "./flight-words.js";
import { linesText } from "./lines-text.js";
import { markdownTable } from "./markdown-table.js";
import { valueText } from "./value-text.js";

/** Units of the prose. */
export interface MarkdownOptions {
  readonly units: "metric" | "imperial";
}

/** @returns the run as a record to keep with a training file, with a page's worth a flight */
export function markdownReport(run: RunToReport, options: MarkdownOptions): string {
  return [...markdownPieces(run, options)].join("");
}

/** `markdownReport` log by log. */
export function* markdownPieces(run: RunToReport, { units }: MarkdownOptions): Generator<string> {
  const say = sayIn(units);
  const version = `Made by homeleg ${markdownText(run.tool_version)}.`;
  yield linesText(["# Recovery audit", "", version, "", ...gateLines(run)]);
  for (const log of run.logs) yield linesText(logLines(log, say));
  yield linesText(["## Cautions", "", markdownText(CAUTION)]);
}

function gateLines({ summary, config }: RunToReport): string[] {
  const { gate } = summary;
  const settings = config.map(({ path, sha256 }) => `- settings: ${markdownText(path)}, SHA-256 \`${sha256}\``);
  return [
    ...(settings.length === 0 ? [] : [...settings, ""]),
    `**Gate ${gate.passed ? "passed" : "not passed"}.**`,
    "",
    ...(gate.reasons.length === 0 ? [] : [...gate.reasons.map(({ message }) => `- ${markdownText(message)}`), ""]),
  ];
}

function logLines(log: LogResult, say: Say): string[] {
  const notes = log.problems.map(({ severity, message, line }) => {
    const place = line === null ? "" : ` (line ${line})`;
    return `- ${severity}${place}: ${markdownText(message)}`;
  });
  return [
    `## ${markdownText(log.path)}`,
    "",
    log.parser === null
      ? "The log could not be read."
      : `SHA-256 \`${log.sha256}\`, ${log.bytes} bytes, ${log.rows} rows.`,
    "",
    ...(log.parser !== null && log.flights.length === 0 ? ["No flight was found in it.", ""] : []),
    ...log.flights.flatMap((flight) => flightLines(flight, say)),
    ...(notes.length === 0 ? [] : ["### About the log", "", ...notes, ""]),
  ];
}

function flightLines(flight: FlightResult, say: Say): string[] {
  const start = flight.start_utc === null ? "" : `, ${flight.start_utc.slice(0, 19).replace("T", " ")} UTC`;
  const coverage = `coverage ${Math.floor(flight.coverage.share * 100)} %`;
  const score = flight.score === null ? "no score for want of coverage" : `score ${flight.score} of 100`;
  const facts = [
    say.duration(flight.airborne_s),
    ...(flight.farthest_m === null ? [] : [`up to ${say.length(flight.farthest_m)} out`]),
    ...(flight.highest_m === null ? [] : [`${say.length(flight.highest_m)} up`]),
    ...(flight.battery_start_pct === null || flight.battery_end_pct === null
      ? []
      : [`battery ${say.percent(flight.battery_start_pct)} to ${say.percent(flight.battery_end_pct)}`]),
  ];
  return [
    `### Flight ${flight.index}: ${flightVerdictWord(flight).toUpperCase()}, ${score}, ${coverage}`,
    "",
    `${clock(flight.start_s)} to ${clock(flight.end_s)}${start}: ${facts.join(", ")}.`,
    "",
    ...scoreLines(flight),
    ...findingLines(flight.findings, say),
    ...givenLines(flight, say),
    ...openLines(flight),
  ];
}

/** The sum of the score, to the cent. */
function scoreLines({ score, points_lost }: FlightResult): string[] {
  if (score === null) return [];
  const rows = Object.entries(points_lost).map(([name, points]) => [markdownText(name), `-${points.toFixed(2)}`]);
  return table(
    "#### How the score adds up",
    ["", "Points"],
    [["from", "100.00"], ...rows, ["score", score.toFixed(2)]],
  );
}

function findingLines(findings: readonly Finding[], say: Say): string[] {
  if (findings.length === 0) return ["No finding.", ""];
  const rows = findings.map((finding) => [
    finding.verdict.toUpperCase() + (finding.by_assumption_alone ? "?" : ""),
    finding.rule,
    `${clock(finding.start_s)} to ${clock(finding.end_s)}`,
    say.duration(finding.duration_s),
    finding.message,
    finding.advice,
    finding.decided_by,
  ]);
  const heads = ["Verdict", "Rule", "When", "Lasted", "What happened", "Next time", "Basis"];
  const question = findings.some(({ by_assumption_alone }) => by_assumption_alone)
    ? ["A question mark: thin by an assumption alone; declared values would settle it.", ""]
    : [];
  return [...table("#### Findings", heads, rows), ...question];
}

function givenLines({ inputs, drain }: FlightResult, say: Say): string[] {
  const rows = Object.entries(inputs).map(([path, { value, unit, basis, from }]) => [
    path,
    typeof value === "string" ? value : valueText(path, value, unit, say),
    basis,
    from,
  ]);
  const rates = (["hover", "climb", "cruise", "descent"] as const).map((regime) => [
    `drain, ${regime}`,
    `${drain[`${regime}_pct_per_min`].toFixed(1)} %/min`,
    drain.basis,
    "",
  ]);
  return table("#### Taken as given", ["Input", "Value", "Basis", "From"], [...rows, ...rates]);
}

function openLines({ not_assessed }: FlightResult): string[] {
  if (not_assessed.length === 0) return [];
  const rows = not_assessed.map(({ rule, missing, share }) => [
    rule,
    share === 1 ? "all of the time" : `${share < 0.01 ? "under 1" : Math.round(share * 100)} % of the time`,
    missing.join("; "),
  ]);
  return table("#### Could not be assessed", ["Rule", "How long", "Wants"], rows);
}

function table(title: string, heads: readonly string[], rows: readonly (readonly string[])[]): string[] {
  return [title, "", ...markdownTable(heads, rows)];
}
