import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { cellSag } from "../../src/rules/cell-sag.js";
import type { Conduct } from "../../src/rules/rule.js";
import { askConduct } from "../helpers/conduct.js";
import { type Given, settingOf } from "../helpers/declared.js";
import { at, type Row, trackOf } from "../helpers/flights.js";
import { replayFlight } from "../../src/recovery/replay-flight.js";
import type { Replay } from "../../src/recovery/replay.js";
import { findFlights } from "../../src/track/flights.js";

/** Ten seconds on the ground, a minute in the air, ten seconds on the ground; `air` for each second in the air. */
function flight(air: (second: number) => Partial<Row>, ground: Partial<Row> = {}): Row[] {
  return Array.from({ length: 80 }, (_, time_s) => {
    const isAirborne = time_s >= 10 && time_s < 70;
    return {
      time_s,
      ...at(30, 0),
      height_m: isAirborne ? 20 : 0,
      battery_pct: 80,
      airborne: isAirborne ? 1 : 0,
      ...(isAirborne ? air(time_s - 10) : { ...air(0), ...ground }),
    };
  });
}

function replay(
  rows: readonly Row[],
  battery: { cells?: number; cellFloor_V?: number },
  policy: NonNullable<Given["policy"]> = {},
): Replay {
  const setting = settingOf({ policy });
  const { declared } = setting.config;
  const aircraft = { ...declared.aircraft, cells: battery.cells, cellFloor_V: battery.cellFloor_V };
  const track = trackOf(rows);
  const found = findFlights(track, { longestGap_s: 5, shortestFlight_s: 10 });
  const [first] = found.flights;
  if (first === undefined) throw new Error("the rows of this test hold no flight");
  const given = { ...setting, config: { ...setting.config, declared: { ...declared, aircraft } } };
  return replayFlight(given, track, first, found.motion);
}

const FLOOR = { cells: 4, cellFloor_V: 3.4 };
/** A steady pack voltage of so many volts a cell. */
const steady = (cell_V: number): Row[] => flight(() => ({ voltage_V: 4 * cell_V }));

