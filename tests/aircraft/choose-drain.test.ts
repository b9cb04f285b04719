import { describe, expect, it } from "vitest";
import { chooseDrain, type DrainChoice } from "../../src/aircraft/choose-drain.js";
import { assumedDrain, ASSUMED_DRAIN, completeDrain, SCALED_BOUND, wholeDrain } from "../../src/aircraft/drain.js";
import { BODY_SPREAD_PCT, ENDURANCE_SPREAD_PCT, MEASURED_SPREAD_PCT } from "../../src/aircraft/drain-sources.js";
import { CLIMB, CRUISE, DESCENT, HOVER } from "../../src/aircraft/regimes.js";
import type { Declared } from "../../src/config/declared.js";
import { NOTHING } from "../helpers/declared.js";
import { makeFlight, makeTrack, times, type ColumnSpec } from "../track/make-track.js";

type Aircraft = Partial<Declared["aircraft"]>;
const PACK = { capacity_mAh: 5000, nominalVoltage_V: 15 } as const;

/** 300 s: hover, climb, cruise, descent, hover; 60 s each, of a pack of 75 Wh. */
const regimeAt = (t: number): number =>
  [HOVER, CLIMB, CRUISE, DESCENT, HOVER][Math.min(4, Math.floor(t / 60))] ?? HOVER;

function choose(
  aircraft: Aircraft,
  columns: Partial<Record<"battery_pct" | "voltage_V" | "current_A" | "altitude_m", ColumnSpec>> = {},
  regimes: (t: number) => number = regimeAt,
): DrainChoice {
  const track = makeTrack(times(300), columns);
  const config = {
    declared: { ...NOTHING, aircraft: { ...NOTHING.aircraft, ...aircraft } },
    places: new Map(Object.keys(aircraft).map((key) => [`aircraft.${key.replace(/_.*/, "")}`, "club/homeleg.yaml:3"])),
    written: new Map(),
    files: [],
  };
  return chooseDrain(config, track, makeFlight(track), {
    reading: track.columns.battery_pct,
    regimes: Uint8Array.from(times(300), regimes),
    climb_ms: 4,
  });
}

/** Percent a minute of a 75 Wh pack. */
const pct = (watts: number): number => (watts / 75 / 60) * 100;
const close = (found: readonly number[], wanted: readonly number[]): void =>
  wanted.forEach((rate, r) => expect(found[r]).toBeCloseTo(rate, 9));

describe("what the rates are taken from", () => {
  const power = { power_W: { hover: 180, climb: 240, cruise: 190, descent: 160 }, ...PACK };
  const drain = { drain_pctPerMin: { hover: 4, climb: 6, cruise: 5, descent: 3 } };
  const volts = { voltage_V: 15, current_A: (t: number) => [12, 16, 14, 10][regimeAt(t)] ?? 0 };
  /** Falls by 4, 6, 5 and 3 % a minute in the four regimes; exact, not in steps. */
  const battery = {
    battery_pct: (t: number) => {
      const rates = [4, 6, 5, 3, 4];
      let left = 90;
      for (let part = 0; part < 5; part += 1)
        left -= ((rates[part] ?? 0) * Math.max(0, Math.min(60, t - 60 * part))) / 60;
      return left;
    },
  };

  it.each([
    ["declared rates", { ...drain, ...PACK }, { ...volts, ...battery }, "declared", "club/homeleg.yaml:3"],
    ["the fit", power, { ...volts, ...battery }, "fitted", "this flight"],
    ["measured power", power, volts, "measured", "volts × amps of the log against 5000 mAh × 15 V"],
    ["declared power", power, {}, "declared", "power, club/homeleg.yaml:3"],
    ["nothing", {}, {}, "assumed", "project default for small multirotors"],
    ["nothing, for power without a battery", { power_W: power.power_W }, {}, "assumed", "project default"],
    ["the fit, before an endurance", { endurance_s: { hover: 1500, cruise: 1200 } }, battery, "fitted", "this flight"],
    ["nothing, for volts and amps without a capacity", {}, volts, "assumed", "project default"],
  ] as const)("in this order: %s", (_name, aircraft, columns, basis, from) => {
    const { drain: chosen } = choose(aircraft, columns);
    expect(chosen.basis).toBe(basis);
    expect(chosen.from).toContain(from);
  });

  it("shows the fit beside what was chosen before it, and warns where they are over 20 % apart", () => {
    const near = choose({ drain_pctPerMin: { hover: 4.5, climb: 6, cruise: 5, descent: 3 } }, battery);
    expect(near.fitted?.middle[HOVER]).toBeCloseTo(4.1, 1);
    expect(near.problems).toEqual([]);
    const far = choose({ drain_pctPerMin: { hover: 5.5, climb: 6, cruise: 5, descent: 3 } }, battery);
    expect(far.problems.map(({ code, severity }) => [code, severity])).toEqual([["drain-apart", "warning"]]);
    expect(far.problems[0]?.message).toMatch(/over 20 %.*: hover 5\.5 declared, 4\.1 flown\.$/);
  });

  it("warns of a declared power or endurance that the flight does not bear out", () => {
    expect(choose({ endurance_s: { hover: 3000, cruise: undefined } }, battery).problems[0]?.message).toContain(
      "hover 2.0 declared, 4.1 flown",
    );
    // A descent is not told by an endurance, so there is nothing to compare.
    expect(choose({ endurance_s: { hover: 1500, cruise: 1200 } }, battery).problems).toEqual([]);
  });

  it("says what power and a body lack", () => {
    const body = { body: { mass_kg: 1.4, rotors: 4, rotorDiameter_m: 0.24, efficiency: 0.6 }, capacity_mAh: 5000 };
    for (const [aircraft, key] of [
      [{ power_W: power.power_W, nominalVoltage_V: 15 }, "power"],
      [body, "body"],
    ] as const) {
      const { problems, drain: chosen } = choose(aircraft);
      expect(problems.map(({ code }) => code)).toEqual(["drain-incomplete"]);
      expect(problems[0]?.message).toContain(`\`aircraft.${key}\` is not used`);
      expect(chosen.isAssumed).toBe(true);
    }
  });
});

