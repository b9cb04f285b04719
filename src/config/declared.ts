import type { PolicyKey } from "./policy.js";
import type { ReadingKey } from "./reading.js";

/** A position on the WGS84 ellipsoid. */
export interface Position {
  readonly latitude_deg: number;
  readonly longitude_deg: number;
}

/** What an input of the audit rests on, from the firmest to the weakest. */
export type Basis = "measured" | "declared" | "fitted" | "inferred" | "assumed";

/** Rates of battery use by regime, in % of full charge a minute. */
export interface RegimeRates {
  readonly hover: number;
  readonly climb: number;
  readonly cruise: number;
  readonly descent: number;
}

/**
 * What a homeleg.yaml (with `--set`) says, in SI units and degrees; percent where the name says so. A key that was not
 * declared is undefined. Paths in `places` are those of homeleg.yaml, such as `settings.recovery_height`.
 */
export interface Declared {
  readonly aircraft: {
    readonly name: string | undefined;
    readonly capacity_mAh: number | undefined;
    readonly nominalVoltage_V: number | undefined;
    readonly cells: number | undefined;
    readonly cellFloor_V: number | undefined;
    readonly speeds_ms: {
      readonly recovery: number | undefined;
      readonly climb: number | undefined;
      readonly descent: number | undefined;
      readonly landing: number | undefined;
    };
    readonly drain_pctPerMin: RegimeRates | undefined;
    /** One standard deviation from flight to flight, as a share of the rate, in %. */
    readonly drainSpread_pct: number | undefined;
    /** Regimes whose declared rate is only tied to the others. */
    readonly drainTied: readonly (keyof RegimeRates)[];
    readonly power_W: RegimeRates | undefined;
    readonly endurance_s: { readonly hover: number; readonly cruise: number | undefined } | undefined;
    readonly body:
      | {
          readonly mass_kg: number;
          readonly rotors: number;
          readonly rotorDiameter_m: number;
          readonly efficiency: number | undefined;
        }
      | undefined;
  };
  readonly settings: {
    readonly recoveryHeight_m: number | undefined;
    readonly recoveryHeightAbove: "recovery-point" | "take-off" | undefined;
    readonly lostLinkAction: "return" | "land" | "hold" | undefined;
    readonly triggerDelay_s: number | undefined;
    readonly turnTime_s: number | undefined;
    readonly slowHeight_m: number | undefined;
    /** Words of the mode column under which the aircraft flies a recovery. */
    readonly recoveryModes: readonly string[] | undefined;
    readonly near: { readonly radius_m: number; readonly action: "land" | "level" | "climb" } | undefined;
  };
  /** In the order of `at_s` (0 for a single point). */
  readonly recoveryPoints: readonly (Position & { readonly at_s: number })[] | undefined;
  readonly operator:
    | { readonly kind: "at-takeoff" }
    | ({ readonly kind: "position" } & Position)
    | { readonly kind: "track"; readonly path: string }
    | undefined;
  readonly wind:
    | {
        readonly speed_ms: number;
        readonly from_deg: number;
        readonly gust_ms: number | undefined;
        readonly height_m: number | undefined;
        readonly shear: number | undefined;
        /** Of the log law, which then stands for the power law. */
        readonly roughness_m?: number | undefined;
      }
    | undefined;
  readonly site: {
    readonly terrain:
      | { readonly kind: "flat" }
      | {
          readonly kind: "files";
          /** Finest first, absolute or relative to the working folder, as `places` says. */
          readonly files: readonly {
            readonly path: string;
            readonly surface: boolean;
            readonly error_m: number;
            /** Its coordinate system, in place of what the file says: an EPSG code or a definition. */
            readonly projection: string | undefined;
          }[];
        }
      | undefined;
    /** Paths; an empty list declares that there are none. */
    readonly obstacles: readonly string[] | undefined;
    readonly zones: readonly string[] | undefined;
    readonly defaultHeights_m: {
      readonly trees: number | undefined;
      readonly woods: number | undefined;
      readonly powerLine: number | undefined;
      readonly level: number | undefined;
    };
  };
  readonly policy: Readonly<Partial<Record<PolicyKey, number>>>;
  readonly signoff:
    | {
        readonly flights: number | undefined;
        readonly minutes: number | undefined;
        readonly score: number | undefined;
        readonly coverage: number | undefined;
        readonly mustBeClear: readonly string[] | undefined;
        readonly within_s: number | undefined;
        /** Different sites asked for, and minutes at each of them. */
        readonly sites: number | undefined;
        readonly siteMinutes: number | undefined;
      }
    | undefined;
  /** Rules that are off, with the reason. */
  readonly rulesOff: Readonly<Record<string, string>>;
  /** By channel id: which column of the log it is, and its unit where the log does not say. */
  readonly columns: Readonly<Record<string, { readonly column: string; readonly unit: string | undefined }>>;
  /** How much of one file is read before it is refused. */
  readonly reading?: Readonly<Partial<Record<ReadingKey, number | undefined>>>;
}

/** A settings file that was read. */
export interface ConfigFile {
  readonly path: string;
  readonly sha256: string;
}

/** A file that a settings file names. */
export interface NamedFile {
  /** Absolute, or relative to the working folder. */
  readonly path: string;
  /** Of the settings file, likewise. */
  readonly folder: string;
}

/** What was declared, where each value stands, and which files were read. */
export interface Config {
  readonly declared: Declared;
  /** By path in homeleg.yaml: `flights/homeleg.yaml:14` or `--set`. */
  readonly places: ReadonlyMap<string, string>;
  /** The value as written, by the same path: `200 ft`. */
  readonly written: ReadonlyMap<string, string>;
  readonly files: readonly ConfigFile[];
  /** Every file that a settings file names; what `--set` names is not among them. */
  readonly named?: readonly NamedFile[];
}
