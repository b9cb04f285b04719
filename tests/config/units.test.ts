import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { acceptedUnits, parseQuantity, withUnit, type Dimension } from "../../src/config/units.js";
import { UserError } from "../../src/user-error.js";

/**
 * Exact by definition. Foot, statute mile, pound: international yard and pound agreement, 1959. Nautical mile:
 * International Hydrographic Conference, Monaco 1929.
 */
const FOOT_M = 0.3048;
const MILE_M = 1609.344;
const NAUTICAL_MILE_M = 1852;
const POUND_KG = 0.45359237;

describe("parseQuantity", () => {
  it.each<[string | number, Dimension, number]>([
    ["60 m", "length", 60],
    ["60m", "length", 60],
    ["  60  m ", "length", 60],
    [60, "length", 60],
    ["60", "length", 60],
    ["-3.5 m", "length", -3.5],
    ["+.5 m", "length", 0.5],
    ["5. m", "length", 5],
    ["1e3 m", "length", 1000],
    ["250 cm", "length", 2.5],
    ["1.2 km", "length", 1200],
    ["1 ft", "length", FOOT_M],
    ["200 feet", "length", 200 * FOOT_M],
    ["400 FT", "length", 121.92],
    ["1 mi", "length", MILE_M],
    ["1 nmi", "length", NAUTICAL_MILE_M],
    ["2 NM", "length", 2 * NAUTICAL_MILE_M],
    ["5 m/s", "speed", 5],
    ["5 m / s", "speed", 5],
    ["36 km/h", "speed", 10],
    ["1 kt", "speed", NAUTICAL_MILE_M / 3600],
    ["15 kn", "speed", (15 * NAUTICAL_MILE_M) / 3600],
    ["15 knots", "speed", (15 * NAUTICAL_MILE_M) / 3600],
    ["1 mph", "speed", 0.44704],
    ["600 ft/min", "speed", 3.048],
    [3, "time", 3],
    ["250 ms", "time", 0.25],
    ["2 min", "time", 120],
    ["1.5 h", "time", 5400],
    ["90 d", "time", 90 * 86_400],
    ["6:52", "time", 412],
    ["0:06:52", "time", 412],
    ["00:05:10", "time", 310],
    ["123:00:00.5", "time", 442_800.5],
    [60, "minutes", 60],
    ["1 h", "minutes", 60],
    ["270 deg", "angle", 270],
    ["270°", "angle", 270],
    ["3.141592653589793 rad", "angle", 180],
    ["-122.5 deg", "coordinate", -122.5],
    ["25 %", "percent", 25],
    ["25%", "percent", 25],
    ["-0 %", "percent", 0],
    ["-0", "length", 0],
    [25, "percent", 25],
    [0, "percent", 0],
    [1, "percent", 1],
    ["0.25 %", "percent", 0.25],
    [0.8, "share", 0.8],
    ["80 %", "share", 0.8],
    ["7 %", "share", 0.07],
    ["3.5 %/min", "rate", 3.5],
    [0.5, "rate", 0.5],
    ["14.8 V", "voltage", 14.8],
    ["3400 mV", "voltage", 3.4],
    ["5.2 Ah", "charge", 5200],
    ["5200 mAh", "charge", 5200],
    ["0.18 kW", "power", 180],
    ["1400 g", "mass", 1.4],
    ["1 lb", "mass", POUND_KG],
    [4, "count", 4],
    ["0.143", "count", 0.143],
  ])("reads %j as a %s: %d", (text, dimension, expected) => {
    expect(parseQuantity(text, dimension)).toBe(expected);
  });

  it.each<[string | number, Dimension, string]>([
    ["60 kg", "length", "`60 kg` is not a length. Write metres or feet, such as `60 m`."],
    ["high", "length", "`high` is not a length. Write metres or feet, such as `60 m`."],
    ["", "length", "`` is not a length. Write metres or feet, such as `60 m`."],
    ["60 m 5", "length", "`60 m 5` is not a length. Write metres or feet, such as `60 m`."],
    ["6:52", "length", "`6:52` is not a length. Write metres or feet, such as `6 m`."],
    ["1,5 m", "length", "`1,5 m` is not a length. Use a dot for the decimals: `1.5 m`."],
    ["1 000 m", "length", "`1 000 m` is not a length. Write metres or feet, such as `1 m`."],
    ["1e308", "length", "`1e308` is too large for a length. Write metres or feet, such as `60 m`."],
    ["-1000001 km", "length", "`-1000001 km` is too large for a length. Write metres or feet, such as `60 m`."],
    [
      "999999:00:00",
      "time",
      "`999999:00:00` is too large for a time. Write ms, s, min, h, d or hh:mm:ss, such as `3 s`.",
    ],
    ["12 constructor", "length", "`12 constructor` is not a length. Write metres or feet, such as `12 m`."],
    [Number.NaN, "length", "`NaN` is not a length. Write metres or feet, such as `60 m`."],
    [Number.POSITIVE_INFINITY, "length", "`Infinity` is not a length. Write metres or feet, such as `60 m`."],
    ["1e999 m", "length", "`1e999 m` is not a length. Write metres or feet, such as `60 m`."],
    ["5 m", "speed", "`5 m` is not a speed. Write m/s, km/h, mph, kt or ft/min, such as `5 m/s`."],
    ["5 m", "time", "`5 m` is not a time. Write ms, s, min, h, d or hh:mm:ss, such as `5 s`."],
    ["6:75", "time", "`6:75` is not a time. Write ms, s, min, h, d or hh:mm:ss, such as `6 s`."],
    ["60 s", "minutes", "`60 s` is not a number of minutes. Write minutes or hours, such as `60 min`."],
    ["270 m", "angle", "`270 m` is not an angle. Write degrees or radians, such as `270 deg`."],
    ["47°6'N", "coordinate", "`47°6'N` is not a latitude or longitude. Write decimal degrees, such as `47 deg`."],
    ["25 m", "percent", "`25 m` is not a percentage. Write percent, such as `25 %`."],
    [0.25, "percent", "`0.25` may be meant as 25 % or as 0.25 %. Write `25 %` or `0.25 %`."],
    ["0.07", "percent", "`0.07` may be meant as 7 % or as 0.07 %. Write `7 %` or `0.07 %`."],
    ["half", "share", "`half` is not a share. Write 0 to 1, or percent, such as `0.8`."],
    ["5 %", "rate", "`5 %` is not a rate of battery use. Write percent a minute, such as `5 %/min`."],
    ["5 A", "voltage", "`5 A` is not a voltage. Write volts, such as `5 V`."],
    ["5 Wh", "charge", "`5 Wh` is not a charge. Write mAh or Ah, such as `5 mAh`."],
    ["5 hp", "power", "`5 hp` is not a power. Write watts, such as `5 W`."],
    ["5 m", "mass", "`5 m` is not a mass. Write kilograms, grams or pounds, such as `5 kg`."],
    ["4 cells", "count", "`4 cells` is not a number. Write a number without a unit, such as `4`."],
  ])("refuses %j as a %s and says what to write", (text, dimension, line) => {
    expect(mistakeOf(() => parseQuantity(text, dimension)).line).toBe(line);
  });

  it("shows control characters and cuts long text", () => {
    const { message } = mistakeOf(() => parseQuantity(`\u001B[31m${"x".repeat(100)}`, "length"));
    expect(message).toBe(`\`\\u{1b}[31m${"x".repeat(50)}…\` is not a length.`);
  });

  it("gives back what it prints with the base unit", () => {
    const dimensions: Dimension[] = [
      "length",
      "speed",
      "time",
      "angle",
      "percent",
      "rate",
      "voltage",
      "charge",
      "mass",
    ];
    const value = fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e9, max: 1e9 });
    fc.assert(
      fc.property(value, fc.constantFrom(...dimensions), (value, dimension) => {
        expect(parseQuantity(withUnit(value, dimension), dimension)).toBe(value + 0);
      }),
    );
  });

  it("goes to another unit and back within a few units in the last place", () => {
    const factors: [Dimension, string, number][] = [
      ["length", "ft", FOOT_M],
      ["length", "nmi", NAUTICAL_MILE_M],
      ["speed", "kt", NAUTICAL_MILE_M / 3600],
      ["speed", "mph", MILE_M / 3600],
      ["mass", "lb", POUND_KG],
      ["time", "h", 3600],
    ];
    const value = fc.double({ noNaN: true, min: 1e-3, max: 1e6 });
    fc.assert(
      fc.property(value, fc.constantFrom(...factors), (value, [dimension, unit, factor]) => {
        const back = parseQuantity(`${value / factor} ${unit}`, dimension);
        expect(Math.abs(back / value - 1)).toBeLessThan(1e-14);
      }),
    );
  });
});

describe("acceptedUnits", () => {
  it("gives an example of its own, or the number that was read", () => {
    expect(acceptedUnits("length")).toBe("Write metres or feet, such as `60 m`.");
    expect(acceptedUnits("length", 7)).toBe("Write metres or feet, such as `7 m`.");
  });
});

function mistakeOf(run: () => unknown): UserError {
  try {
    run();
  } catch (error) {
    if (error instanceof UserError) return error;
    throw error;
  }
  throw new Error("Nothing was thrown.");
}
