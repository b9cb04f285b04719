import { describe, expect, it } from "vitest";
import { counted, floor, minutesOf } from "../../src/score/signoff-words.js";
import { flightOf } from "../helpers/results.js";

describe("minutesOf", () => {
  it("adds up the time in the air", () => {
    const flights = [90, 120, 0].map((airborne_s) => ({ name: "a", flight: flightOf({ airborne_s }) }));
    expect(minutesOf(flights)).toBe(3.5);
    expect(minutesOf([])).toBe(0);
  });

  it("rounds to a millionth of a minute", () => {
    expect(minutesOf([{ name: "a", flight: flightOf({ airborne_s: 100 }) }])).toBe(1.666667);
  });
});

describe("counted", () => {
  it.each([
    [0, "0 logs"],
    [1, "1 log"],
    [2, "2 logs"],
  ])("names %d of them", (n, words) => {
    expect(counted(n, "log")).toBe(words);
  });
});

describe("floor", () => {
  it.each([
    [89.99, 1, 89.9],
    [89.99, 0, 89],
    [0.999, 2, 0.99],
    [0.29, 2, 0.29],
    [1234, 0, 1234],
    [-0.01, 1, -0.1],
  ])("of %d to %d decimals never reaches what the value does not", (value, digits, expected) => {
    expect(floor(value, digits)).toBe(expected);
  });

  it("forgives what arithmetic loses, and no more", () => {
    expect(floor(0.7 + 0.1, 1)).toBe(0.8);
    expect(floor(0.1 + 0.7, 3)).toBe(0.8);
    expect(floor(90 - 1e-5, 0)).toBe(89);
  });
});
