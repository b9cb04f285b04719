import { describe, expect, it } from "vitest";
import { wholeDrain } from "../../src/aircraft/drain.js";
import { DrainDoubt, NeedRates, noMinutes, type RegimeMinutes, together } from "../../src/recovery/need-rates.js";

/** In the order of the regimes: hover, climb, cruise, descent. */
const RATES = [5, 7, 11, 3];
const MINUTES: RegimeMinutes = { hover: 2, climb: 10, cruise: 100, descent: 1000 };
const ENDLESS: RegimeMinutes = { ...MINUTES, cruise: Number.POSITIVE_INFINITY };

describe("what a recovery uses", () => {
  const rates = (): NeedRates => new NeedRates(RATES);

  it("is each regime's rate over its time", () => {
    expect(rates().total_pct(MINUTES)).toBe(10 + 70 + 1100 + 3000);
    expect(rates().vertical_pct(MINUTES)).toBe(10 + 70 + 3000);
    expect(rates()).toMatchObject({ climb: 7, cruise: 11, descent: 3 });
  });

  it("is without end where the leg is, even at no rate", () => {
    expect(rates().total_pct(ENDLESS)).toBe(Number.POSITIVE_INFINITY);
    expect(new NeedRates([0, 0, 0, 0]).total_pct(ENDLESS)).toBe(Number.POSITIVE_INFINITY);
    expect(rates().vertical_pct(ENDLESS)).toBe(3080);
  });

  it("is not known where a time is not", () => {
    expect(rates().total_pct({ ...MINUTES, climb: Number.NaN })).toBeNaN();
  });
});

describe("how far a need may be off", () => {
  const doubt = (spread_pct: number, covariance?: readonly (readonly number[])[]): DrainDoubt => {
    const drain = wholeDrain("declared", "declared", RATES, spread_pct);
    return new DrainDoubt(covariance === undefined ? drain : { ...drain, covariance });
  };
  /** All zeros but for one pair of regimes. */
  const only = (i: number, j: number, value: number): number[][] =>
    [0, 1, 2, 3].map((row) => [0, 1, 2, 3].map((column) => (row === i && column === j ? value : 0)));

  it("is a share of it by the spread", () => {
    expect(doubt(10).deviation_pct(40, MINUTES)).toBeCloseTo(4, 12);
    expect(doubt(0).deviation_pct(40, MINUTES)).toBe(0);
  });

  it.each([
    [0, 0, 1, 2],
    [1, 1, 1, 10],
    [2, 2, 1, 100],
    [3, 3, 1, 1000],
    [0, 1, 5, 10],
    [1, 2, 10, 100],
    [3, 2, 10, 1000],
  ])("is by the covariance of regimes %d and %d over their times", (i, j, value, expected) => {
    expect(doubt(0, only(i, j, value)).deviation_pct(40, MINUTES)).toBeCloseTo(expected, 9);
  });

  it("is both of them together, as independent ones are", () => {
    // 30 % of 100, and 20 a minute over two of hover: 30² + 40² = 50².
    expect(doubt(30, only(0, 0, 400)).deviation_pct(100, MINUTES)).toBeCloseTo(50, 9);
  });

  it("is none where rounding makes a variance less than none, or the leg has no end", () => {
    expect(doubt(0, only(0, 1, -1)).deviation_pct(40, MINUTES)).toBe(0);
    expect(doubt(10).deviation_pct(Number.POSITIVE_INFINITY, ENDLESS)).toBe(0);
  });
});

describe("doubts together", () => {
  it("are as far off as independent ones are, and without end where one is", () => {
    expect(together(3, 4, 12, 84)).toBe(85);
    expect(together(0, 0, 0, -2)).toBe(2);
    expect(together(1, Number.POSITIVE_INFINITY, 2, 3)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe("times to be written over", () => {
  it("are not known before", () => {
    const untold = Number.NaN;
    expect(noMinutes()).toEqual({ hover: untold, climb: untold, cruise: untold, descent: untold });
  });
});
