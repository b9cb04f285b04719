import { dirname } from "node:path";
import { loadSetting, type Setting, SettingError, UserError } from "../index.js";
import { printError } from "./print-error.js";

/** What the command line says about settings. */
export interface SettingFlags {
  readonly config?: string | undefined;
  readonly set: readonly string[];
  readonly units: "metric" | "imperial";
}

/** Loads each settings file once, by the folder of the log; a wrong one is said once and stops only its own logs. */
export class Settings {
  readonly #flags: SettingFlags;
  readonly #print: (error: UserError) => void;
  readonly #byFolder = new Map<string, Promise<Setting | UserError>>();

  /** @param say tells a person of mistakes; standard error where nothing else is given */
  constructor(flags: SettingFlags, say: (error: UserError) => void = printError) {
    this.#flags = flags;
    this.#print = say;
  }

  for(path: string): Promise<Setting | UserError> {
    const { config, set, units } = this.#flags;
    const folder = path === "-" ? "." : dirname(path);
    const key = config === undefined ? folder : "";
    const known = this.#byFolder.get(key);
    if (known !== undefined) return known;
    const loading = loadSetting({ startFolder: folder, configPath: config, sets: set, units }).catch(
      (error: unknown) => {
        if (error instanceof UserError) return this.#say(error);
        throw error;
      },
    );
    this.#byFolder.set(key, loading);
    return loading;
  }

  /** Runs what needs the terrain that settings name, which is read only under a flight; a wrong one is said once. */
  async withSite<T>(run: () => Promise<T>): Promise<T | UserError> {
    try {
      return await run();
    } catch (error) {
      if (error instanceof SettingError) return this.#say(error);
      throw error;
    }
  }

  readonly #said = new Set<string>();

  /** Folders under one wrong file all meet its mistakes; they are printed once. */
  #say(error: UserError): UserError {
    if (!this.#said.has(error.line)) this.#print(error);
    this.#said.add(error.line);
    return new UserError("settings-wrong", "The settings for this log are wrong; standard error says how.");
  }
}
