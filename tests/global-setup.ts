import { execFileSync } from "node:child_process";

/** Builds once before the tests: those of the command line run the built program, which must be that of these sources. */
export default function setup(): void {
  execFileSync(process.execPath, ["node_modules/typescript/bin/tsc", "-p", "tsconfig.json"], { stdio: "inherit" });
}
