import { randomUUID } from "node:crypto";
import { once } from "node:events";
import { createReadStream, createWriteStream, type WriteStream } from "node:fs";
import { rename, rm } from "node:fs/promises";
import { finished } from "node:stream/promises";
import { targetOf } from "./target.js";
import { begin, finish } from "./unfinished.js";
import { csvCell, jsonText, type LogAudit, momentsTable, UserError } from "../index.js";

/** Rows joined into one write. */
const ROWS_AT_ONCE = 500;

/** Where moments are written, and how: plain data, for another thread too. */
export interface MomentsPlace {
  readonly path: string;
  readonly format: "csv" | "ndjson";
  /** False: rows alone, to be joined to a file that has its header. */
  readonly hasHeader: boolean;
}

/**
 * @param path of `--moments`, ends in .csv or .ndjson
 * @throws UserError for another ending
 */
export function momentsPlace(path: string): MomentsPlace {
  const format = /\.(csv|ndjson)$/i.exec(path)?.[1]?.toLowerCase();
  if (format === "csv" || format === "ndjson") return { path, format, hasHeader: format === "csv" };
  throw new UserError("moments-format", `--moments ${path} ends neither in .csv nor in .ndjson.`, {
    hint: "The ending says the format.",
  });
}

/** The file of `--moments`: written log by log beside its name, and renamed when the run is whole. */
export class MomentsFile {
  readonly #place: MomentsPlace;
  readonly #path: string;
  /** A container that was killed may have left its files, and the next has the same process id. */
  readonly #token = randomUUID();
  readonly #temporary: string;
  #stream: WriteStream | undefined;
  #failure: Error | undefined;
  #isHeaderDue: boolean;
  #parts = 0;

  constructor(place: MomentsPlace) {
    this.#place = place;
    this.#path = place.path;
    this.#temporary = `${place.path}.${this.#token}.part`;
    this.#isHeaderDue = place.hasHeader;
  }

  /** @returns where another thread writes the moments of one log, for `join`; it is gone when the run is interrupted */
  part(): MomentsPlace {
    this.#parts += 1;
    const path = `${this.#path}.${this.#token}-${this.#parts}.part`;
    begin(path);
    return { path, format: this.#place.format, hasHeader: false };
  }

  /** Appends what was written to a `part`, and removes it. */
  async join(part: MomentsPlace): Promise<void> {
    await this.#guard(async () => {
      const stream = await this.#open();
      await this.#writeHeader(stream);
      for await (const block of createReadStream(part.path)) await this.#write(stream, block as Uint8Array);
      await this.drop(part);
    });
  }

  /** Removes a `part` that will not be joined. */
  async drop(part: MomentsPlace): Promise<void> {
    await rm(part.path, { force: true });
    finish(part.path);
  }

  /** Appends the moments of a log. */
  async add(path: string, flights: LogAudit["flights"]): Promise<void> {
    await this.#guard(async () => {
      const table = momentsTable(path, flights);
      const stream = await this.#open();
      await this.#writeHeader(stream);
      let lines: string[] = [];
      for (const row of table.rows) {
        lines.push(this.#line(table.columns, row));
        if (lines.length < ROWS_AT_ONCE) continue;
        await this.#write(stream, lines.join(""));
        lines = [];
      }
      await this.#write(stream, lines.join(""));
    });
  }

  /** Puts the file in its place. */
  async close(): Promise<void> {
    await this.#guard(async () => {
      const stream = await this.#open();
      await this.#writeHeader(stream);
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
    // A disk may be full while nobody waits for the stream.
    stream.on("error", (error) => {
      this.#failure ??= error;
    });
    this.#stream = stream;
    return stream;
  }

  async #writeHeader(stream: WriteStream): Promise<void> {
    if (!this.#isHeaderDue) return;
    this.#isHeaderDue = false;
    await this.#write(stream, `${momentsTable("", []).columns.join(",")}\n`);
  }

  #line(columns: readonly string[], row: readonly (number | string | null)[]): string {
    if (this.#place.format === "csv") return `${row.map(csvCell).join(",")}\n`;
    return `${jsonText(Object.fromEntries(columns.map((name, i) => [name, row[i] ?? null])), 0)}\n`;
  }

  async #write(stream: WriteStream, text: string | Uint8Array): Promise<void> {
    if (this.#failure !== undefined) throw this.#failure;
    if (!stream.write(text)) await once(stream, "drain");
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
