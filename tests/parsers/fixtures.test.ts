import { readdirSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { CHANNELS } from "../../src/track/channels.js";
import { FIXTURES, SHARED_FLIGHT } from "./fixture-table.js";
import { fixture, read } from "./read.js";

describe("every fixture is read as its quirk demands", () => {
  test.each(FIXTURES)("%s", async (file, expected) => {
    const log = await read(fixture(file));
    const { track } = log;
    const columns = { ...SHARED_FLIGHT, ...expected.columns };
    for (const channel of expected.without ?? []) delete columns[channel];
    expect(Object.fromEntries(Object.entries(track.columns).map(([key, values]) => [key, [...values]]))).toEqual(
      columns,
    );
    expect(track.startUtc_s).toBe(expected.startUtc_s);
    expect(track.breaks).toEqual(expected.breaks ?? []);
    expect(log.rows).toBe(expected.rows ?? 4);
    expect(log.rowsRejected).toBe(expected.rejected ?? 0);
    expect(track.mode && [...track.mode.codes].map((code) => track.mode?.words[code])).toEqual(expected.mode);
    expect(log.unusedColumns).toEqual(expected.unused ?? []);
    const problems = log.problems.map(({ code, line }) => (line === undefined ? code : `${code}:${line}`));
    expect(problems).toEqual(expected.problems ?? []);
  });

  test("no fixture is left out", () => {
    const files = readdirSync(new URL("../../fixtures/parsers/", import.meta.url)).filter((name) =>
      /\.(csv|gpx|gz)$/.test(name),
    );
    // Read with a mapping only: see columns.test.ts.
    expect([...FIXTURES.map(([file]) => file), "own-names.csv"].toSorted()).toEqual(files.toSorted());
  });
});

describe("channels", () => {
  test("are named by id, in the order of the table, with source, unit and share filled", async () => {
    const { channels } = await read(fixture("flags-and-fix.csv"));
    expect(channels["battery"]).toEqual({ source: "battery_pct", unit: "%", filledShare: 1 });
    expect(channels["airborne"]).toEqual({ source: "airborne", unit: "flag", filledShare: 0.75 });
    expect(channels["mode"]).toEqual({ source: "flight mode", unit: "text", filledShare: 0.75 });
    const order = [...Object.values(CHANNELS).map(({ id }): string => id), "mode"];
    expect(Object.keys(channels)).toEqual(order.filter((id) => id in channels));
  });

  test("a recognised column that is never filled is a channel, not a column", async () => {
    const log = await read(fixture("missing-words.csv"));
    expect(log.channels["height"]).toEqual({ source: "height_above_takeoff_m", unit: "m", filledShare: 0 });
    expect(log.track.columns.height_m).toBeUndefined();
  });

  test("the unit of time says how it was written", async () => {
    const unit = async (file: string): Promise<unknown> => (await read(fixture(file))).channels["time"];
    expect(await unit("epoch-ms.csv")).toEqual({ source: "timestamp", unit: "epoch ms", filledShare: 1 });
    expect(await unit("date-and-time.csv")).toEqual({
      source: "Date + Time (UTC)",
      unit: "d/m/y + hh:mm:ss",
      filledShare: 1,
    });
    expect(await unit("midnight.csv")).toEqual({ source: "Time of day", unit: "hh:mm:ss", filledShare: 1 });
    expect(await unit("scaled-integers.csv")).toMatchObject({ unit: "ms" });
  });
});

describe("dialect", () => {
  test("of CSV", async () => {
    const log = await read(fixture("decimal-comma-semicolon.csv"));
    expect(log.dialect).toEqual({
      encoding: "utf-8",
      isGzip: false,
      delimiter: ";",
      lineEnding: "LF",
      comment: undefined,
      decimals: "comma",
      headerLine: 1,
      unitsLine: undefined,
    });
    expect((await read(fixture("units-row.csv"))).dialect).toMatchObject({ headerLine: 1, unitsLine: 2 });
    expect((await read(fixture("title-lines.csv"))).dialect).toMatchObject({ headerLine: 4 });
    expect((await read(fixture("packed.csv.gz"))).dialect).toMatchObject({ isGzip: true });
    expect((await read(fixture("cr-only.csv"))).dialect).toMatchObject({ lineEnding: "CR" });
  });

  test("of GPX", async () => {
    const log = await read(fixture("gpx-two-tracks.gpx"));
    expect(log.dialect).toEqual({ encoding: "utf-8", isGzip: false, version: "1.1", tracks: 2, segments: 2 });
  });

  test("says why a column fills a channel", async () => {
    const log = await read(fixture("comma-plain.csv"));
    expect(log.parser === "csv" && log.reasons.at(-1)).toEqual({
      column: "battery_pct",
      channel: "battery_pct",
      unit: "%",
      because: '"battery"; stated unit %',
    });
  });
});
