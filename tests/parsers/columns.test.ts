import { describe, expect, test } from "vitest";
import { fixture, read, refusal, said } from "./read.js";

const OWN = {
  time: { column: "T", unit: "s" },
  latitude: { column: "Y", unit: undefined },
  longitude: { column: "x", unit: undefined },
  height: { column: "Up", unit: "ft" },
  battery: { column: "Pack", unit: undefined },
};

describe("columns: of homeleg.yaml", () => {
  test("names columns, by exact name first and then in any case", async () => {
    const { track, channels, unusedColumns } = await read(fixture("own-names.csv"), { columns: OWN });
    expect([...track.columns.time_s]).toEqual([0, 1, 2, 3]);
    expect([...(track.columns.height_m ?? [])]).toEqual([0, 5 * 0.3048, 10.5 * 0.3048, 3.048]);
    expect([...(track.columns.battery_pct ?? [])]).toEqual([99, 98.5, 98, 97]);
    expect(channels["height"]).toEqual({ source: "Up", unit: "ft", filledShare: 1 });
    expect(unusedColumns).toEqual([]);
  });

  test("settles a tie and an unclear name", async () => {
    const tie = await read(fixture("tie.csv"), {
      columns: { battery: { column: "Battery level (%)", unit: undefined } },
    });
    expect([...(tie.track.columns.battery_pct ?? [])]).toEqual([50, 50, 50, 50]);
    expect(tie.problems).toEqual([]);
    const unclear = await read(fixture("meaning-unclear.csv"), {
      columns: { height: { column: "alt (ft)", unit: undefined } },
    });
    expect([...(unclear.track.columns.height_m ?? [])]).toEqual([0.3048, 0.3048, 0.3048, 0.3048]);
  });

  test("overrides what the words say", async () => {
    const { track } = await read(fixture("comma-plain.csv"), {
      columns: { altitude: { column: "height_above_takeoff_m", unit: "cm" } },
    });
    expect([...(track.columns.altitude_m ?? [])]).toEqual([0, 0.05, 0.105, 0.1]);
    expect(track.columns.height_m).toBeUndefined();
  });

  test("takes the order of dates as the unit of time", async () => {
    const log = "when,lat,lon\n05/06/2024 10:00:00Z,2,3\n";
    const start = async (unit: string): Promise<number | undefined> =>
      (await read(log, { columns: { time: { column: "when", unit } } })).track.startUtc_s;
    expect(await start("d/m/y")).toBe(Date.UTC(2024, 5, 5, 10) / 1000);
    expect(await start("MM/DD/YYYY")).toBe(Date.UTC(2024, 4, 6, 10) / 1000);
  });

  test("a mapped time is the one used, another may still tell the date", async () => {
    const log = "ticks,time utc,lat,lon\n0,2024-05-01T10:00:00Z,1,1\n500,2024-05-01T10:00:01Z,1,1\n";
    const { track } = await read(log, { columns: { time: { column: "ticks", unit: "ms" } } });
    expect([...track.columns.time_s]).toEqual([0, 0.5]);
    expect(track.startUtc_s).toBe(1714557600);
  });

  test("maps the mode", async () => {
    const { track } = await read("time_s,lat,lon,state\n0,1,1,Auto\n", {
      columns: { mode: { column: "STATE", unit: undefined } },
    });
    expect(track.mode).toEqual({ codes: Uint16Array.from([1]), words: ["", "Auto"] });
  });

  test("a mapped column without any unit is asked for", async () => {
    const log = await read("time_s,lat,lon,Up\n0,1,1,3\n", { columns: { height: { column: "Up", unit: undefined } } });
    expect(said(log)).toEqual([
      'unit-unknown Column "Up" looks like height but states no unit: not used. If it is in m, add to homeleg.yaml: columns: { height: { column: "Up", unit: "m" } } (known units: m, ft, km, mi, nmi, cm, mm).',
    ]);
  });

  test("maps elements of GPX by local name", async () => {
    const { track } = await read(fixture("gpx-extensions.gpx"), {
      columns: { ground_speed: { column: "speed", unit: "km/h" }, charge_used: { column: "heartbeat", unit: "Ah" } },
    });
    expect([...(track.columns.groundSpeed_ms ?? [])]).toEqual([3 / 3.6, 3 / 3.6, 3 / 3.6, 3 / 3.6]);
    expect([...(track.columns.chargeUsed_mAh ?? [])]).toEqual([1000, 1000, 1000, 1000]);
  });

  test.each([
    [
      { height: { column: "Upp", unit: "m" } },
      '[columns-unknown] flight.csv  homeleg.yaml takes height from a column "Upp", which the log does not have. Did you mean "Up"?',
    ],
    [
      { height: { column: "elevator", unit: "m" } },
      '[columns-unknown] flight.csv  homeleg.yaml takes height from a column "elevator", which the log does not have. The columns are "T", "Y", "X", "Up", "Pack".',
    ],
    [
      { height: { column: "Up", unit: "kt" } },
      '[columns-unit] flight.csv  homeleg.yaml gives height the unit "kt", which does not fit. Use one of m, ft, km, mi, nmi, cm, mm.',
    ],
    [
      { time: { column: "T", unit: "fortnights" } },
      '[columns-unit] flight.csv  homeleg.yaml gives time the unit "fortnights", which does not fit. Use one of s, ms, µs, d/m/y, m/d/y.',
    ],
    [
      { hight: { column: "Up", unit: "m" } },
      '[columns-channel] flight.csv  homeleg.yaml maps a column to "hight", which is no channel.',
    ],
  ])("mistakes: %o", async (columns, line) => {
    expect(await refusal(fixture("own-names.csv"), { columns: { ...OWN, ...columns } })).toBe(line);
  });
});

