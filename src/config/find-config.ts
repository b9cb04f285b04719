import { lstat } from "node:fs/promises";
import { dirname, isAbsolute, join, relative, resolve } from "node:path";
import { UserError } from "../user-error.js";

const NAME = "homeleg.yaml";
/** Someone takes it for the settings file; auditing without what it says would be worse than stopping. */
const MISSPELLED = "homeleg.yml";

/**
 * Looks for homeleg.yaml in a folder and upward to the root of the file system; the nearest one counts.
 * @param startFolder absolute, or relative to `cwd`
 * @returns its path, relative to `cwd` where the folder was; undefined when there is none
 * @throws UserError `config-misspelled` where a folder has a homeleg.yml but no homeleg.yaml
 */
export async function findConfig(startFolder: string, cwd: string): Promise<string | undefined> {
  let folder = resolve(cwd, startFolder);
  for (;;) {
    if (await exists(join(folder, NAME))) return shown(join(folder, NAME), startFolder, cwd);
    if (await exists(join(folder, MISSPELLED))) {
      const where = { file: shown(join(folder, MISSPELLED), startFolder, cwd) };
      const hint = `Rename it to ${NAME}, or name it with --config.`;
      throw new UserError("config-misspelled", `Settings are looked for in ${NAME} only.`, { where, hint });
    }
    const parent = dirname(folder);
    if (parent === folder) return undefined;
    folder = parent;
  }
}

function shown(path: string, startFolder: string, cwd: string): string {
  return isAbsolute(startFolder) ? path : relative(cwd, path);
}

/** One that cannot be read exists too, and so does a link that leads nowhere: auditing without it would be worse. */
async function exists(path: string): Promise<boolean> {
  return lstat(path).then(
    () => true,
    () => false,
  );
}
