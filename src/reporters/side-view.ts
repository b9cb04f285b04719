import type { RehearsalResult } from "../score/rehearsal-result.js";

/** A recovery from the side, ready to be drawn: metres along the leg, and above the ground at the recovery point. */
export interface SideView {
  readonly length_m: number;
  readonly start_m: number;
  readonly leg_m: number;
  /** The lowest and the highest thing in the picture. */
  readonly low_m: number;
  readonly high_m: number;
  readonly samples: readonly {
    readonly along_m: number;
    /** null where it is not known. */
    readonly ground_m: number | null;
    /** null where nothing stands of which that is known. */
    readonly top_m: number | null;
    /** Something stands there whose top is not known. */
    readonly hasUnknownTop: boolean;
  }[];
  /** Where the leg is nearest to what is under it. */
  readonly nearest: { readonly along_m: number; readonly under_m: number; readonly clearance_m: number } | undefined;
}

/** @returns the view; undefined for a recovery that lands on the spot, or whose place or height is not known */
export function sideView(rehearsal: RehearsalResult): SideView | undefined {
  const { height_m: start_m, leg_height_m: leg_m, distance_m: length_m, profile, clearance } = rehearsal;
  if (rehearsal.at_hand || start_m === null || leg_m === null || length_m === null || length_m <= 0) return undefined;
  const samples = (profile?.along_m ?? []).flatMap((along_m, i) =>
    along_m === null
      ? []
      : [
          {
            along_m,
            ground_m: profile?.ground_m[i] ?? null,
            top_m: profile?.obstacle_top_m[i] ?? null,
            hasUnknownTop: profile?.obstacle_unknown[i] ?? false,
          },
        ],
  );
  const heights = samples.flatMap(({ ground_m, top_m }) => [ground_m, top_m]).filter((height) => height !== null);
  const centre_m = clearance?.centre_m ?? null;
  const highest = samples.reduce<{ along_m: number; under_m: number } | undefined>(
    (best, { along_m, ground_m, top_m }) => {
      const under_m = Math.max(ground_m ?? Number.NEGATIVE_INFINITY, top_m ?? Number.NEGATIVE_INFINITY);
      if (under_m === Number.NEGATIVE_INFINITY || (best !== undefined && best.under_m >= under_m)) return best;
      return { along_m, under_m };
    },
    undefined,
  );
  return {
    length_m,
    start_m,
    leg_m,
    low_m: heights.reduce((a, b) => Math.min(a, b), Math.min(0, start_m)),
    high_m: heights.reduce((a, b) => Math.max(a, b), Math.max(leg_m, start_m)),
    samples,
    nearest:
      centre_m === null || highest === undefined
        ? undefined
        : { along_m: highest.along_m, under_m: leg_m - centre_m, clearance_m: centre_m },
  };
}
