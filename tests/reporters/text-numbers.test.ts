import { readFile } from "node:fs/promises";
import { describe, expect, it } from "vitest";
import {
  auditLog,
  loadSetting,
  type LogResult,
  type RunResult,
  textReport,
  type TextOptions,
} from "../../src/index.js";
import { floored, literally, PrintedText, type Wanted } from "../helpers/printed-text.js";
import { runOf } from "../helpers/run.js";

type Flight = RunResult["logs"][number]["flights"][number];
type Units = TextOptions["units"];

const LOGS = [
  ["fixtures/demo", "1-clean-survey.csv"],
  ["fixtures/demo", "2-walked-away.csv"],
  ["fixtures/demo", "3-behind-the-ridge.csv"],
  ["fixtures/demo", "4-late-into-wind.csv"],
  ["fixtures/demo", "5-bare-track.gpx"],
  ["fixtures/recovery", "flown-home.csv"],
  ["fixtures/zones", "mere.csv"],
] as const;

const audited = new Map<string, Promise<LogResult>>();

/** Each log is audited once in each units: they are in its messages. */
async function runOver(logs: readonly (readonly [string, string])[], units: Units): Promise<RunResult> {
  const results = logs.map(([folder, name]) => {
    const key = `${units} ${folder}/${name}`;
    const result = audited.get(key) ?? audit(folder, name, units);
    audited.set(key, result);
    return result;
  });
  return runOf(await Promise.all(results));
}

async function audit(folder: string, name: string, units: Units): Promise<LogResult> {
  const path = `${folder}/${name}`;
  const setting = await loadSetting({ startFolder: folder, units });
  return (await auditLog(await readFile(path), setting, { path })).result;
}

/** A clock, a duration, a length or a speed as text prints it, as a group. */
const CLOCK = String.raw`(\d+(?::\d\d)+)`;
const LASTS = String.raw`(\d+ min \d\d s|[\d.]+ s)`;
const LENGTH = String.raw`(-?[\d.]+ (?:m|ft))`;
const PERCENT = String.raw`(-?[\d.]+ %)`;

/** The time of day, of a moment of a flight. */
const timeOfDay =
  ({ start_utc, start_s }: Flight, at_s: number): Wanted =>
  (text) => {
    const wanted = new Date(Date.parse(start_utc ?? "") + (at_s - start_s) * 1000).toISOString();
    return wanted.includes(`T${text}.`);
  };

/** Takes what is said of a flight, but for what was taken as given. */
function takeFlight(printed: PrintedText, flight: Flight): void {
  const { findings, score, coverage, points_lost, turnback, share_part } = flight;
  const nothing = Number.NaN;
  printed.words(...findings.flatMap(({ message, advice }) => [message, advice]), ...flight.coverage_hints);
  if (flight.start_utc !== null) printed.words(`${flight.start_utc.slice(0, 19).replace("T", " ")} UTC`);
  printed.numbers(new RegExp(`${LASTS}, ${LENGTH} flown`), [flight.airborne_s, flight.distance_flown_m ?? nothing]);
  printed.numbers(new RegExp(`up to ${LENGTH} out`), [flight.farthest_m ?? nothing]);
  printed.numbers(new RegExp(`${LENGTH} up, battery ${PERCENT} to ${PERCENT}`), [
    flight.highest_m ?? nothing,
    flight.battery_start_pct ?? nothing,
    flight.battery_end_pct ?? nothing,
  ]);
  printed.numbers(new RegExp(`${LENGTH} up (?=[A-Z])`), [flight.highest_m ?? nothing]);
  printed.numbers(/score (\d+) of 100/, [score ?? nothing]);
  printed.numbers(new RegExp(`coverage ${PERCENT}`), [floored(coverage.share)]);
  printed.numbers(new RegExp(`[Ff]or ${LASTS} of this flight|All but for ${LASTS}`), [flight.fail_s, flight.fail_s]);
  printed.numbers(new RegExp(`turn back with the reserve kept: ${CLOCK}(?:, ${LASTS} before it did)?`), [
    turnback?.last_safe_s ?? nothing,
    turnback?.outbound_after_s ?? nothing,
  ]);
  printed.numbers(new RegExp(`${CLOCK} [─▒█·]+ ${CLOCK}`), [flight.start_s, flight.end_s]);
  const spans = findings.map(({ start_s, end_s, duration_s, worst }): Wanted[] => [
    start_s,
    end_s,
    duration_s,
    worst.at_s,
    timeOfDay(flight, worst.at_s),
  ]);
  printed.numbers(
    new RegExp(`${CLOCK}(?:–${CLOCK})?, ${LASTS}(?:, worst at ${CLOCK} \\((\\d\\d:\\d\\d:\\d\\d) UTC\\))?`),
    ...spans,
  );
  const totals = new Map<string, { total_s: number; first_s: number }>();
  for (const { rule, duration_s, start_s } of findings.filter(({ by_assumption_alone }) => by_assumption_alone)) {
    const before = totals.get(rule);
    totals.set(rule, { total_s: (before?.total_s ?? 0) + duration_s, first_s: before?.first_s ?? start_s });
  }
  for (const [rule, { total_s, first_s }] of totals) {
    printed.numbers(new RegExp(`${rule} for ${LASTS} from ${CLOCK}, by an assumption`), [total_s, first_s]);
  }
  for (const one of flight.not_assessed) {
    printed.numbers(new RegExp(`${one.rule} \\(([\\d]+) % of the time\\)`), [100 * one.share]);
    printed.words(`${one.rule} (under 1 % of the time)`, ...one.missing);
  }
  takeScore(printed, points_lost, score, share_part);
  takeFlown(printed, flight);
}

