import { execFileSync } from "node:child_process";

/** Builds once before the tests: those of the command line run the built program, which must be that of these sources. */
export default function setup(): void {
  for (const args of [
    ["node_modules/typescript/bin/tsc", "-p", "tsconfig.json"],
    ["node_modules/rolldown/bin/cli.mjs", "-c", ".rolldown.config.mjs"],
  ]) {
    execFileSync(process.execPath, args, { stdio: "inherit" });
  }
}
