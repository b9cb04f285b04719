import { stat } from "node:fs/promises";
import { visible } from "../index.js";
import type { LogToAudit } from "./find-logs.js";
import { bytesOf, nameOf } from "./log-bytes.js";
import { printNote } from "./print-error.js";
import { Progress } from "./progress.js";

/** Reads the logs of a run one after the other, and shows on a terminal how far it is. */
export class LogReader {
  readonly #paths: readonly string[];
  readonly #all_bytes: number | undefined;
  readonly #progress: Progress;
  #done_bytes = 0;

  private constructor(paths: readonly string[], all_bytes: number | undefined, progress: Progress) {
    this.#paths = paths;
    this.#all_bytes = all_bytes;
    this.#progress = progress;
  }

  /** @returns a reader of the logs that a run found; `quiet` shows nothing */
  static async of(logs: readonly LogToAudit[], { quiet }: { readonly quiet?: boolean }): Promise<LogReader> {
    const paths = logs.filter(({ error }) => error === undefined).map(({ path }) => path);
    const progress = new Progress(process.stderr, quiet !== true, () => performance.now() / 1000);
    return new LogReader(paths, process.stderr.isTTY ? await sizeOf(paths) : undefined, progress);
  }

  /** @returns the bytes of one of the logs, counted as they are read */
  async *bytesOf(path: string): AsyncGenerator<Uint8Array> {
    const log = this.#paths.indexOf(path) + 1;
    const show = (): void =>
      this.#progress.show({
        log,
        logs: this.#paths.length,
        done_bytes: this.#done_bytes,
        all_bytes: this.#all_bytes,
        name: visible(nameOf(path)),
      });
    show();
    for await (const block of bytesOf(path)) {
      this.#done_bytes += block.length;
      show();
      yield block;
    }
  }

  /** Says something beside the progress. */
  note(text: string): void {
    this.#progress.clear();
    printNote(text);
  }

  /** Wipes the progress. */
  close(): void {
    this.#progress.clear();
  }
}

/** Bytes of all the files; undefined where one is a pipe or cannot be looked at. */
async function sizeOf(paths: readonly string[]): Promise<number | undefined> {
  if (paths.includes("-")) return undefined;
  const sizes = await Promise.allSettled(paths.map(async (path) => stat(path)));
  let all_bytes = 0;
  for (const found of sizes) {
    if (found.status === "rejected" || !found.value.isFile()) return undefined;
    all_bytes += found.value.size;
  }
  return all_bytes;
}