describe("what is asked", () => {
  const header = "time_s,latitude,longitude,battery\n";

  test("a battery column that runs from 0 to 1 is taken for a share, if for anything", async () => {
    const { questions } = await read(`${header}0,47,8,1\n1,47,8,0.995\n2,47,8,0.99\n`);
    expect(questions).toMatchObject([{ columns: ["battery"], unit: "0-1" }]);
    const answered = await read(`${header}0,47,8,1\n1,47,8,0.995\n`, {
      columns: { battery: { column: "battery", unit: "0-1" } },
    });
    expect([...(answered.track.columns.battery_pct ?? [])]).toEqual([100, 99.5]);
  });

  test("one that passes 1, or is empty, is not", async () => {
    for (const cells of [
      ["2", "1.5"],
      ["0", "0"],
    ]) {
      const { questions } = await read(`${header}0,47,8,${cells[0]}\n1,47,8,${cells[1]}\n`);
      expect(questions[0]?.unit, cells.join()).toBe("%");
    }
  });

  const dated = "date,time_of_day,latitude,longitude\n03/04/2025,10:00:00,47,8\n03/04/2025,10:00:01,47,8\n";

  test("a date that may be day or month first beside a time of day is asked for", async () => {
    const { track, problems, questions } = await read(dated);
    expect(track.startUtc_s).toBeUndefined();
    expect(questions).toMatchObject([{ columns: ["date"], channels: ["time"], unit: "d/m/y" }]);
    expect(problems).toMatchObject([{ severity: "warning", code: "date-order-unclear" }]);
  });

  test.each([
    ["d/m/y", Date.UTC(2025, 3, 3, 10)],
    ["m/d/y", Date.UTC(2025, 2, 4, 10)],
  ])("and the answer %s is used", async (unit, utc_ms) => {
    const { track, problems } = await read(dated, { columns: { time: { column: "date", unit } } });
    expect(track.startUtc_s).toBe(utc_ms / 1000);
    expect([...track.columns.time_s]).toEqual([0, 1]);
    expect(problems.map(({ code }) => code)).not.toContain("date-order-unclear");
  });

  test("no date is asked for where the order shows or another column tells the day", async () => {
    const clear = await read(dated.replaceAll("03/04/2025", "23/04/2025"));
    expect(clear.questions).toEqual([]);
    const stamped = await read(
      "date,time utc,latitude,longitude\n03/04/2025,2025-04-03T10:00:00Z,47,8\n03/04/2025,2025-04-03T10:00:01Z,47,8\n",
    );
    expect(stamped.questions).toEqual([]);
  });
});
