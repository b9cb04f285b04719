import type { Declared } from "../config/declared.js";
import { completeReading, type Reading } from "../config/reading.js";
import { UserError } from "../user-error.js";
import { peekBlocks, toBlocks } from "./byte-blocks.js";
import type { ColumnQuestion } from "./column-use.js";
import { readCsv, type CsvParsedLog } from "./csv/read-csv.js";
import { detectKind, refuseKnownBinary } from "./detect-kind.js";
import type { GpxParsedLog } from "./gpx/read-gpx.js";
import { gunzip, isGzip, type GzipEnd } from "./gunzip.js";
import { atMost } from "./most.js";
import { ProblemList } from "./problem-list.js";
import { detectEncoding, toUtf8 } from "./text-encoding.js";

/** What the reading of a log needs besides its bytes. */
export interface ReadLogOptions {
  /** The name to put before messages. */
  readonly path: string;
  /** `columns:` of homeleg.yaml. */
  readonly columns?: Declared["columns"];
  /** How much is read before the log is refused; the defaults unless given. */
  readonly reading?: Reading;
  /** `none` reads every row with csv-parse, every point with saxes: slower, the same result, and what checks the fast lanes. */
  readonly lanes?: "all" | "none";
}

/** A log as read, with how it was understood. */
export type ReadLogResult = (CsvParsedLog | GpxParsedLog) & {
  /** What only the pilot can say about columns that are not used. */
  readonly questions: readonly ColumnQuestion[];
};

/**
 * Reads a log, CSV or GPX by its content, packed with gzip or not, as it streams in.
 *
 * The same bytes give the same result however they are cut into chunks; no more than the used columns is kept.
 * @param chunks the bytes of the file as stored
 * @throws UserError for what is no log, or one without rows, time or position; a bad row is a problem in the result
 */
export async function readLog(
  chunks: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
  { reading = completeReading(), ...others }: ReadLogOptions,
): Promise<ReadLogResult> {
  const options = { ...others, reading };
  const { path } = options;
  const problems = new ProblemList();
  const gzip: GzipEnd = { state: "whole" };
  const stored = await peekBlocks(toBlocks(chunks));
  const isPacked = isGzip(stored.head);
  const bytes = isPacked ? await peekBlocks(toBlocks(gunzip(stored.blocks, gzip))) : stored;
  if (bytes.head.length === 0 && gzip.state !== "whole") throw damagedGzip(path);
  refuseKnownBinary(bytes.head, path);
  const encoding = detectEncoding(bytes.head, bytes.isWhole);
  const text = await peekBlocks(toUtf8(atMost(bytes.blocks, options), encoding));
  const packing = { encoding: encoding.encoding, isGzip: isPacked };
  const parsed =
    detectKind(new TextDecoder().decode(text.head), path) === "gpx"
      ? // A CSV log needs no XML parser, which takes its time to load.
        await (await import("./gpx/read-gpx.js")).readGpx(text.blocks, packing, options, problems)
      : await readCsv(text, packing, options, problems);
  reportGzip(gzip, problems);
  // A cut stream ends in the middle of a line: one cause, one problem.
  const told = problems.list().filter(({ code }) => gzip.state === "whole" || code !== "truncated");
  return { ...parsed, problems: told, questions: problems.questions };
}

function damagedGzip(path: string): UserError {
  return new UserError("log-not-a-log", "The gzip stream is damaged from the start: nothing could be unpacked.", {
    where: { file: path },
    hint: "Copy or export the log again.",
  });
}

function reportGzip({ state }: GzipEnd, problems: ProblemList): void {
  if (state === "cut")
    problems.add("warning", "gzip-truncated", "The gzip stream breaks off: the whole lines before that were read.");
  if (state === "damaged")
    problems.add("warning", "gzip-damaged", "The gzip stream is damaged: the whole lines before that were read.");
}
