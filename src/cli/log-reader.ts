import { visible } from "../index.js";
import type { LogToAudit } from "./find-logs.js";
import { bytesOf, nameOf } from "./log-bytes.js";
import { printNote } from "./print-error.js";
import { Progress } from "./progress.js";

/** Reads the logs of a run, and shows on a terminal how far it is. */
export class LogReader {
  readonly #sizes_bytes: ReadonlyMap<string, number | undefined>;
  readonly #progress: Progress;
  #done_bytes = 0;
  #done_logs = 0;
  /** Of all the logs; undefined where one of them is a pipe or cannot be looked at. */
  readonly all_bytes: number | undefined;

  private constructor(sizes_bytes: ReadonlyMap<string, number | undefined>, progress: Progress) {
    this.#sizes_bytes = sizes_bytes;
    this.#progress = progress;
    let all_bytes: number | undefined = 0;
    for (const size_bytes of sizes_bytes.values()) {
      all_bytes = all_bytes === undefined || size_bytes === undefined ? undefined : all_bytes + size_bytes;
    }
    this.all_bytes = all_bytes;
  }

  /** @returns a reader of the logs that a run found; `quiet` shows nothing */
  static of(logs: readonly LogToAudit[], { quiet }: { readonly quiet?: boolean }): LogReader {
    const toRead = logs.filter(({ error }) => error === undefined);
    const sizes = new Map(toRead.map(({ path, file }) => [path, file?.size_bytes]));
    const progress = new Progress(process.stderr, quiet !== true, () => performance.now() / 1000);
    return new LogReader(sizes, progress);
  }

  /** @returns the bytes of one of the logs, counted as they are read */
  async *bytesOf(path: string): AsyncGenerator<Uint8Array> {
    this.#done_logs += 1;
    this.#show(path);
    for await (const block of bytesOf(path)) {
      this.#done_bytes += block.length;
      this.#show(path);
      yield block;
    }
  }

  /** Counts a log that was read elsewhere. */
  finished(path: string): void {
    this.#done_logs += 1;
    this.#done_bytes += this.#sizes_bytes.get(path) ?? 0;
    this.#show(path);
  }

  /** Says something beside the progress, line by line. */
  note(text: string): void {
    this.#progress.clear();
    for (const line of text.split("\n")) printNote(line);
  }

  /** Wipes the progress. */
  close(): void {
    this.#progress.clear();
  }

  #show(path: string): void {
    this.#progress.show({
      log: this.#done_logs,
      logs: this.#sizes_bytes.size,
      done_bytes: this.#done_bytes,
      all_bytes: this.all_bytes,
      name: visible(nameOf(path)),
    });
  }
}
