import { describe, expect, test } from "vitest";
import { convert, findUnit, findUnits, type Dimension } from "../../src/parsers/units.js";

describe("units", () => {
  test.each<[string, Dimension, number, number]>([
    ["m", "length", 3, 3],
    ["ft", "length", 1, 0.3048],
    ["km", "length", 1.5, 1500],
    ["mi", "length", 1, 1609.344],
    ["nmi", "length", 1, 1852],
    ["cm", "length", 123, 1.23],
    ["mm", "length", 1234, 1.234],
    ["m/s", "speed", 2, 2],
    ["m s-1", "speed", 2, 2],
    ["ms", "speed", 2, 2],
    ["km/h", "speed", 36, 10],
    ["mph", "speed", 10, 4.4704],
    ["kt", "speed", 9, 4.63],
    ["knots", "speed", 9, 4.63],
    ["ft/min", "speed", 200, 1.016],
    ["cm/s", "speed", 5, 0.05],
    ["%", "percent", 50, 50],
    ["0-1", "percent", 0.5, 50],
    ["0–1", "percent", 0.5, 50],
    ["mV", "voltage", 15_200, 15.2],
    ["mA", "current", 12_345, 12.345],
    ["Ah", "charge", 0.25, 250],
    ["Wh", "energy", 3, 3],
    ["deg", "angle", 3, 3],
    ["°", "angle", 3, 3],
    ["rad", "angle", Math.PI, 180],
    ["1e-7 deg", "angle", 471234567, 47.1234567],
    ["1E-7deg", "angle", -82345678, -8.2345678],
    ["0.1 V", "voltage", 152, 15.2],
    ["10 mV", "voltage", 1520, 15.2],
    ["100 ft", "length", 4, 121.92],
    ["s", "time", 3, 3],
    ["ms", "time", 1500, 1.5],
    ["µs", "time", 1_500_000, 1.5],
    ["us", "time", 1_500_000, 1.5],
    ["°C", "temperature", 20, 20],
    ["° F", "temperature", 50, 10],
    ["degF", "temperature", -40, -40],
    ["K", "temperature", 273.15, 0],
  ])("%s of %s: %d is %d", (text, dimension, value, expected) => {
    const unit = findUnit(text, dimension);
    expect(unit && convert(value, unit)).toBe(expected);
  });

  test("one spelling may mean several dimensions", () => {
    expect(
      findUnits("ms")
        .map(({ dimension }) => dimension)
        .toSorted(),
    ).toEqual(["speed", "time"]);
  });

  test.each(["", "furlong", "1e-7", "0 m", "1e999 m", "1e-7 °F"])("%s is no unit", (text) => {
    expect(findUnits(text)).toEqual([]);
  });
});
