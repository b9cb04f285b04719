// The example of each rule's page: a finding of a real run over the bundled invented flights, one entry a rule, by its id.
// `rows` and `from` make a log of their own where none of those has such a finding: columns of a CSV by time.
import { readFile } from "node:fs/promises";
import { auditLog, loadSetting, textReport, summarize } from "../dist/index.js";

const DEMO = "fixtures/demo";
const ZONES = { folder: "fixtures/zones", log: "fixtures/zones/mere.csv" };
const LATE = { log: `${DEMO}/4-late-into-wind.csv` };

export const EXAMPLES = {
  "reserve-short": LATE,
  "headwind-stall": { log: `${DEMO}/4-late-into-wind.csv`, sets: ["aircraft.speeds.recovery=6.5m/s"] },
  "ceiling-low": { log: `${DEMO}/3-behind-the-ridge.csv` },
  "point-adrift": { log: `${DEMO}/2-walked-away.csv` },
  "fix-weak": {
    log: `${DEMO}/1-clean-survey.csv`,
    change: (row) => ({ ...row, satellites: row.at > 150 && row.at < 165 ? "6" : row.satellites }),
  },
  "turnback-late": LATE,
  "reserve-floor": LATE,
  "point-late": {
    log: `${DEMO}/1-clean-survey.csv`,
    change: (row) => ({ ...row, satellites: row.at < 40 ? "9" : row.satellites }),
  },
  "overhead-cover": ZONES,
  "keepout-crossed": ZONES,
  "action-unsuited": { ...ZONES, sets: ["settings.lost_link_action=land"] },
  "point-unsafe": { ...ZONES, sets: ["recovery_point={latitude: 47.1305, longitude: 8.2418}"] },
  "cell-sag": { ...LATE, sets: ["aircraft.battery.cells=4", "aircraft.battery.cell_floor=3.5V"] },
  "recovery-flown": {
    folder: "fixtures/recovery",
    log: "fixtures/recovery/flown-home.csv",
    sets: ["aircraft.drain={hover: 2, climb: 2, cruise: 2, descent: 2}"],
  },
  "ceiling-high": { log: `${DEMO}/3-behind-the-ridge.csv`, sets: ["settings.recovery_height=130m"] },
  "link-fading": {
    log: `${DEMO}/1-clean-survey.csv`,
    change: (row) => ({ ...row, link_pct: row.at > 200 && row.at < 209 ? "14" : "85" }),
  },
  "record-gap": {
    log: `${DEMO}/1-clean-survey.csv`,
    change: (row) => (row.at > 120 && row.at < 150 ? undefined : row),
  },
};

const LOOK = { color: 0, ascii: false, width: 80, units: "metric", quiet: false, explainScore: false };

/** @returns the example of a rule as a block of text, with what it was made from; undefined where there is no entry */
export async function exampleOf(id) {
  const example = EXAMPLES[id];
  if (example === undefined) return undefined;
  const { folder = DEMO, log, sets = [], change } = example;
  const setting = await loadSetting({ startFolder: folder, sets });
  const text = await readFile(log, "utf8");
  const bytes = new TextEncoder().encode(change === undefined ? text : changed(text, change));
  const { result } = await auditLog(bytes, setting, { path: log });
  const lines = findingOf(id, result);
  const options = sets.map((set) => (set.includes(" ") ? ` --set '${set}'` : ` --set ${set}`)).join("");
  const how =
    change === undefined
      ? `An invented flight: \`homeleg audit ${log}${options}\`.`
      : `An invented flight: \`${log}\`, with its columns changed for this page.`;
  return [how, "", "```text", ...lines, "```"].join("\n");
}

/** The lines of the text report that tell the findings of one rule, whether on their own or as another's same cause. */
function findingOf(id, log) {
  const flights = log.flights.map((flight) => ({
    ...flight,
    findings: flight.findings.filter(({ rule }) => rule === id).map((finding) => ({ ...finding, related: [] })),
  }));
  if (flights.every(({ findings }) => findings.length === 0))
    throw new Error(`the example of ${id} has no finding of it`);
  const logs = [{ ...log, flights }];
  const run = {
    format: "homeleg-result",
    format_version: 1,
    tool_version: "",
    config: [],
    logs,
    summary: summarize(logs),
  };
  const lines = textReport(run, LOOK).split("\n");
  const from = lines.findIndex((line) => /^(FAIL|THIN) {2}[a-z]+-[a-z]+/.test(line));
  const to = lines.findIndex((line, i) => i > from && line === "");
  return lines.slice(from, to);
}

/** A CSV with rows changed or left out; `at` is the time in s from its first row. */
function changed(text, change) {
  const [head = "", ...rows] = text.trimEnd().split(/\r?\n/);
  const names = head.split(",");
  let start;
  const out = rows.flatMap((line) => {
    const row = Object.fromEntries(line.split(",").map((cell, i) => [names[i], cell]));
    const time = timeOf(row);
    start ??= time;
    const next = change({ ...row, at: time - start });
    if (next === undefined) return [];
    const { at: _, ...cells } = next;
    return [cells];
  });
  const keys = Object.keys(out[0] ?? {});
  return [keys.join(","), ...out.map((row) => keys.map((key) => row[key]).join(",")), ""].join("\n");
}

function timeOf(row) {
  const [[, first]] = Object.entries(row);
  const plain = Number(first);
  return Number.isNaN(plain) ? Date.parse(first) / 1000 : plain;
}
