import type { ResultProblem } from "../score/result.js";

/** One terrain file of a site, as it was understood. */
export interface InspectedTerrain {
  readonly path: string;
  readonly format: string;
  /** `EPSG:32632`, or a definition. */
  readonly projection: string;
  readonly west_deg: number;
  readonly south_deg: number;
  /** May be over 180. */
  readonly east_deg: number;
  readonly north_deg: number;
  readonly columns: number;
  readonly rows: number;
  readonly resolution_m: number;
  /** Share of nodes without a height, 0–1. */
  readonly void_share: number;
}

/** How much of a flight a site knows the ground for. */
export interface CoveredFlight {
  readonly path: string;
  readonly index: number;
  /** Share of the flight's positions with known ground under them, 0–1. */
  readonly under_share: number;
  /** Share of its ways home with known ground under all of the corridor; null without a recovery point. */
  readonly way_home_share: number | null;
  /** The ground at take-off is known, so that heights meet the terrain. */
  readonly is_tied: boolean;
}

/** A site as it was understood. */
export interface SiteInspection {
  /** `flat`, or `files`; null where nothing is declared. */
  readonly terrain: "flat" | "files" | null;
  readonly terrain_files: readonly InspectedTerrain[];
  /** null where nothing is declared, not even that there are none. */
  readonly obstacles: {
    readonly files: readonly string[];
    readonly count: number;
    /** Of those, how many stand there and nobody knows how high. */
    readonly of_unknown_height: number;
    /** Heights that were not in the files, by kind of default. */
    readonly by_default: readonly {
      readonly kind: string;
      readonly count: number;
      readonly height_m: number;
      readonly basis: "declared" | "assumed";
    }[];
  } | null;
  /** null where nothing is declared, not even that there are none. */
  readonly zones: {
    readonly files: readonly string[];
    readonly count: number;
    readonly kinds: Readonly<Record<string, number>>;
  } | null;
  readonly problems: readonly ResultProblem[];
  readonly flights: readonly CoveredFlight[];
}
