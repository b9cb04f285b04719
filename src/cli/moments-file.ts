import { once } from "node:events";
import { createWriteStream, type WriteStream } from "node:fs";
import { rename, rm } from "node:fs/promises";
import { finished } from "node:stream/promises";
import { targetOf } from "./target.js";
import { begin, finish } from "./unfinished.js";
import { csvCell, type LogAudit, momentsTable, type MomentsTable, UserError } from "../index.js";

/** Rows joined into one write. */
const ROWS_AT_ONCE = 500;

/** The file of `--moments`: written log by log beside its name, and renamed when the run is whole. */
export class MomentsFile {
  readonly #path: string;
  readonly #temporary: string;
  readonly #format: "csv" | "ndjson";
  #stream: WriteStream | undefined;
  #hasHeader = false;

  /**
   * @param path ends in .csv or .ndjson
   * @throws UserError for another ending
   */
  constructor(path: string) {
    const ending = /\.(csv|ndjson)$/i.exec(path)?.[1]?.toLowerCase();
    if (ending !== "csv" && ending !== "ndjson") {
      throw new UserError("moments-format", `--moments ${path} ends neither in .csv nor in .ndjson.`, {
        hint: "The ending says the format.",
      });
    }
    this.#path = path;
    this.#temporary = `${path}.${process.pid}.part`;
    this.#format = ending;
  }

  /** Appends the moments of a log. */
  async add(path: string, flights: LogAudit["flights"]): Promise<void> {
    await this.#guard(async () => {
      const table = momentsTable(path, flights);
      const stream = await this.#open();
      let lines: string[] = this.#header(table);
      for (const row of table.rows) {
        lines.push(this.#line(table.columns, row));
        if (lines.length < ROWS_AT_ONCE) continue;
        if (!stream.write(lines.join(""))) await once(stream, "drain");
        lines = [];
      }
      stream.write(lines.join(""));
    });
  }

  /** Puts the file in its place. */
  async close(): Promise<void> {
    await this.#guard(async () => {
      const stream = await this.#open();
      stream.end();
      await finished(stream);
      await rename(this.#temporary, (await targetOf(this.#path)).path);
      finish(this.#temporary);
    });
  }

  /** Leaves nothing behind, after something else went wrong. */
  async abandon(): Promise<void> {
    this.#stream?.destroy();
    await rm(this.#temporary, { force: true });
    finish(this.#temporary);
  }

  async #open(): Promise<WriteStream> {
    if (this.#stream !== undefined) return this.#stream;
    const { isStream } = await targetOf(this.#path);
    if (isStream) {
      throw new UserError("moments-no-file", `--moments ${this.#path} is a device or a pipe.`, {
        hint: "It wants the name of a file.",
      });
    }
    begin(this.#temporary);
    const stream = createWriteStream(this.#temporary, { flags: "wx" });
    await once(stream, "open");
    this.#stream = stream;
    return stream;
  }

  #header({ columns }: MomentsTable): string[] {
    if (this.#format === "ndjson" || this.#hasHeader) return [];
    this.#hasHeader = true;
    return [`${columns.join(",")}\n`];
  }

  #line(columns: readonly string[], row: readonly (number | string | null)[]): string {
    if (this.#format === "csv") return `${row.map(csvCell).join(",")}\n`;
    return `${JSON.stringify(Object.fromEntries(columns.map((name, i) => [name, row[i] ?? null])))}\n`;
  }

  async #guard(work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (error) {
      await this.abandon();
      if (error instanceof Error && "code" in error && "syscall" in error) {
        throw new UserError("cannot-write", `Cannot write ${this.#path} (${String(error.code)}).`, {
          hint: "Nothing was left there; choose another place with --moments.",
        });
      }
      throw error;
    }
  }
}
