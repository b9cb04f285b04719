import type { Declared } from "../../src/config/declared.js";
import type { Reading } from "../../src/config/reading.js";
import type { readGpx } from "../../src/parsers/gpx/read-gpx.js";
import type { ProblemList } from "../../src/parsers/problem-list.js";
import type { readLog } from "../../src/parsers/read-log.js";

export function differenceOf(
  read: typeof readLog,
  bytes: Uint8Array,
): Promise<{ difference: string | undefined; lanes: { plain: number; csvParse: number } | undefined }>;

export function gpxDifferenceOf(
  parsers: {
    readonly readGpx: typeof readGpx;
    readonly newProblems: () => ProblemList;
    readonly reading: Reading;
    readonly columns?: Declared["columns"];
  },
  bytes: Uint8Array,
  block_bytes: number,
): Promise<{ difference: string | undefined; lanes: { plain: number; saxes: number } | undefined }>;
