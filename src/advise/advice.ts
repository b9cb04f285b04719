import type { Basis } from "../config/declared.js";

/** A spot on the ground. */
export interface AdvicePosition {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}

/** Where something was found: a spot, and the flight and time that went there (null for the declared radius). */
export interface AdvicePlace extends AdvicePosition {
  readonly log: string | null;
  readonly flight: number | null;
  readonly at_s: number | null;
}

/** The recovery height for the next flight. */
export interface HeightAdvice {
  /**
   * `safe`: clears every way home and stays legal; `partly`: as far as the ground and what stands on it are known;
   * `none`: no height does both; `unknown`: cannot be told.
   */
  readonly status: "safe" | "partly" | "none" | "unknown";
  /** What to set: the least, rounded up to a whole metre (foot); by the spot in `counts_from`. */
  readonly set_m: number | null;
  readonly least_m: number | null;
  readonly counts_from: "recovery-point" | "take-off";
  readonly clearance_m: number;
  /** What dictates it, where it stands, and the start of that way home. */
  readonly dictated_by: { readonly over: string; readonly at: AdvicePosition; readonly from: AdvicePlace } | null;
  /** The most over the ground on any way home at `set_m`, and where. */
  readonly over_ground: {
    readonly most_m: number;
    readonly legal_m: number;
    readonly is_legal: boolean;
    readonly at: AdvicePosition;
    readonly from: AdvicePlace;
  } | null;
  /** The height set on the last flight; null where it was only assumed. */
  readonly was_m: number | null;
  readonly asked: number;
  /** Ways home over ground that is not known, of those asked, and the first of them. */
  readonly unseen: number;
  readonly unseen_from: AdvicePlace | null;
  /** Whether all that stands on the ground was declared. */
  readonly knows_obstacles: boolean;
}

/** Battery at which to turn back in one direction at one distance; null where none is enough. */
export interface TurnbackCell {
  readonly direction: string;
  /** By the upper need, and by the middle one. */
  readonly upper_pct: number | null;
  readonly middle_pct: number | null;
  readonly reason: "no_headway" | "over_full" | null;
}

/** When to turn back. */
export interface TurnbackAdvice {
  readonly reserve_pct: number;
  readonly upper_pct: number;
  /** Of the leg home over the recovery point, the climb to it counted from the ground there. */
  readonly leg_height_m: number;
  readonly wind: { readonly basis: Basis; readonly text: string };
  readonly drain_basis: Basis;
  readonly upper_is: "level" | "bound";
  readonly rows: readonly { readonly distance_m: number; readonly cells: readonly TurnbackCell[] }[];
}

/** What the aircraft should do when the link is lost. */
export interface LostLinkAdvice {
  readonly declared: "return" | "land" | "hold" | null;
  /** Away from any zone; null where it cannot be said. */
  readonly elsewhere: { readonly action: "return" | null; readonly why: string };
  readonly zones_declared: boolean;
  readonly zones: readonly {
    readonly name: string;
    readonly zone: string;
    readonly action: "return" | "hold";
    readonly why: string;
  }[];
}

/** Advice for the next flight at a site, from the flights made there. */
export interface SiteAdvice {
  readonly format: "homeleg-advice";
  readonly format_version: 1;
  readonly flights: readonly { readonly log: string; readonly flight: number; readonly farthest_m: number | null }[];
  /** The point that the radius and the table count from: that of the last flight which has one. */
  readonly recovery_point: (AdvicePosition & { readonly basis: Basis }) | null;
  readonly radius_m: number | null;
  readonly recovery_height: HeightAdvice;
  readonly turnback: TurnbackAdvice | null;
  readonly lost_link: LostLinkAdvice;
  /** What to declare or to log to know more; `yaml` is null where only a log can tell. */
  readonly wants: readonly { readonly label: string; readonly yaml: string | null }[];
}