/** The sum of the score: each line is rounded so that the lines add up. */
function takeScore(
  printed: PrintedText,
  points_lost: Flight["points_lost"],
  score: number | null,
  share_part: number | null,
): void {
  const near =
    (wanted: number | null): Wanted =>
    (text) =>
      Math.abs(Number(text) - (wanted ?? Number.NaN)) <= 0.0101;
  printed.words("100.00 every moment clear", "cap: a failing stretch, so at most 59");
  printed.numbers(/= (\d+\.\d\d) share part/, [near(share_part)]);
  printed.numbers(/= (\d+\.\d\d) score/, [near(score)]);
  printed.numbers(/- (\d+\.\d\d) ¶/, [near(points_lost["cap"] ?? null)]);
  printed.numbers(/- (\d+\.\d\d) rounding down/, [near(points_lost["rounding"] ?? null)]);
  for (const [rule, points] of Object.entries(points_lost)) {
    printed.numbers(new RegExp(`- (\\d+\\.\\d\\d) ${rule}`), [near(points)]);
  }
}

function takeFlown(printed: PrintedText, { recoveries_flown }: Flight): void {
  for (const { start_s, end_s, actual, predicted } of recoveries_flown) {
    const values = [
      start_s,
      end_s,
      actual.used_pct,
      actual.time_s,
      actual.height_m,
      actual.ended_m_from_point,
      actual.path_ratio,
      predicted.need_middle_pct,
      predicted.need_upper_pct,
      predicted.time_s,
      predicted.height_m,
    ].map((value) => value ?? Number.NaN);
    const taken = printed.numbers(
      new RegExp(
        `Recovery flown ${CLOCK}–${CLOCK} \\([^)]*\\): used ${PERCENT} in ${LASTS} at up to ${LENGTH}, landed ${LENGTH} from the point, ` +
          `way ([\\d.]+) of the straight line; rehearsed ${PERCENT}, at most ${PERCENT}, in ${LASTS} at ${LENGTH}\\.`,
      ),
      values,
    );
    expect(taken).toBe(1);
  }
}

