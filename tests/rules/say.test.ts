import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { apart, clock, sayIn } from "../../src/rules/say.js";

describe("words for numbers", () => {
  const say = sayIn("metric");

  it("keeps two different numbers apart, with the fewest decimals that do", () => {
    expect(say.beside("percent", 19.96, 20)).toEqual(["19.96 %", "20.00 %"]);
    expect(say.beside("percent", 12, 20)).toEqual(["12 %", "20 %"]);
    expect(say.beside("length", 5, 5)).toEqual(["5 m", "5 m"]);
    expect(say.beside("length", 0.4, 10)).toEqual(["0 m", "10 m"]);
    expect(say.beside("speed", 0.4, 1)).toEqual(["0.4 m/s", "1.0 m/s"]);
    expect(say.beside("speed", -2, 1)).toEqual(["-2 m/s", "1 m/s"]);
    expect(say.beside("speed", 0.96, 1)).toEqual(["0.96 m/s", "1.00 m/s"]);
    expect(say.beside("count", 7, 8)).toEqual(["7", "8"]);
    const imperial = sayIn("imperial");
    expect(imperial.beside("length", 0.3048 * 30, 0.3048 * 40)).toEqual(["30 ft", "40 ft"]);
    expect(imperial.beside("speed", (1852 / 3600) * 3, (1852 / 3600) * 2.5)).toEqual(["3.0 kt", "2.5 kt"]);
    expect(imperial.beside("percent", 9, 10)).toEqual(["9 %", "10 %"]);
    expect(imperial.beside("count", 9, 10)).toEqual(["9", "10"]);
    // Six decimals are the most before a number is printed as it is.
    expect(apart(1.000001, 1)).toEqual(["1.000001", "1.000000"]);
    expect(apart(0.1, 0.1, 2)).toEqual(["0.10", "0.10"]);
    expect(apart(1 + 1e-9, 1)).toEqual(["1.000000001", "1"]);
    fc.assert(
      fc.property(
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        (a, b) => {
          const [left, right] = apart(a, b);
          expect(left === right).toBe(a === b);
        },
      ),
    );
  });

  it("gives lengths, speeds and durations as a pilot would read them", () => {
    expect([say.length(0), say.length(3.04), say.length(9.97), say.length(212.4)]).toEqual([
      "0 m",
      "3 m",
      "10 m",
      "212 m",
    ]);
    expect([say.speed(10), say.speed(3.46)]).toEqual(["10 m/s", "3.5 m/s"]);
    expect([say.duration(0), say.duration(4.44), say.duration(59.6), say.duration(185)]).toEqual([
      "0 s",
      "4.4 s",
      "1 min 00 s",
      "3 min 05 s",
    ]);
    expect(say.percent(-0.01)).toBe("0 %");
    expect([say.percent(-0.4), say.percent(-10), say.percent(12.6)]).toEqual(["-0.4 %", "-10 %", "13 %"]);
    expect(apart(-0.001, 0, 2)).toEqual(["-0.001", "0.000"]);
    expect(apart(-0.0001, 0.0001, 2)).toEqual(["-0.0001", "0.0001"]);
    expect([say.length(9.95), say.length(9.94), say.length(-3.25)]).toEqual(["10 m", "9.9 m", "-3.3 m"]);
    expect([say.duration(9.95), say.duration(42.4), say.duration(60)]).toEqual(["10 s", "42 s", "1 min 00 s"]);
    expect([say.climb(2.5), say.climb(3)]).toEqual(["2.5 m/s", "3 m/s"]);
    expect(say.length(Number.POSITIVE_INFINITY)).toBe("no end of m");
    expect(say.percent(Number.NEGATIVE_INFINITY)).toBe("nothing %");
  });

  it("gives feet and knots, by the international definitions", () => {
    const imperial = sayIn("imperial");
    expect(imperial.length(0.3048 * 400)).toBe("400 ft");
    expect(imperial.speed((1852 / 3600) * 15)).toBe("15 kt");
    expect(imperial.climb(0.3048)).toBe("60 ft/min");
  });

  it("gives times as minutes and seconds, with hours from one on, rounded down", () => {
    expect([clock(0), clock(59.99), clock(418), clock(3599.9999999), clock(3725)]).toEqual([
      "00:00",
      "00:59",
      "06:58",
      "1:00:00",
      "1:02:05",
    ]);
  });
});