describe("cell-sag", () => {
  it.each([
    [3.8, "clear"],
    [3.5, "clear"],
    [3.499, "thin"],
    [3.4, "thin"],
    [3.399, "fail"],
    [2.4, "fail"],
  ] as const)("a cell at %s V with a floor of 3.4 V is %s", (cell_V, verdict) => {
    const { byAssumptionAlone, ...conduct } = askConduct(cellSag, replay(steady(cell_V), FLOOR));
    expect(conduct.verdict).toBe(verdict);
    expect(byAssumptionAlone === true).toBe(false);
  });

  it.each([
    [3.4, "clear", false],
    [3.399, "thin", true],
    [2.6, "thin", true],
    [2.599, "thin", false],
    [2.5, "thin", false],
    [2.499, "fail", false],
  ] as const)(
    "a cell at %s V with a floor only assumed is %s, by the assumption alone: %s",
    (cell_V, verdict, alone) => {
      const conduct = askConduct(cellSag, replay(steady(cell_V), { cells: 4 }));
      expect([conduct.verdict, conduct.byAssumptionAlone === true]).toEqual([verdict, alone]);
    },
  );

  it("takes the mean of three seconds: one row that dips is no sag", () => {
    const dip = (seconds: number): Row[] =>
      flight((second) => ({ voltage_V: second >= 30 && second < 30 + seconds ? 13 : 16 }));
    // One second of three low: (13 + 16 + 16) / 3 = 15 V, 3.75 V a cell.
    expect(askConduct(cellSag, replay(dip(1), FLOOR)).verdict).toBe("clear");
    // Two of three: 14 V, 3.5 V a cell, just at the limit; three: 13 V, 3.25 V.
    expect(askConduct(cellSag, replay(dip(2), FLOOR)).verdict).toBe("clear");
    const { verdict, finding } = askConduct(cellSag, replay(dip(3), FLOOR));
    expect([verdict, finding?.value, finding?.at]).toEqual(["fail", 3.25, 41]);
  });

  it.each([
    [3.6, "clear"],
    [3.599, "thin"],
    [3.399, "fail"],
  ] as const)("takes the margin from the policy: %s V is %s with 0.2 V", (cell_V, said) => {
    expect(askConduct(cellSag, replay(steady(cell_V), FLOOR, { "cell_sag.margin": 0.2 })).verdict).toBe(said);
  });

  it("takes from the policy over how long a mean goes, and says so", () => {
    const rows = flight((second) => ({ voltage_V: second >= 30 && second < 32 ? 13 : 16 }));
    const over = (mean_s: number): Conduct =>
      askConduct(cellSag, replay(rows, FLOOR, { "cell_sag.mean_over": mean_s }));
    // Three rows, one of them high: 14 V, 3.5 V a cell, just at the limit; a mean over one second holds one row.
    expect(over(3).verdict).toBe("clear");
    expect(over(1)).toMatchObject({ verdict: "fail", finding: { value: 3.25 } });
    expect(over(1).finding?.message).toContain("was down to 3.25 V under load for 1 s at ");
  });

  it("takes from the policy how much of the flight has to have a reading", () => {
    const rows = flight((second) => ({ voltage_V: second < 45 ? 16 : Number.NaN }));
    const known = (share: number): Conduct => askConduct(cellSag, replay(rows, FLOOR, { "cell_sag.known": share }));
    expect(known(0.75).verdict).toBe("clear");
    expect(known(0.7501)).toEqual({ verdict: "unknown", lacks: ["voltage"] });
  });

  it("looks at moments in the air alone", () => {
    expect(
      askConduct(
        cellSag,
        replay(
          flight(() => ({ voltage_V: 16 }), { voltage_V: 12 }),
          FLOOR,
        ),
      ).verdict,
    ).toBe("clear");
  });

  it("takes the lowest of the cells, and no cell that is not there", () => {
    const cells = (low_V: number): Row[] =>
      flight(() => ({
        cellVoltage1_V: 3.9,
        cellVoltage2_V: low_V,
        cellVoltage3_V: 3.9,
        cellVoltage4_V: 0,
        voltage_V: 11.7,
      }));
    expect(askConduct(cellSag, replay(cells(3.3), FLOOR)).finding).toMatchObject({
      value: expect.closeTo(3.3, 9) as number,
      limit: 3.4,
      evidence: { cells: 4 },
    });
    expect(askConduct(cellSag, replay(cells(3.6), { cellFloor_V: 3.4 })).verdict).toBe("clear");
    const lowest = flight(() => ({ cellVoltageLowest_V: 3.45 }));
    expect(askConduct(cellSag, replay(lowest, { cellFloor_V: 3.4 })).verdict).toBe("thin");
  });

  it("is unknown without a voltage, without a cell count, and where a voltage never low is known too little", () => {
    expect(
      askConduct(
        cellSag,
        replay(
          flight(() => ({})),
          FLOOR,
        ),
      ),
    ).toEqual({ verdict: "unknown", lacks: ["voltage"] });
    expect(
      askConduct(
        cellSag,
        replay(
          flight(() => ({ voltage_V: Number.NaN })),
          FLOOR,
        ),
      ).verdict,
    ).toBe("unknown");
    const half = flight(() => ({ voltage_V: 15.2, battery_pct: 50 }));
    expect(askConduct(cellSag, replay(half, { cellFloor_V: 3.4 }))).toEqual({ verdict: "unknown", lacks: ["cells"] });
    const gone = (seconds: number, volts: number): Row[] =>
      flight((second) => ({ voltage_V: second < 60 - seconds ? volts : Number.NaN }));
    expect(askConduct(cellSag, replay(gone(3, 16), FLOOR)).verdict).toBe("clear");
    expect(askConduct(cellSag, replay(gone(4, 16), FLOOR)).verdict).toBe("unknown");
    expect(askConduct(cellSag, replay(gone(30, 13), FLOOR)).verdict).toBe("fail");
  });

  it("infers the cells from the voltage at a known charge, and says how", () => {
    const full = replay(
      flight(() => ({ voltage_V: 16.5, battery_pct: 97 })),
      { cellFloor_V: 3.4 },
    );
    expect(askConduct(cellSag, full).verdict).toBe("clear");
    expect(full.inputs.cellVoltage).toMatchObject({
      cells: 4,
      basis: "inferred",
      from: /^16\.5 V at 97 %: 4\.13 V a cell/,
    });
  });

  it("spells out what, when and how low, with the resistance as evidence", () => {
    // 40 A every other ten seconds, 10 A between; 5 mΩ a cell.
    const rows = flight((second) => {
      const current_A = Math.floor(second / 5) % 2 === 0 ? 40 : 10;
      return { current_A, voltage_V: 4 * (3.66 - 0.005 * current_A) };
    });
    const { finding } = askConduct(cellSag, replay(rows, FLOOR));
    expect(finding?.message).toBe(
      "A cell, as the mean of the pack, was down to 3.46 V under load for 3 s at 00:12 with 80 % left (limit 3.50 V).",
    );
    expect(finding?.evidence["cell_resistance_mohm"]).toBeCloseTo(5, 3);
    expect(finding?.evidence["current_A"]).toBe(40);
  });

  it("spells out the pack or the cell, where it was under, and all the numbers", () => {
    const dip = (second: number): number => (second >= 30 && second < 35 ? 13 : 16);
    const pack = askConduct(
      cellSag,
      replay(
        flight((second) => ({ voltage_V: dip(second), current_A: second })),
        FLOOR,
      ),
    );
    expect(pack).toEqual({
      verdict: "fail",
      byAssumptionAlone: false,
      finding: {
        // 13 V for five seconds: means of three seconds under 3.4 V a cell at the middle three; the log's row is ten later.
        first: 41,
        last: 43,
        at: 41,
        value: 3.25,
        limit: 3.4,
        message:
          "A cell, as the mean of the pack, was down to 3.25 V under load for 3 s at 00:41 with 80 % left (limit 3.40 V).",
        advice: "Land earlier on this pack, fly it gently when it is low, and look at its age: old cells sag more.",
        evidence: {
          lowest_mean_cell_V: 3.25,
          cell_floor_V: 3.4,
          cells: 4,
          current_A: 31,
          battery_pct: 80,
          cell_resistance_mohm: expect.any(Number) as number,
        },
      },
    });
    const cells = flight((second) => ({ cellVoltageLowest_V: dip(second) / 4, battery_pct: Number.NaN }));
    const { finding } = askConduct(cellSag, replay(cells, { cellFloor_V: 3.2 }));
    expect(finding?.message).toBe("The lowest cell was down to 3.25 V under load for 3 s at 00:41 (limit 3.30 V).");
    expect(finding?.evidence).toMatchObject({ cells: null, current_A: null, battery_pct: null });
    expect(finding).toMatchObject({ first: 41, last: 43 });
  });

  it("marks what is under its limit from the first row of the flight to the last", () => {
    const { finding } = askConduct(cellSag, replay(steady(3.45), FLOOR));
    // A second and a half at each end of the flight has no mean over three.
    expect([finding?.first, finding?.last]).toEqual([12, 67]);
  });

  it("rests on the voltage, and on a floor that was declared", () => {
    expect(cellSag.bases(replay(steady(3.8), FLOOR))).toEqual(["declared", "declared"]);
    expect(cellSag.bases(replay(steady(3.8), { cells: 4 }))).toEqual(["declared"]);
    const none = flight(() => ({}));
    expect(cellSag.bases(replay(none, FLOOR))).toEqual([]);
  });

  it("is unknown where no reading has three seconds around it", () => {
    const lone = flight((second) => ({ voltage_V: second === 0 ? 16 : Number.NaN }), { voltage_V: 16 });
    const found = replay(lone, FLOOR);
    expect(askConduct(cellSag, found)).toEqual({ verdict: "unknown", lacks: ["voltage"] });
  });

  it("more voltage never makes the verdict worse", () => {
    const RANK = { clear: 0, thin: 1, fail: 2, unknown: 3, "n/a": 3 };
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 300, max: 420 }), { minLength: 60, maxLength: 60 }),
        fc.integer({ min: 1, max: 50 }),
        (cents, more) => {
          const verdict = (extra: number): keyof typeof RANK =>
            askConduct(
              cellSag,
              replay(
                flight((s) => ({ voltage_V: 4 * (((cents[s] ?? 400) + extra) / 100) })),
                FLOOR,
              ),
            ).verdict;
          expect(RANK[verdict(more)]).toBeLessThanOrEqual(RANK[verdict(0)]);
        },
      ),
      { numRuns: 30 },
    );
  });
});
