import type { Basis, Config } from "../config/declared.js";
import type { Flight } from "../track/flights.js";
import { hasValues } from "../track/has-values.js";
import type { Track } from "../track/track.js";

/** The rows of a flight at which the log says that a recovery is being flown (index 0 is its first row). */
export interface FlownRows {
  readonly basis: Basis;
  readonly from: string;
  /** 1 where one is flown. */
  readonly isFlown: Uint8Array;
}

/**
 * Recoveries by the log's own word: its flag where it ever is set in this flight, else the mode words that homeleg.yaml
 * declares (`settings.recovery_modes`), in any case. A row without a word keeps the one before.
 * @returns undefined where the log says of none
 */
export function flownRowsOf(config: Config, track: Track, flight: Flight): FlownRows | undefined {
  const { recoveryActive } = track.columns;
  if (hasValues(recoveryActive, flight)) {
    const isFlown = rowsOf(flight, (i) => {
      const flag = recoveryActive[i] ?? Number.NaN;
      return Number.isNaN(flag) ? undefined : flag > 0;
    });
    if (isFlown.includes(1)) return { basis: "measured", from: "the log's flag", isFlown };
  }
  const words = config.declared.settings.recoveryModes;
  const { mode } = track;
  if (words === undefined || mode === undefined) return undefined;
  const meant = new Set(words.map(plain));
  const isMeant = mode.words.map((word) => meant.has(plain(word)));
  const isFlown = rowsOf(flight, (i) => {
    const code = mode.codes[i] ?? 0;
    return code === 0 ? undefined : (isMeant[code] ?? false);
  });
  const place = config.places.get("settings.recovery_modes") ?? "declared";
  return isFlown.includes(1) ? { basis: "declared", from: `mode words (${place})`, isFlown } : undefined;
}

function plain(word: string): string {
  return word.trim().toLowerCase();
}

function rowsOf({ first, last }: Flight, tell: (row: number) => boolean | undefined): Uint8Array {
  const rows = new Uint8Array(last - first + 1);
  let isOn = false;
  for (let i = first; i <= last; i += 1) {
    isOn = tell(i) ?? isOn;
    rows[i - first] = isOn ? 1 : 0;
  }
  return rows;
}
