import { floor } from "../score/signoff-words.js";
import type { SignoffRecord } from "../score/signoff-record.js";
import { markdownText } from "./escape/markdown-text.js";
import { markdownTable } from "./markdown-table.js";
import {
  assumedText,
  flightFacts,
  flightName,
  foundValue,
  foundWord,
  requirementValue,
  totalsText,
} from "./signoff-facts.js";

/** @returns a sign-off to keep with a training file: every requirement, flight and file with its hash, room to sign */
export function signoffMarkdown(record: SignoffRecord): string {
  const { passed, trainee, instructor, remark, sets } = record;
  const people = [
    ["Trainee", trainee ?? "not named"],
    ["Instructor", instructor ?? "not named"],
    ...(remark === null ? [] : [["Remark", remark]]),
    ...(sets.length === 0 ? [] : [["Set over the policy", sets.join(", ")]]),
  ];
  const lines = [
    "# Sign-off record",
    "",
    `**${passed ? "MET" : "NOT MET"}.** ${markdownText(totalsText(record))} Made by homeleg ${markdownText(record.tool_version)}.`,
    "",
    ...people.map(([what = "", text = ""]) => `- ${what}: ${markdownText(text)}`),
    "",
    ...requirementLines(record),
    ...flightLines(record),
    ...siteLines(record),
    "## Assumed",
    "",
    markdownText(assumedText(record)),
    "",
    ...fileLines(record),
    "## Cautions",
    "",
    ...record.cautions.map((caution) => `- ${markdownText(caution)}`),
    "",
    "## Signatures",
    "",
    ...markdownTable(
      ["", "Name", "Date", "Signature"],
      [
        ["Trainee", trainee ?? "", "", ""],
        ["Instructor", instructor ?? "", "", ""],
      ],
    ),
  ];
  return lines.join("\n");
}

function requirementLines({ requirements }: SignoffRecord): string[] {
  const rows = requirements.map((one) => [
    one.met ? "met" : "NOT MET",
    one.message,
    requirementValue(one, one.required),
    `${foundWord(one)} ${foundValue(one)}`.trim(),
    one.exceptions.join("; "),
  ]);
  return [
    "## Requirements",
    "",
    ...markdownTable(["Verdict", "Requirement", "Asked for", "Found", "Not met by"], rows),
  ];
}

function flightLines({ logs }: SignoffRecord): string[] {
  const rows = logs.flatMap((log) => {
    if (log.unread !== null) return [[log.path, "not read", "", "", "", "", log.unread]];
    if (log.flights.length === 0) return [[log.path, "no flight", "", "", "", "", ""]];
    return log.flights.map((flight) => {
      const { state, day, minutes, score, coverage } = flightFacts(flight);
      const rules = Object.entries(flight.must_be_clear).map(([rule, verdict]) => `${rule} ${verdict}`);
      const counts = flight.copy_of === null ? rules.join(", ") : `another recording of ${flight.copy_of}`;
      return [flightName(log, flight), state, day, minutes, score, coverage, counts];
    });
  });
  const heads = ["Flight", "Verdict", "Day (UTC)", "In the air", "Score", "Coverage", "Rules that must be clear"];
  return ["## Flights", "", ...markdownTable(heads, rows)];
}

function siteLines({ sites }: SignoffRecord): string[] {
  if (sites.length === 0) return [];
  const rows = sites.map(({ latitude_deg, longitude_deg, flights, minutes }) => [
    latitude_deg.toFixed(5),
    longitude_deg.toFixed(5),
    String(flights),
    `${floor(minutes, 1)} min`,
  ]);
  return ["## Sites", "", ...markdownTable(["Latitude", "Longitude", "Flights", "In the air"], rows)];
}

function fileLines({ logs, files, digest }: SignoffRecord): string[] {
  const rows = [
    ...logs.map(({ path, sha256, unread }) => [path, unread === null ? "log" : "log, not read", sha256]),
    ...files.map(({ path, sha256 }) => [path, "settings or site", sha256]),
  ];
  return [
    "## Files that were read",
    "",
    ...markdownTable(["File", "What it is", "SHA-256"], rows),
    `Digest of the record as JSON: \`${digest}\`.`,
    "",
  ];
}
