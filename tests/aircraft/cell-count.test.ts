import { describe, expect, it } from "vitest";
import { inferCells } from "../../src/aircraft/cell-count.js";
import { findFlights } from "../../src/track/flights.js";
import { at, trackOf } from "../helpers/flights.js";

/** A steady flight with this pack voltage and charge. */
function told(voltage_V: number, charge_pct: number) {
  const rows = Array.from({ length: 30 }, (_, time_s) => ({
    time_s,
    ...at(20, 0),
    voltage_V,
    battery_pct: charge_pct,
    airborne: time_s > 3 ? 1 : 0,
  }));
  const track = trackOf(rows);
  const [flight] = findFlights(track, { longestGap_s: 5, shortestFlight_s: 10 }).flights;
  if (flight === undefined) throw new Error("no flight");
  return inferCells(track, flight, track.columns.battery_pct);
}

describe("cells inferred from the voltage at a known charge", () => {
  it.each([
    [4.2, 100, 1],
    [8.3, 98, 2],
    [12.5, 95, 3],
    [16.8, 100, 4],
    [15.2, 90, 4],
    [24.9, 96, 6],
    [14.6, 70, 4],
  ])("%s V at %s %% is %s", (voltage_V, charge_pct, cells) => {
    expect(told(voltage_V, charge_pct).cells).toBe(cells);
  });

  it.each([
    // Between 3 × 4.25 and 4 × 3.8 there is no count; five cells of another chemistry at 3.6 V are none of 4.2 V.
    [14, 95, /fits no number of 4\.2 V cells/],
    [18, 100, /fits no number/],
    [21, 65, /fits 5 or 6 cells/],
    [16.8, 59, /too little charge/],
    [16.8, Number.NaN, /without a charge/],
    [Number.NaN, 100, /no voltage/],
  ])("%s V at %s %% is refused", (voltage_V, charge_pct, why) => {
    const { cells, from } = told(voltage_V, charge_pct);
    expect(cells).toBeUndefined();
    expect(from).toMatch(why);
  });
});
