import type { Finding, FlightResult, LogResult, RunToReport } from "../score/result.js";
import { xmlText } from "./escape/xml-text.js";
import { OPEN_UNDER_SHARE } from "./flight-words.js";
import { linesText } from "./lines-text.js";

/** What a build server is to count as a failure. */
export interface JunitOptions {
  /** `thin`: thin findings fail their case too. */
  readonly gate: "fail" | "thin";
}

interface Case {
  readonly name: string;
  readonly group: string;
  /** Why it is no plain pass: the mildest that fits. */
  readonly outcome?: {
    readonly kind: "skipped" | "failure" | "error";
    readonly message: string;
    readonly text: string;
  };
  readonly out?: string;
}

interface Suite {
  readonly name: string;
  /** The attribute that says when; undefined where no flight has a date. */
  readonly start: string | undefined;
  readonly facts: readonly string[];
  readonly cases: readonly Case[];
}

/**
 * @returns JUnit XML: a suite a log, a case a rule of each flight; a rule that could not be asked, or did not arise, is
 *   skipped with the reason. A last suite has the gate of the run
 */
export function junitReport(run: RunToReport, options: JunitOptions): string {
  return [...junitPieces(run, options)].join("");
}

/** `junitReport` suite by suite. Its head counts what follows, so that all suites are made twice. */
export function* junitPieces(run: RunToReport, options: JunitOptions): Generator<string> {
  const all = { tests: 0, failures: 0, errors: 0 };
  for (const { cases } of suitesOf(run, options)) {
    all.tests += cases.length;
    all.failures += count(cases, "failure");
    all.errors += count(cases, "error");
  }
  yield linesText(['<?xml version="1.0" encoding="UTF-8"?>', `<testsuites name="homeleg"${countsText(all)}>`]);
  for (const suite of suitesOf(run, options)) yield linesText(suiteLines(suite));
  yield linesText(["</testsuites>"]);
}

function* suitesOf(run: RunToReport, options: JunitOptions): Generator<Suite> {
  for (const log of run.logs)
    yield { name: log.path, start: startOf(log), facts: factsOf(log), cases: casesOf(log, options) };
  yield { name: "gate of the run", start: undefined, facts: [], cases: [gateCase(run)] };
}

function suiteLines({ name, start, facts, cases }: Suite): string[] {
  const all = { tests: cases.length, failures: count(cases, "failure"), errors: count(cases, "error") };
  return [
    `  <testsuite name="${xmlText(name)}"${countsText(all)} skipped="${count(cases, "skipped")}"${start ?? ""}>`,
    ...(facts.length === 0 ? [] : ["    <properties>", ...facts, "    </properties>"]),
    ...cases.flatMap(caseLines),
    "  </testsuite>",
  ];
}

function countsText({ tests, failures, errors }: Record<"tests" | "failures" | "errors", number>): string {
  return ` tests="${tests}" failures="${failures}" errors="${errors}"`;
}

function count(cases: readonly Case[], kind: string): number {
  return cases.filter(({ outcome }) => outcome?.kind === kind).length;
}

/** The schema's dateTime has no zone of its own; the time is UTC. */
function startOf({ flights }: LogResult): string | undefined {
  const start = flights[0]?.start_utc;
  return start === null || start === undefined ? undefined : ` timestamp="${start.slice(0, 19)}"`;
}

function factsOf({ flights, sha256, parser }: LogResult): string[] {
  const fact = (name: string, value: string | number): string =>
    `      <property name="${xmlText(name)}" value="${xmlText(String(value))}"/>`;
  return [
    ...(parser === null ? [] : [fact("sha256", sha256)]),
    ...flights.flatMap(({ index, score, coverage }) => [
      fact(`flight ${index} score`, score ?? "none, for want of coverage"),
      fact(`flight ${index} coverage_share`, coverage.share),
    ]),
  ];
}

function casesOf(log: LogResult, options: JunitOptions): Case[] {
  const group = log.path;
  if (log.parser === null) {
    const message = log.problems[0]?.message ?? "could not be read";
    return [{ name: "log is read", group, outcome: { kind: "error", message, text: message } }];
  }
  if (log.flights.length === 0) {
    const message = "no flight was found in this log";
    return [{ name: "log holds a flight", group, outcome: { kind: "skipped", message, text: message } }];
  }
  return log.flights.flatMap((flight) =>
    Object.keys(flight.coverage.rules).map((rule) => ({
      name: `flight ${flight.index}: ${rule}`,
      group,
      ...answerOf(rule, flight, options),
    })),
  );
}

function answerOf(rule: string, flight: FlightResult, { gate }: JunitOptions): Pick<Case, "outcome" | "out"> {
  const findings = flight.findings.filter((finding) => finding.rule === rule);
  const failing = findings.filter(({ verdict }) => verdict === "fail" || gate === "thin");
  const open = openText(rule, flight);
  const [worst] = failing.filter(({ verdict }) => verdict === "fail").concat(failing);
  const notes = [...findings.map(findingText), ...(open === undefined ? [] : [open])].join("\n");
  if (worst !== undefined) {
    return { outcome: { kind: "failure", message: `${worst.verdict}: ${worst.message}`, text: notes } };
  }
  const share = flight.coverage.rules[rule];
  if (share === null) {
    const message = "n/a: the question does not arise in this flight";
    return { outcome: { kind: "skipped", message, text: message } };
  }
  const out = notes === "" ? {} : { out: notes };
  if (open === undefined || (share !== undefined && share >= OPEN_UNDER_SHARE)) return out;
  // Unknown is never clear, whatever the rest of the flight says.
  return { outcome: { kind: "skipped", message: open, text: open }, ...(findings.length > 0 ? out : {}) };
}

function openText(rule: string, { not_assessed }: FlightResult): string | undefined {
  const open = not_assessed.find((one) => one.rule === rule);
  if (open === undefined) return undefined;
  const part = open.share === 1 ? "" : ` for a share of ${open.share} of the time`;
  return `unknown${part}: wants ${open.missing.join("; ")}`;
}

function findingText({ verdict, start_s, end_s, worst, message, advice, decided_by }: Finding): string {
  const where = `${verdict} from ${start_s} s to ${end_s} s, worst at ${worst.at_s} s`;
  return `${where}: ${message} Basis: ${decided_by}. Next time: ${advice}`;
}

function gateCase({ summary }: RunToReport): Case {
  const { passed, reasons } = summary.gate;
  const head = { name: "gate", group: "homeleg" };
  if (passed) return head;
  const texts = reasons.map(({ message }) => message);
  return { ...head, outcome: { kind: "failure", message: texts[0] ?? "not passed", text: texts.join("\n") } };
}

function caseLines({ name, group, outcome, out }: Case): string[] {
  const head = `    <testcase name="${xmlText(name)}" classname="${xmlText(group)}"`;
  if (outcome === undefined && out === undefined) return [`${head}/>`];
  const type = outcome?.kind === "skipped" ? "" : ` type="${outcome?.kind ?? ""}"`;
  return [
    `${head}>`,
    ...(outcome === undefined
      ? []
      : [
          `      <${outcome.kind} message="${xmlText(outcome.message)}"${type}>${lines(outcome.text)}</${outcome.kind}>`,
        ]),
    ...(out === undefined ? [] : [`      <system-out>${lines(out)}</system-out>`]),
    "    </testcase>",
  ];
}

/** Line ends between texts are ours; those within one are escaped. */
function lines(text: string): string {
  return text.split("\n").map(xmlText).join("\n");
}