describe("declared power", () => {
  it("is a share of capacity × nominal voltage", () => {
    const { drain } = choose({ power_W: { hover: 180, climb: 240, cruise: 190, descent: 160 }, ...PACK });
    close(drain.middle, [180, 240, 190, 160].map(pct));
    expect(drain.low).toEqual(drain.middle);
    expect(drain.isAssumed).toBe(false);
  });

  it("says where the air is thin, for which it is not corrected", () => {
    const at = (altitude_m: number): string =>
      choose({ power_W: { hover: 180, climb: 240, cruise: 190, descent: 160 }, ...PACK }, { altitude_m }).drain.from;
    expect(at(200)).not.toContain("thin air");
    expect(at(3000)).toContain("thin air, which takes 16 % more");
  });
});

describe("declared endurance", () => {
  it("is 100 % over its time; what it does not tell follows the assumed rates, within a bound", () => {
    const { drain } = choose({ endurance_s: { hover: 1500, cruise: 1200 } });
    expect(drain.middle[HOVER]).toBeCloseTo(4, 12);
    expect(drain.middle[CRUISE]).toBeCloseTo(5, 12);
    // 120 s of hover (300 s of flight less one row), 60 s of cruise.
    const ratio = (4 * 2 + 5 * 1) / (ASSUMED_DRAIN.middle[HOVER] * 2 + ASSUMED_DRAIN.middle[CRUISE] * 1);
    expect(drain.middle[CLIMB]).toBeCloseTo(ASSUMED_DRAIN.middle[CLIMB] * ratio, 2);
    expect(drain.high[CLIMB]).toBeCloseTo((drain.middle[CLIMB] ?? 0) * (1 + SCALED_BOUND), 12);
    expect(drain.told).toEqual([true, false, true, false]);
    expect(drain.spread_pct).toBe(ENDURANCE_SPREAD_PCT);
    expect(drain.from).toContain("climb, descent by ratio from the assumed rates");
  });

  it("of a hover alone ties the cruise as well", () => {
    const { drain } = choose({ endurance_s: { hover: 1500, cruise: undefined } });
    close(
      drain.middle,
      ASSUMED_DRAIN.middle.map((rate) => (rate * 4) / ASSUMED_DRAIN.middle[HOVER]),
    );
  });
});

