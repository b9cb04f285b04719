import { distance_m } from "../num/geodesic.js";
import { roundDegrees } from "../num/round.js";
import type { NamedFlight } from "./copies.js";
import type { Requirement, SignedSite, SignoffPolicy } from "./signoff-record.js";
import { counted as count, floor, minutesOf } from "./signoff-words.js";

/** Project default: recovery points this near to each other are one site. */
const SITE_WITHIN_M = 1000;

/** @returns flights by site, in the order of the first flight at each; those without a recovery point are at none */
export function sitesOf(counted: readonly NamedFlight[]): SignedSite[] {
  const sites: { latitude_deg: number; longitude_deg: number; flights: NamedFlight[] }[] = [];
  for (const named of counted) {
    const point = named.flight.recovery_point;
    if (point === null) continue;
    const { latitude_deg, longitude_deg } = point;
    const near = sites.find(
      (site) => distance_m(site.latitude_deg, site.longitude_deg, latitude_deg, longitude_deg) <= SITE_WITHIN_M,
    );
    if (near === undefined) sites.push({ latitude_deg, longitude_deg, flights: [named] });
    else near.flights.push(named);
  }
  return sites.map(({ latitude_deg, longitude_deg, flights }) => ({
    latitude_deg: roundDegrees(latitude_deg) ?? 0,
    longitude_deg: roundDegrees(longitude_deg) ?? 0,
    flights: flights.length,
    minutes: minutesOf(flights),
  }));
}

/** Flown at so many different sites. */
export function siteCount(sites: readonly SignedSite[], policy: SignoffPolicy): Requirement {
  return {
    id: "sites",
    rule: null,
    required: policy.sites,
    found: sites.length,
    unit: "sites",
    met: sites.length >= policy.sites,
    message: `Flown at ${count(sites.length, "site")} a kilometre or more apart; asked for: ${policy.sites}.`,
    exceptions: [],
  };
}

/** So many minutes at each of as many sites as were asked for; at one where none were. */
export function siteMinutes(sites: readonly SignedSite[], policy: SignoffPolicy): Requirement {
  const wanted = Math.max(1, policy.sites);
  const sorted = sites.map(({ minutes }) => minutes).toSorted((a, b) => b - a);
  const found = sorted[wanted - 1] ?? 0;
  return {
    id: "site-minutes",
    rule: null,
    required: policy.site_minutes,
    found,
    unit: "min",
    met: found >= policy.site_minutes,
    message: `${floor(found, 1)} minutes at the ${wanted === 1 ? "site flown at most" : `${wanted} sites flown at most, each`}; asked for: ${policy.site_minutes}.`,
    exceptions: [],
  };
}
