import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll } from "vitest";

/** The executable. */
export const PROGRAM = fileURLToPath(new URL("../../bin/homeleg.js", import.meta.url));

/** What a run of the command line left. */
export interface CliRun {
  readonly status: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

/** Runs the built program as a process of its own, in a folder. */
export function homeleg(args: readonly string[], options: { cwd?: string; input?: string | Uint8Array } = {}): CliRun {
  const { status, stdout, stderr } = spawnSync(process.execPath, [PROGRAM, ...args], {
    cwd: options.cwd,
    input: options.input ?? "",
    encoding: "utf8",
    env: { ...process.env, NO_COLOR: "", FORCE_COLOR: "" },
  });
  return { status, stdout, stderr };
}

/** @returns an empty folder, removed when the tests of the file are over */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "homeleg-test-"));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}
