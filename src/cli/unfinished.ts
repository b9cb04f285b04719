import { readdirSync, rmSync } from "node:fs";
import { hostname } from "node:os";
import { join } from "node:path";

const ENDINGS = ["SIGINT", "SIGTERM", "SIGHUP"] as const;

/** What temporary files of this process begin with; other machines that share the folder have the same process ids. */
const OWN = `${hostname()}-${process.pid}-`;

/** Temporary files of outputs that are not whole yet. */
const unfinished = new Set<string>();

/** Folders where other threads have temporary files of this process. */
const sharedFolders = new Set<string>();

/** What an interruption asks first; without it the process ends at once. */
let stop: (() => void) | undefined;

/** Notes a temporary file, so that an interrupted run leaves nothing behind. */
export function begin(temporary: string): void {
  unfinished.add(temporary);
}

/** The file is in its place, or gone. */
export function finish(temporary: string): void {
  unfinished.delete(temporary);
}

/** @returns the name of a temporary file there, which is removed too, whichever thread writes it */
export function temporaryIn(folder: string, name: string): string {
  return join(folder, `${OWN}${name}.part`);
}

/** Says that threads of this process make temporary files there. */
export function sweepAtEnd(folder: string): void {
  sharedFolders.add(folder);
}

/** Removes the temporary files that threads left there when they were stopped. */
export function sweep(): void {
  for (const folder of sharedFolders) {
    for (const name of namesIn(folder)) {
      if (name.startsWith(OWN) && name.endsWith(".part")) rmSync(join(folder, name), { force: true });
    }
  }
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder);
  } catch (error) {
    // No folder, or none that can be looked at: no thread has written there.
    if (error instanceof Error && "code" in error) return [];
    throw error;
  }
}

/**
 * Lets the first Ctrl-C end the work early instead of the process; the second one ends the process.
 * @returns takes it back
 */
export function whenInterrupted(ask: () => void): () => void {
  stop = ask;
  return () => {
    stop = undefined;
  };
}

/** Removes unfinished files when the run is interrupted, then lets the interruption end the process as it would have. */
export function cleanUpWhenInterrupted(): void {
  const end = (signal: NodeJS.Signals): void => {
    if (signal === "SIGINT" && stop !== undefined) {
      stop();
      stop = undefined;
      return;
    }
    for (const file of unfinished) rmSync(file, { force: true });
    sweep();
    for (const one of ENDINGS) process.off(one, end);
    process.kill(process.pid, signal);
  };
  for (const one of ENDINGS) process.on(one, end);
}
