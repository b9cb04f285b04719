import type { FlightResult } from "./result.js";

/** A flight with a name that a reader finds it by. */
export interface NamedFlight {
  readonly name: string;
  readonly flight: FlightResult;
}

/** How near two flights must be to be taken for one. */
interface Nearness {
  readonly time_s: number;
  readonly share: number;
  readonly least_m: number;
  readonly charge_pct: number;
}

/** Another format or sampling rate starts and ends with its own samples, and changes lengths a little. */
const LOOSE: Nearness = { time_s: 3, share: 0.02, least_m: 3, charge_pct: 1 };
/** The same samples under another date; a planned flight flown twice differs by more. */
const TIGHT: Nearness = { time_s: 0.2, share: 0.0005, least_m: 0.1, charge_pct: 0.01 };

/**
 * Finds flights that are other recordings of an earlier one: they overlap in time, since nobody flies twice at once, or
 * they are of one shape, since a clock that was set anew makes no new flight.
 * @returns by flight, the name of the one that it copies
 */
export function findCopies(flights: readonly NamedFlight[]): Map<FlightResult, string> {
  const copies = new Map<FlightResult, string>();
  const firsts: NamedFlight[] = [];
  for (const named of flights) {
    const original = firsts.find(({ flight }) => isCopy(flight, named.flight));
    if (original === undefined) firsts.push(named);
    else copies.set(named.flight, original.name);
  }
  return copies;
}

function isCopy(a: FlightResult, b: FlightResult): boolean {
  if (a.start_utc === null || b.start_utc === null) return isAlike(a, b, LOOSE);
  const startA = Date.parse(a.start_utc) / 1000;
  const startB = Date.parse(b.start_utc) / 1000;
  const shared_s = Math.min(startA + a.airborne_s, startB + b.airborne_s) - Math.max(startA, startB);
  return shared_s > LOOSE.time_s || isAlike(a, b, TIGHT);
}

/** As long, as far, as high, from the same spot and with the same battery, as far as both know it. */
function isAlike(a: FlightResult, b: FlightResult, near: Nearness): boolean {
  const isClose = (a_m: number | null, b_m: number | null): boolean =>
    a_m === null || b_m === null || Math.abs(a_m - b_m) <= Math.max(near.least_m, near.share * Math.max(a_m, b_m));
  const isSameCharge = (a_pct: number | null, b_pct: number | null): boolean =>
    a_pct === null || b_pct === null || Math.abs(a_pct - b_pct) <= near.charge_pct;
  return (
    Math.abs(a.airborne_s - b.airborne_s) <= near.time_s &&
    isClose(a.distance_flown_m, b.distance_flown_m) &&
    isClose(a.farthest_m, b.farthest_m) &&
    isClose(a.highest_m, b.highest_m) &&
    isSameSpot(a, b) &&
    isSameCharge(a.battery_start_pct, b.battery_start_pct) &&
    isSameCharge(a.battery_end_pct, b.battery_end_pct)
  );
}

/** Within some ten metres: a hundred-thousandth of a degree is a metre of latitude. */
function isSameSpot({ recovery_point: a }: FlightResult, { recovery_point: b }: FlightResult): boolean {
  if (a === null || b === null) return true;
  return Math.abs(a.latitude_deg - b.latitude_deg) < 1e-4 && Math.abs(a.longitude_deg - b.longitude_deg) < 1e-4;
}
