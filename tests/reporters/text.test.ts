import { describe, expect, it } from "vitest";
import { printable, wrap } from "../../src/reporters/text-style.js";
import { textReport, type TextOptions } from "../../src/reporters/text.js";
import { ALL_KNOWN, shortReplay } from "../helpers/moments.js";
import { landed, outAndBack } from "../helpers/flights.js";
import { LATE, logOf, runOf } from "../helpers/run.js";

const PLAIN: TextOptions = { color: 0, ascii: false, width: 80, units: "metric", quiet: false, explainScore: false };
const SPEEDS = { recovery: 10, climb: 3, descent: 3, landing: 0.8 };
const late = runOf([
  logOf(LATE, { ...ALL_KNOWN, speeds: SPEEDS, drain: { hover: 6, climb: 6, cruise: 6, descent: 6 } }),
]);

describe("the text report", () => {
  it("fits 80 columns, without colour codes", () => {
    const lines = textReport(late, PLAIN).split("\n");
    for (const line of lines) expect(line.length, line).toBeLessThanOrEqual(80);
    // oxlint-disable-next-line no-control-regex
    expect(lines.join("")).not.toMatch(/\u001b/);
  });

  it("fits 80 columns with a value that is longer than its place", () => {
    const [log] = late.logs;
    const [flight] = log?.flights ?? [];
    if (log === undefined || flight === undefined) throw new Error("the run has a flight");
    const value = "sites/a-place-far-from-here/hill.asc (Esri ASCII grid, EPSG:4326, 11 m)";
    const file = { value, unit: "", basis: "declared", from: "homeleg.yaml:23" } as const;
    const inputs = { ...flight.inputs, "site.terrain.file": file };
    const lines = textReport(runOf([{ ...log, flights: [{ ...flight, inputs }] }]), PLAIN).split("\n");
    for (const line of lines) expect(line.length, line).toBeLessThanOrEqual(80);
    const from = lines.findIndex((line) => line.includes("site.terrain.file"));
    const told = lines
      .slice(from, from + 4)
      .join(" ")
      .replaceAll(/ +/g, " ");
    expect(told).toContain(`site.terrain.file ${value} declared, homeleg.yaml:23`);
  });

  it("says verdict, score, coverage, findings, what was given, and the cautions", () => {
    const text = textReport(late, PLAIN);
    expect(text).toMatch(/^FAIL {2}score \d+ of 100, coverage \d+ %$/m);
    expect(text).toMatch(/^FAIL {2}reserve-short/m);
    expect(text).toMatch(/Next time: /);
    expect(text).toMatch(/same cause, fail under turnback-late/);
    expect(text).toMatch(/^Taken as given$/m);
    expect(text).toMatch(/settings\.recovery_height +50 m +declared/);
    expect(text).toMatch(/obstacle sensing +not counted on/);
    expect(text).toMatch(/advice, not clearance/);
  });

  it("prints a sum of the score that adds up to the hundredth, with one bill for one cause", () => {
    const flight = late.logs[0]?.flights[0];
    const text = textReport(late, { ...PLAIN, explainScore: true });
    const sum = text.slice(text.indexOf("How the score adds up"));
    const taken = [...sum.matchAll(/^ {2}- +(\d+\.\d\d) {2}\S/gm)].map(([, points]) =>
      Math.round(Number(points) * 100),
    );
    expect(taken).toHaveLength(Object.keys(flight?.points_lost ?? {}).length);
    expect(10_000 - taken.reduce((total, points) => total + points, 0)).toBe((flight?.score ?? 0) * 100);
    expect(sum).toMatch(new RegExp(`^  = +${(flight?.share_part ?? 0).toFixed(2)}  share part`, "m"));
    expect(sum).toMatch(new RegExp(`^  = +${(flight?.score ?? 0).toFixed(2)}  score$`, "m"));
    expect(sum).toMatch(/One cause, one bill: turnback-late and reserve-floor have the cause of\s+reserve-short/);
  });

  it("names what conduct costs apart from what the moments lost", () => {
    const gap = LATE.filter(({ time_s }) => time_s < 100 || time_s > 130);
    const flight = runOf([
      logOf(
        gap.filter(({ time_s }) => time_s < 300),
        ALL_KNOWN,
      ),
    ]);
    const text = textReport(flight, { ...PLAIN, explainScore: true });
    expect(text).toMatch(/share part[^\n]*\n {2}- +2\.00 {2}record-gap \(conduct\)/);
  });

  it("uses only ASCII where asked, and marks verdicts by sign as well as by colour", () => {
    const text = textReport(late, { ...PLAIN, ascii: true });
    expect(text).toMatch(/^[\n\u0020-\u007e]*$/);
    expect(text).toMatch(/^\d\d:\d\d [-+#.]+ \d\d:\d\d$/m);
    expect(textReport(late, PLAIN)).toMatch(/^\d\d:\d\d [─▒█·]+ \d\d:\d\d$/m);
    // oxlint-disable-next-line no-control-regex
    expect(textReport(late, { ...PLAIN, color: 3 })).toMatch(/\u001b\[/);
  });

  it("gives lengths in feet and speeds in knots where asked", () => {
    const text = textReport(late, { ...PLAIN, units: "imperial" });
    expect(text).toMatch(/ft flown/);
    expect(text).toMatch(/aircraft\.speeds\.recovery +19\.4 kt/);
  });

  it("is one line a flight when quiet", () => {
    const lines = textReport(late, { ...PLAIN, quiet: true }).split("\n");
    expect(lines[0]).toMatch(/^FAIL {4}score +\d+ {2}coverage +\d+ % {2}invented\.csv {2}reserve-short/);
  });

  it("says what to declare for a finding that only an assumption makes", () => {
    const rows = landed(
      outAndBack({
        course_deg: 0,
        out_ms: 8,
        outFor_s: 140,
        back_ms: 8,
        height_m: 40,
        battery_pct: 70,
        rate_pctPerMin: 7,
        step_s: 1,
      }),
    );
    const { wind: _, ...given } = ALL_KNOWN;
    const run = runOf([
      logOf(rows, { ...given, speeds: SPEEDS, drain: { hover: 7, climb: 7, cruise: 7, descent: 7 } }),
    ]);
    expect(run.logs[0]?.flights[0]?.findings).toMatchObject([
      { rule: "reserve-short", verdict: "thin", decided_by: "assumed" },
    ]);
    const text = textReport(run, PLAIN).replace(/\s+/g, " ");
    expect(text).toMatch(/thin\? reserve-short for .* by an assumption alone: declare wind to know\./);
  });

  it("lists the lines of homeleg.yaml that lift the coverage", () => {
    const bare = outAndBack({
      course_deg: 0,
      out_ms: 8,
      outFor_s: 60,
      back_ms: 8,
      height_m: 40,
      battery_pct: 70,
      rate_pctPerMin: 7,
      step_s: 1,
    });
    const text = textReport(runOf([logOf(bare, {})]), PLAIN);
    expect(text).toMatch(/^UNKNOWN {2}no score, coverage \d+ %$/m);
    expect(text).toContain("operator: at-takeoff");
    expect(text).toMatch(/^Could not be assessed$/m);
  });

  it("is brief for each of several logs", () => {
    const one = logOf(LATE, { ...ALL_KNOWN, speeds: SPEEDS }, "a.csv");
    const text = textReport(runOf([one, { ...one, path: "b.csv" }]), PLAIN);
    expect(text).not.toMatch(/Taken as given/);
    expect(text).toMatch(/2 logs, 2 flights/);
    expect(text).toMatch(/Gate not passed:/);
  });

  it("never hands a log's control characters to the terminal", () => {
    const evil = "a\u001b[2J\u0007\u202egnp.csv";
    const text = textReport(runOf([logOf(LATE, ALL_KNOWN, evil)]), PLAIN);
    // oxlint-disable-next-line no-control-regex
    expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u202e]/);
    expect(text).toContain("a\\u{1b}[2J\\u{7}\\u{202e}gnp.csv");
    expect(printable("é°", true)).toBe("\\u{e9} deg");
  });

  it("is quiet about a good flight", () => {
    const replay = shortReplay(120);
    const rows = [...replay.moments.at_s].map((time_s, k) => ({
      time_s,
      latitude_deg: replay.moments.latitude_deg[k] ?? 0,
      longitude_deg: replay.moments.longitude_deg[k] ?? 0,
      height_m: replay.moments.height_m[k] ?? 0,
      battery_pct: 80,
      satellites: 15,
      airborne: 1,
    }));
    rows.push({ ...rows[0], time_s: 120, height_m: 0, airborne: 0 } as (typeof rows)[number]);
    const run = runOf([logOf(rows, ALL_KNOWN)]);
    expect(run.logs[0]?.flights[0]?.findings).toEqual([]);
    expect(textReport(run, PLAIN)).toMatch(/^CLEAR {2}score 100 of 100/m);
  });
});

describe("wrap", () => {
  it("breaks at spaces and keeps a word longer than the line whole", () => {
    expect(wrap("one two three", 9, "", "  ")).toEqual(["one two", "  three"]);
    expect(wrap("a abcdefghijkl b", 6, "", "")).toEqual(["a", "abcdefghijkl", "b"]);
    expect(wrap("", 10, "> ", "")).toEqual(["> "]);
  });
});
