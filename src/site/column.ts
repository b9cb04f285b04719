/** A climb straight up. */
export interface Column {
  latitude_deg: number;
  longitude_deg: number;
  /** Elevation of the aircraft, in the site's frame; NaN where it is not known. */
  from_m: number;
  /** Elevation to which it climbs. */
  to_m: number;
  /** Elevation of the ground under the aircraft, from which the underside of a cover counts; NaN where not known. */
  ground_m: number;
  /** Radius of the disc round the column that is asked too. */
  radius_m: number;
}

/**
 * What a climb would meet; the caller owns it and it is written over at each call, so that no moment allocates.
 * Numbers of things: an obstacle's own, or -2 less the number of a zone; -1 for none.
 */
export interface ColumnMet {
  /** Climb to the lowest thing over the aircraft itself, m; Infinity where there is none. */
  up_m: number;
  over: number;
  /** The same without what only a project default makes high. */
  upKnown_m: number;
  /** Climb to the lowest thing in the disc, m: 0 where it stands beside the aircraft; never above `up_m`. */
  upNear_m: number;
  overNear: number;
  upNearKnown_m: number;
  /** The solid that the aircraft is in, as logged; -1 for none. */
  inside: number;
  insideKnown: number;
  /** False where something is in the disc and it cannot be said how high it or the aircraft is. */
  isWhole: boolean;
}

/** @returns an answer that was not written yet: nothing met */
export function nothingMet(): ColumnMet {
  return {
    up_m: Number.POSITIVE_INFINITY,
    over: -1,
    upKnown_m: Number.POSITIVE_INFINITY,
    upNear_m: Number.POSITIVE_INFINITY,
    overNear: -1,
    upNearKnown_m: Number.POSITIVE_INFINITY,
    inside: -1,
    insideKnown: -1,
    isWhole: true,
  };
}

/** Makes an answer that of nothing met. */
export function clearMet(out: ColumnMet): void {
  out.up_m = Number.POSITIVE_INFINITY;
  out.over = -1;
  out.upKnown_m = Number.POSITIVE_INFINITY;
  out.upNear_m = Number.POSITIVE_INFINITY;
  out.overNear = -1;
  out.upNearKnown_m = Number.POSITIVE_INFINITY;
  out.inside = -1;
  out.insideKnown = -1;
  out.isWhole = true;
}

/** Lowers the answer by something that begins at `up_m` over the aircraft. */
export function meet(out: ColumnMet, what: number, up_m: number, isInColumn: boolean, isAssumed: boolean): void {
  if (up_m < out.upNear_m) {
    out.upNear_m = up_m;
    out.overNear = what;
  }
  if (!isAssumed) out.upNearKnown_m = Math.min(out.upNearKnown_m, up_m);
  if (!isInColumn) return;
  if (up_m < out.up_m) {
    out.up_m = up_m;
    out.over = what;
  }
  if (!isAssumed) out.upKnown_m = Math.min(out.upKnown_m, up_m);
}
