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

  it("spells out what, where and from when, by the rows of the log", () => {
    const ground = { ...at(0, 0), height_m: 0, airborne: 0, battery_pct: 50 };
    const flown = rows([...falling(40, 30), ...falling(24.2, 10), ...falling(9.2, 21)]);
    const later = [
      ...Array.from({ length: 10 }, (_, time_s) => ({ ...ground, time_s })),
      ...flown.map((row) => ({ ...row, time_s: row.time_s + 10, ...at(row.time_s === 45 ? 180 : 100, 0) })),
    ];
    const replay = replayRows(later, GIVEN);
    expect(askConduct(reserveFloor, replay)).toEqual({
      verdict: "fail",
      finding: {
        first: 50,
        last: 70,
        at: 70,
        value: expect.closeTo(9.2 - 0.01 * 6, 9) as number,
        limit: 10,
        message: "The battery was down to 9 % (limit 10 %) for 15 s or more while still away, up to 180 m out.",
        advice: "Be back at hand before the battery reads 25 %: on a flight like this by 00:40.",
        evidence: {
          lowest_held_pct: expect.closeTo(9.14, 9) as number,
          farthest_under_limit_m: expect.closeTo(180, 6) as number,
          first_under_limit_s: 50,
        },
      },
    });
    expect(reserveFloor.bases(replay)).toEqual(["measured", "declared"]);
  });

  it("takes a level just at a limit", () => {
    // The lowest level of 21 s that lasts for 15 s.
    const level_pct = falling(24.2, 21)[6] ?? Number.NaN;
    const asked = (policy: Readonly<Record<string, number>>): string =>
      askConduct(reserveFloor, replayRows(rows(falling(24.2, 21)), { ...GIVEN, policy })).verdict;
    expect(asked({ low_battery_floor: level_pct })).toBe("clear");
    expect(asked({ low_battery_floor: level_pct + 1e-9 })).toBe("thin");
    expect(asked({ touchdown_floor: level_pct })).toBe("thin");
    expect(asked({ touchdown_floor: level_pct + 1e-9 })).toBe("fail");
  });

  it("points at what is under the limit, and not at what is at it", () => {
    const policy = { low_battery_floor: 24.2 };
    const { finding } = askConduct(reserveFloor, replayRows(rows(falling(24.2, 21)), { ...GIVEN, policy }));
    expect(finding).toMatchObject({ first: 1, last: 20 });
    expect(finding?.advice).toMatch(/by 00:01\.$/);
  });

  const LACKS = { verdict: "unknown", lacks: ["battery", "recovery-point", "position"] };
  const lose = (given: readonly Row[], from: number): Row[] =>
    given.map((row) => (row.time_s >= from ? { ...row, battery_pct: Number.NaN } : row));

  it("says what it lacks", () => {
    const fine = rows(falling(60, 60));
    expect(askConduct(reserveFloor, replayRows(lose(fine, 44), GIVEN))).toEqual(LACKS);
    const home = rows([], falling(60, 40)).map(({ battery_pct: _, ...row }) => row);
    expect(askConduct(reserveFloor, replayRows(home, GIVEN))).toEqual(LACKS);
    // Too short to be away for 15 s, but nobody knows where it was.
    const short = rows(falling(60, 12));
    expect(askConduct(reserveFloor, replayRows(short, { recoveryPoints: [{ ...ORIGIN, at_s: 1e6 }] }))).toEqual(LACKS);
  });

  it.each([
    [15, 0, "clear"],
    [14, 1, "unknown"],
    [13, 1, "n/a"],
    [30, 14, "clear"],
    [30, 15, "unknown"],
    [0, 15, "unknown"],
    [0, 14, "n/a"],
  ] as const)(
    "away for %s s with a battery and for %s s without, then at hand, is %s",
    (with_s, without_s, verdict) => {
      const given = rows(falling(60, with_s + without_s), falling(59, 20));
      const blank = given.map((row) =>
        row.time_s >= with_s && row.time_s < with_s + without_s ? { ...row, battery_pct: Number.NaN } : row,
      );
      expect(askConduct(reserveFloor, replayRows(blank, GIVEN)).verdict).toBe(verdict);
    },
  );

  it("asks for more than no time at all", () => {
    const policy = { reserve_floor_for: 0 };
    expect(askConduct(reserveFloor, replayRows(rows([], falling(60, 40)), { ...GIVEN, policy })).verdict).toBe("n/a");
    expect(askConduct(reserveFloor, replayRows(rows(falling(60, 40)), { ...GIVEN, policy })).verdict).toBe("clear");
  });

  it("finds fifteen seconds in a hundred and fifty tenths", () => {
    const tenths = rows(falling(24.9, 150, 0.001), falling(24, 200, 0.001)).map((row) => ({
      ...row,
      time_s: row.time_s / 10,
    }));
    expect(askConduct(reserveFloor, replayRows(tenths, GIVEN)).verdict).toBe("thin");
  });

  it("counts a time by the weights of the moments, not by rows", () => {
    const sparse = rows([...falling(40, 30), ...falling(24.9, 10)]).map((row) => ({ ...row, time_s: row.time_s * 2 }));
    expect(askConduct(reserveFloor, replayRows(sparse, GIVEN)).verdict).toBe("thin");
  });
});
