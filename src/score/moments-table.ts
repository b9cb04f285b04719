import { roundDegrees, roundValue } from "../num/round.js";
import type { MomentKey } from "../recovery/moments.js";
import { MOMENT_RULES } from "../rules/index.js";
import { verdictOf } from "../rules/verdict.js";
import type { FlightAudit } from "./flight-result.js";

/** Columns of the table of moments (contract) and where each comes from. */
const COLUMNS: readonly (readonly [string, MomentKey])[] = [
  ["at_s", "at_s"],
  ["weight_s", "weight_s"],
  ["latitude_deg", "latitude_deg"],
  ["longitude_deg", "longitude_deg"],
  ["height_m", "height_m"],
  ["distance_m", "distance_m"],
  ["battery_pct", "battery_pct"],
  ["need_middle_pct", "needMiddle_pct"],
  ["need_upper_pct", "needUpper_pct"],
  ["touchdown_middle_pct", "touchdownMiddle_pct"],
  ["touchdown_upper_pct", "touchdownUpper_pct"],
  ["ground_speed_ms", "groundSpeed_ms"],
  ["clearance_centre_m", "clearanceCentre_m"],
  ["clearance_corridor_m", "clearanceCorridor_m"],
];

/** Every moment of the flights of a log, so that any of them can be checked by hand. */
export interface MomentsTable {
  readonly columns: readonly string[];
  /** One row a moment; null is not known (or, for a need, without end). */
  readonly rows: Iterable<readonly (number | string | null)[]>;
}

/**
 * @param path the log's name, for the last column
 * @param flights of one log
 */
export function momentsTable(path: string, flights: readonly FlightAudit[]): MomentsTable {
  const rules = MOMENT_RULES.map(({ id }) => id);
  return { columns: [...COLUMNS.map(([name]) => name), ...rules, "flight", "log"], rows: rowsOf(path, flights) };
}

function* rowsOf(path: string, flights: readonly FlightAudit[]): Generator<readonly (number | string | null)[]> {
  for (const { judgement, result } of flights) {
    const { moments, length } = judgement.replay;
    for (let k = 0; k < length; k += 1) {
      yield [
        ...COLUMNS.map(([name, key]) => {
          const value = moments[key][k] ?? Number.NaN;
          return name.endsWith("_deg") ? roundDegrees(value) : roundValue(value);
        }),
        ...judgement.moments.map(({ codes }) => verdictOf(codes[k] ?? 0)),
        result.index,
        path,
      ];
    }
  }
}
