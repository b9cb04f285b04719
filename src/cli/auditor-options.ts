import type { TakeOptions } from "./reporters.js";
import type { SettingFlags } from "./settings.js";

/** What the logs of a run are audited with: plain data, for another thread too. */
export interface AuditorOptions extends SettingFlags, TakeOptions {
  /** Formats to be made, by id. */
  readonly formats: readonly string[];
  /** Folder of `--cache`. */
  readonly cache?: string | undefined;
}
