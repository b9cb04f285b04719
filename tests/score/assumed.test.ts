import { describe, expect, it } from "vitest";
import type { Basis } from "../../src/config/declared.js";
import { assumedPaths } from "../../src/score/assumed.js";
import { flightOf } from "../helpers/results.js";

const { drain } = flightOf();
const input = (basis: Basis) => ({ value: 1, unit: "m", basis, from: "somewhere" });

describe("assumedPaths", () => {
  it("has what was assumed of the inputs, in their order, and the drain after them", () => {
    const inputs = {
      b: input("assumed"),
      told: input("declared"),
      seen: input("measured"),
      fit: input("fitted"),
      worked_out: input("inferred"),
      a: input("assumed"),
    };
    expect(assumedPaths({ inputs, drain })).toEqual(["b", "a", "aircraft.drain"]);
    expect(assumedPaths({ inputs, drain: { ...drain, basis: "fitted" } })).toEqual(["b", "a"]);
  });

  it("is empty where nothing was assumed", () => {
    expect(assumedPaths({ inputs: {}, drain: { ...drain, basis: "declared" } })).toEqual([]);
    expect(assumedPaths({ inputs: {}, drain })).toEqual(["aircraft.drain"]);
  });
});
