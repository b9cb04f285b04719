import { describe, expect, it } from "vitest";
import { reserveFloor } from "../../src/rules/reserve-floor.js";
import { askConduct } from "../helpers/conduct.js";
import { at, ORIGIN, type Row } from "../helpers/flights.js";
import { replayRows } from "../helpers/replay.js";

/** Away (100 m) with a battery by second, then home with another. */
function rows(away: readonly number[], home: readonly number[] = []): Row[] {
  return [
    ...away.map((battery_pct) => ({ battery_pct, ...at(100, 0) })),
    ...home.map((battery_pct) => ({ battery_pct, ...at(5, 0) })),
  ].map((row, time_s) => ({ time_s, height_m: time_s === 0 ? 0 : 30, airborne: 1, ...row }));
}
const GIVEN = { recoveryPoints: [{ ...ORIGIN, at_s: 0 }] };
/** Falls by a hair each second, so that lines between steps change nothing. */
const falling = (from: number, seconds: number, by = 0.01): number[] =>
  Array.from({ length: seconds }, (_, i) => from - by * i);

describe("reserve-floor", () => {
  it.each([
    ["never low", rows(falling(60, 40)), "clear"],
    ["down to just the limit", rows(falling(25.4, 41)), "clear"],
    ["under it for 14 seconds", rows([...falling(40, 30), ...falling(24.9, 14)]), "clear"],
    ["under it for 15 seconds", rows([...falling(40, 30), ...falling(24.9, 15)]), "thin"],
    ["under the touchdown floor for 14 seconds", rows([...falling(24, 30), ...falling(9.9, 14)]), "thin"],
    ["under the touchdown floor for 15 seconds", rows([...falling(24, 30), ...falling(9.9, 15)]), "fail"],
    ["low only at hand", rows(falling(60, 30), falling(24, 60)), "clear"],
    ["away for less than 15 seconds", rows(falling(20, 14), falling(19, 30)), "n/a"],
    ["no battery", rows(falling(60, 40)).map(({ battery_pct: _, ...row }) => row), "unknown"],
  ] as const)("%s", (_, given, verdict) => {
    expect(askConduct(reserveFloor, replayRows(given, GIVEN)).verdict).toBe(verdict);
  });

  it("is unknown where the battery is lost for 15 s away, unless what is known is low already", () => {
    const lose = (given: readonly Row[], from: number): Row[] =>
      given.map((row) => (row.time_s >= from ? { ...row, battery_pct: Number.NaN } : row));
    const fine = rows(falling(60, 60));
    expect(askConduct(reserveFloor, replayRows(lose(fine, 46), GIVEN)).verdict).toBe("clear");
    expect(askConduct(reserveFloor, replayRows(lose(fine, 44), GIVEN)).verdict).toBe("unknown");
    expect(askConduct(reserveFloor, replayRows(lose(fine, 10), GIVEN)).verdict).toBe("unknown");
    const low = rows([...falling(24, 40), ...falling(9, 20)]);
    expect(askConduct(reserveFloor, replayRows(lose(low, 40), GIVEN)).verdict).toBe("thin");
  });

  it("says how low and how far out", () => {
    const { finding } = askConduct(reserveFloor, replayRows(rows([...falling(40, 30), ...falling(24.2, 30)]), GIVEN));
    expect(finding?.message).toBe(
      "The battery was down to 24 % (limit 25 %) for 15 s or more while still away, up to 100 m out.",
    );
    expect(finding?.value).toBeCloseTo(24.2 - 0.01 * 15, 9);
    expect(finding?.evidence).toMatchObject({ first_under_limit_s: 30 });
  });

  it("counts a time by the weights of the moments, not by rows", () => {
    const sparse = rows([...falling(40, 30), ...falling(24.9, 10)]).map((row) => ({ ...row, time_s: row.time_s * 2 }));
    expect(askConduct(reserveFloor, replayRows(sparse, GIVEN)).verdict).toBe("thin");
  });
});
