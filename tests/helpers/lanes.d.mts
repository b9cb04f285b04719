import type { readLog } from "../../src/parsers/read-log.js";

export function differenceOf(
  read: typeof readLog,
  bytes: Uint8Array,
): Promise<{ difference: string | undefined; lanes: { plain: number; csvParse: number } | undefined }>;
