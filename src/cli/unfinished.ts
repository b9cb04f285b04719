import { rmSync } from "node:fs";

/** Temporary files of outputs that are not whole yet. */
const unfinished = new Set<string>();

/** Notes a temporary file, so that an interrupted run leaves nothing behind. */
export function begin(temporary: string): void {
  unfinished.add(temporary);
}

/** The file is in its place, or gone. */
export function finish(temporary: string): void {
  unfinished.delete(temporary);
}

/** Removes unfinished files when the run is interrupted, then lets the interruption end the process as it would have. */
export function cleanUpWhenInterrupted(): void {
  for (const signal of ["SIGINT", "SIGTERM"] as const) {
    process.once(signal, () => {
      for (const file of unfinished) rmSync(file, { force: true });
      process.kill(process.pid, signal);
    });
  }
}