describe("a declared body", () => {
  const body = { mass_kg: 1.4, rotors: 4, rotorDiameter_m: 0.24, efficiency: 0.6 };

  it("hovers, cruises and descends at the hover's power, and climbs at more", () => {
    const { drain } = choose({ body, ...PACK });
    const weight_N = 1.4 * 9.80665;
    const area_m2 = 4 * Math.PI * 0.12 ** 2;
    const hover_W = Math.sqrt(weight_N ** 3 / (2 * 1.225 * area_m2)) / 0.6;
    const x = 4 / (2 * Math.sqrt(weight_N / (2 * 1.225 * area_m2)));
    close(
      drain.middle,
      [1, x + Math.sqrt(x * x + 1), 1, 1].map((factor) => pct(hover_W) * factor),
    );
    expect(drain).toMatchObject({ basis: "declared", spread_pct: BODY_SPREAD_PCT, told: [true, true, true, true] });
    expect(drain.from).toContain("at sea level, no altitude in the log");
  });

  it("takes more in thin air, by ρ^−½", () => {
    const low = choose({ body, ...PACK }, { altitude_m: 0 }).drain;
    const high = choose({ body, ...PACK }, { altitude_m: 3000 }).drain;
    expect((high.middle[HOVER] ?? 0) / (low.middle[HOVER] ?? 1)).toBeCloseTo(1.1607, 3);
    expect(high.from).toContain("3000 m");
  });

  it("has an assumed efficiency, and says so", () => {
    const { drain } = choose({ body: { ...body, efficiency: undefined }, ...PACK });
    expect(drain.middle[HOVER]).toBeCloseTo(((choose({ body, ...PACK }).drain.middle[HOVER] ?? 0) * 0.6) / 0.5, 9);
    expect(drain.from).toContain("efficiency 0.5 assumed");
  });
});

describe("measured power", () => {
  const amps = (t: number): number => [12, 16, 14, 10][regimeAt(t)] ?? 0;

  it("is the mean of each regime against the pack", () => {
    const { drain } = choose(PACK, { voltage_V: 14, current_A: amps });
    close(
      drain.middle,
      [12, 16, 14, 10].map((current) => pct(current * 14)),
    );
    expect(drain.spread_pct).toBe(MEASURED_SPREAD_PCT);
  });

  it("takes the flight's own voltage where none is declared, and either sign of a discharge", () => {
    const { drain } = choose({ capacity_mAh: 5000 }, { voltage_V: 14, current_A: (t) => -amps(t) });
    close(
      drain.middle,
      [12, 16, 14, 10].map((current) => (current / 5 / 60) * 100),
    );
    expect(drain.from).toContain("14.0 V, this flight's mean");
  });

  it("ties a regime flown for less than 10 s to what is declared, with its spread and no bound", () => {
    const regimes = (t: number): number => (t < 200 ? HOVER : t < 209 ? CLIMB : CRUISE);
    const power = { power_W: { hover: 180, climb: 240, cruise: 190, descent: 160 }, ...PACK };
    const columns = { voltage_V: 15, current_A: 12 };
    const { drain } = choose(power, columns, regimes);
    expect(drain.told).toEqual([true, false, true, false]);
    const [hover_s, cruise_s] = [200, 91];
    const ratio = (180 * (hover_s + cruise_s)) / (180 * hover_s + 190 * cruise_s);
    expect(drain.middle[CLIMB]).toBeCloseTo(pct(240 * ratio), 6);
    expect(drain.high).toEqual(drain.middle);
    expect(Math.sqrt(drain.covariance[CLIMB]?.[CLIMB] ?? 0)).toBeCloseTo((drain.middle[CLIMB] ?? 0) * 0.1, 9);
    expect(drain.covariance[CLIMB]?.[HOVER]).toBe(0);
    expect(drain.from).toContain("climb, descent by ratio from power, club/homeleg.yaml:3");
  });
});

describe("completeDrain", () => {
  const told = (rates: readonly number[]) => ({ basis: "declared", from: "a", rates, spread_pct: 5 }) as const;

  it("weighs regimes the same where none that is known was flown", () => {
    const next = wholeDrain("measured", "b", [4, 8, 4, 4], 10);
    const drain = completeDrain(told([2, Number.NaN, Number.NaN, Number.NaN]), next, [0, 1, 1, 1]);
    expect(drain?.middle).toEqual([2, 4, 2, 2]);
  });

  it("is nothing where the source tells nothing, and no rate of 0", () => {
    const nothing = [0, Number.NaN, Number.NaN, -1];
    expect(completeDrain(told(nothing), assumedDrain(), [1, 1, 1, 1])).toBeUndefined();
  });
});
