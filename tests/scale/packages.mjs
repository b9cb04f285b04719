import { spawnSync } from "node:child_process";
import { userInfo } from "node:os";
import { delimiter, join } from "node:path";
import { existsSync } from "node:fs";

/** Packages of Debian, each with a program that tells whether it is there. */
const PACKAGES = { "slurm-wlm": "slurmctld", munge: "munged", parallel: "parallel" };

/** Where Debian puts daemons, which is not always in the path of a user. */
export const PATH = [process.env.PATH, "/usr/sbin", "/sbin"].join(delimiter);

/**
 * Installs what is missing.
 * @throws where that cannot be done, in one line
 */
export function installMissing() {
  const missing = Object.keys(PACKAGES).filter((name) => !isThere(PACKAGES[name]));
  if (missing.length === 0) return;
  const names = missing.join(" ");
  const asRoot = userInfo().uid === 0 ? [] : ["sudo", "-n"];
  for (const args of [
    ["update", "-q"],
    ["install", "-y", "-q", "--no-install-recommends", ...missing],
  ]) {
    const [command, ...rest] = [...asRoot, "apt-get", ...args];
    const env = { ...process.env, DEBIAN_FRONTEND: "noninteractive" };
    const { status, error, stderr } = spawnSync(command, rest, { env, encoding: "utf8", timeout: 300_000 });
    if (status === 0) continue;
    const why = error?.message ?? stderr.trim().split("\n").at(-1);
    throw new Error(`${names} must be installed for this, and cannot be here: ${why}`);
  }
  console.log(`installed ${names}`);
}

function isThere(program) {
  return PATH.split(delimiter).some((folder) => existsSync(join(folder, program)));
}
