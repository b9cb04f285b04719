import { describe, expect, test } from "vitest";
import type { NamedFlight } from "../../src/score/copies.js";
import type { SignedSite, SignoffPolicy } from "../../src/score/signoff-record.js";
import { siteCount, siteMinutes, sitesOf } from "../../src/score/signoff-sites.js";
import { flightOf } from "../helpers/results.js";

const at = (latitude_deg: number, longitude_deg: number, minutes: number): NamedFlight => ({
  name: "",
  flight: flightOf({
    airborne_s: minutes * 60,
    recovery_point: { latitude_deg, longitude_deg, basis: "inferred", set_at_s: 0 },
  }),
});
const site = (minutes: number): SignedSite => ({ latitude_deg: 0, longitude_deg: 0, flights: 1, minutes });
const policy = (sites: number, site_minutes: number): SignoffPolicy => ({
  flights: 0,
  minutes: 0,
  score: 0,
  coverage: 0,
  must_be_clear: [],
  within_s: 0,
  sites,
  site_minutes,
});

describe("sitesOf", () => {
  test("a kilometre from the first flight of a site is the same site; the next one may be near the second alone", () => {
    // At the equator a degree of longitude is 111.3195 km of WGS 84.
    const km = 1 / 111.319_490_8;
    const sites = sitesOf([at(0, 0, 1), at(0, 0.999 * km, 2), at(0, 1.001 * km, 4), at(0, 1.9 * km, 8)]);
    expect(sites.map(({ flights, minutes }) => [flights, minutes])).toEqual([
      [2, 3],
      [2, 12],
    ]);
  });

  test("a site lies where its first flight was, to 1e-9 degrees; a flight without a point is at none", () => {
    const nowhere: NamedFlight = { name: "", flight: flightOf({ recovery_point: null }) };
    expect(sitesOf([nowhere, at(47.123_456_789_4, 8.000_000_000_6, 1), at(47.1234, 8, 1)])).toEqual([
      { latitude_deg: 47.123_456_789, longitude_deg: 8.000_000_001, flights: 2, minutes: 2 },
    ]);
    expect(sitesOf([])).toEqual([]);
  });
});

describe("siteCount", () => {
  test.each([
    [1, 2, false, "Flown at 1 site a kilometre or more apart; asked for: 2."],
    [2, 2, true, "Flown at 2 sites a kilometre or more apart; asked for: 2."],
    [3, 2, true, "Flown at 3 sites a kilometre or more apart; asked for: 2."],
  ])("%d of %d", (found, required, met, message) => {
    const sites = Array.from({ length: found }, () => site(1));
    expect(siteCount(sites, policy(required, 0))).toEqual({
      id: "sites",
      rule: null,
      required,
      found,
      unit: "sites",
      met,
      message,
      exceptions: [],
    });
  });
});

describe("siteMinutes", () => {
  const sites = [site(5), site(20.05), site(12)];

  test.each([
    [0, 20.05, 20.05, true, "20 minutes at the site flown at most; asked for: 20.05."],
    [1, 20.1, 20.05, false, "20 minutes at the site flown at most; asked for: 20.1."],
    [2, 12, 12, true, "12 minutes at the 2 sites flown at most, each; asked for: 12."],
    [3, 12, 5, false, "5 minutes at the 3 sites flown at most, each; asked for: 12."],
    [4, 1, 0, false, "0 minutes at the 4 sites flown at most, each; asked for: 1."],
  ])("at each of %d sites, %d minutes", (count, required, found, met, message) => {
    expect(siteMinutes(sites, policy(count, required))).toEqual({
      id: "site-minutes",
      rule: null,
      required,
      found,
      unit: "min",
      met,
      message,
      exceptions: [],
    });
  });
});