/** Takes the table of what was taken as given: every row is there, each with its value. */
function takeGiven(printed: PrintedText, { inputs, drain, drain_fitted }: Flight): void {
  const withoutFolder = (from: string): string => from.replaceAll(/[^\s(]*\/(?=[^/\s]+:\d+)/g, "");
  for (const [path, { value, unit, basis, from }] of Object.entries(inputs)) {
    const row = (cell: string): RegExp =>
      new RegExp(
        ` ${literally(path)} ${cell} ${literally(`${basis}, ${withoutFolder(from)}`.replaceAll(/\s+/g, " "))}`,
      );
    const isText = typeof value === "string";
    const scale =
      unit === "m" || unit === "m/s" ? String.raw`(-?[\d.]+ (?:m|ft|m/s|kt|ft/min))` : String.raw`(-?[\d.]+)\S*.{0,6}?`;
    const taken = isText
      ? printed.numbers(row(literally(value.replaceAll(/\s+/g, " "))), [])
      : printed.numbers(row(scale), [value]);
    expect(taken, path).toBe(1);
  }
  for (const [name, rates] of [
    ["drain", drain],
    ["drain flown", drain_fitted],
  ] as const) {
    if (rates === null) continue;
    const values = [
      rates.hover_pct_per_min,
      rates.climb_pct_per_min,
      rates.cruise_pct_per_min,
      rates.descent_pct_per_min,
    ];
    const taken = printed.numbers(new RegExp(` ${name} ([\\d.]+)/([\\d.]+)/([\\d.]+)/([\\d.]+)`), values);
    expect(taken, name).toBe(1);
  }
  printed.words(withoutFolder(drain.from));
  printed.numbers(/spread ([\d.]+) %/, [drain.spread_pct]);
}

function takeRun(printed: PrintedText, { summary, logs }: RunResult): void {
  printed.words(...summary.gate.reasons.map(({ message }) => message));
  printed.numbers(new RegExp(`(\\d+) logs?, (\\d+) flights?, ${LASTS} in the air, (\\d+) findings?`), [
    summary.logs,
    summary.flights,
    summary.airborne_s,
    summary.findings,
  ]);
  printed.numbers(/lowest score (\d+), median (\d+(?:\.\d+)?)/, [
    summary.score_min ?? Number.NaN,
    summary.score_median ?? Number.NaN,
  ]);
  for (const { path, problems } of logs) {
    printed.words(path, ...problems.map(({ message }) => message));
    printed.numbers(/(?:note|warning|error): line (\d+)/, ...problems.map(({ line }) => [line ?? Number.NaN]));
  }
}

const LOOK: TextOptions = { color: 0, ascii: false, width: 80, units: "metric", quiet: false, explainScore: true };

describe.each<Units>(["metric", "imperial"])("the text report, %s", (units) => {
  it.each(LOGS)("prints no number of %s/%s that the JSON has not", async (...log) => {
    const run = await runOver([log], units);
    const printed = new PrintedText(textReport(run, { ...LOOK, units }));
    const [flight] = run.logs[0]?.flights ?? [];
    if (flight === undefined) throw new Error("each of these logs has a flight");
    takeGiven(printed, flight);
    takeRun(printed, run);
    takeFlight(printed, flight);
    printed.done();
  });
});

describe("the text report of several logs", () => {
  it("prints no number that the JSON has not, in full and quiet", async () => {
    const run = await runOver(LOGS.slice(0, 5), "metric");
    const [text = "", ...rest] = textReport(run, LOOK)
      .split(/^=+\n(?=fixtures)/m)
      .slice(1);
    const tail = rest[rest.length - 1] ?? "";
    const parts = [text, ...rest];
    expect(parts).toHaveLength(run.logs.length);
    parts.forEach((part, i) => {
      const printed = new PrintedText(part);
      const flight = run.logs[i]?.flights[0];
      if (flight === undefined) throw new Error("each of these logs has a flight");
      takeRun(printed, run);
      takeFlight(printed, flight);
      printed.done();
    });
    expect(tail).toContain("5 logs, 5 flights");
    const lines = textReport(run, { ...LOOK, quiet: true }).split("\n");
    run.logs.forEach(({ path, flights }, i) => {
      const printed = new PrintedText(lines[i] ?? "");
      printed.words(path);
      const share = flights[0]?.coverage.share ?? Number.NaN;
      printed.numbers(/score +(\d+) coverage +(\d+ %)/, [flights[0]?.score ?? Number.NaN, floored(share)]);
      printed.numbers(/score -- coverage +(\d+ %)/, [floored(share)]);
      printed.done();
    });
  });
});
