import type { RegimeRates } from "../config/declared.js";

/** A drain rate that logs tell. */
export interface FittedRate {
  readonly pct_per_min: number;
  /** One standard deviation, by the covariance of the fit. */
  readonly deviation_pct_per_min: number;
  /** Time in this regime within the steps that were fitted. */
  readonly time_s: number;
  /** Too little of it was flown: tied to the other rates by the ratios of the assumed ones, within 30 %. */
  readonly is_tied: boolean;
}

/** A speed that flights tell: the median over those that do. */
export interface FittedSpeed {
  readonly speed_ms: number;
  readonly flights: number;
  readonly least_ms: number;
  readonly most_ms: number;
}

/** One log in a fit. */
export interface FitLog {
  readonly path: string;
  readonly flights: number;
  readonly airborne_s: number;
  /** Over the steps that were fitted; `null` where the log tells nothing of the drain. */
  readonly flown_pct: number | null;
  readonly predicted_pct: number | null;
  /** Flown ÷ predicted − 1, in %: over 0, this log used more than the pool says. */
  readonly difference_pct: number | null;
  /** Why it tells nothing, or could not be read. */
  readonly problem: { readonly code: string; readonly message: string } | null;
}

/** One log predicted from the others. */
export interface CheckedLog {
  readonly path: string;
  readonly flown_pct: number;
  readonly predicted_pct: number;
  /** The upper prediction at the policy's level. */
  readonly upper_pct: number;
  readonly difference_pct: number;
  readonly is_within_upper: boolean;
}

/** How well earlier logs predict later ones: each log left out once. */
export interface FitCheck {
  readonly logs: readonly CheckedLog[];
  /** Mean and deviation of the differences, %. */
  readonly bias_pct: number;
  readonly deviation_pct: number | null;
  readonly within_upper: number;
  /** Share that the level promises, %. */
  readonly level_pct: number;
}

/** What logs of one aircraft tell of it, as the JSON of `homeleg fit` shows it. */
export interface AircraftFit {
  readonly logs: readonly FitLog[];
  readonly flights: number;
  readonly airborne_s: number;
  /** Of that, what the fit rests on. */
  readonly fitted_s: number;
  readonly first_utc: string | null;
  readonly last_utc: string | null;
  /** `null` where the logs tell no rate, or do not agree. */
  readonly drain: Readonly<Record<keyof RegimeRates, FittedRate>> | null;
  /** One standard deviation of another flight from these rates, %. */
  readonly spread_pct: number | null;
  /** Of that, what the flights themselves differ; `null` for fewer than two. */
  readonly spread_seen_pct: number | null;
  readonly speeds: Readonly<Record<"recovery" | "climb" | "descent", FittedSpeed | null>>;
  readonly disagreement: {
    readonly kind: "log-apart" | "two-groups" | "too-wide";
    readonly leave_out: readonly string[];
    readonly message: string;
  } | null;
  readonly check: FitCheck | null;
}
