/** The encodings that a log is read in; `windows-1252` stands for Latin-1 too. */
export type TextEncodingName = "utf-8" | "utf-16le" | "utf-16be" | "windows-1252";

/** How the bytes of a log become text. */
export interface DetectedEncoding {
  readonly encoding: TextEncodingName;
  readonly hasByteOrderMark: boolean;
}

const MOST_PAIRS = 2048;

/**
 * Tells the encoding from the first bytes: by the byte order mark, else by where zero bytes stand (UTF-16), else UTF-8
 * where it is valid, else Latin-1 (degree signs of old exports).
 *
 * @param head the first bytes of the log
 * @param isWhole false if more follow, so that a character may be cut at the end
 */
export function detectEncoding(head: Uint8Array, isWhole: boolean): DetectedEncoding {
  const [first, second, third] = head;
  if (first === 0xef && second === 0xbb && third === 0xbf) return { encoding: "utf-8", hasByteOrderMark: true };
  if (first === 0xff && second === 0xfe) return { encoding: "utf-16le", hasByteOrderMark: true };
  if (first === 0xfe && second === 0xff) return { encoding: "utf-16be", hasByteOrderMark: true };
  const encoding = detectUtf16(head) ?? (isValidUtf8(head, isWhole) ? "utf-8" : "windows-1252");
  return { encoding, hasByteOrderMark: false };
}

/** Logs are mostly ASCII, of which UTF-16 makes every second byte zero; padding with zeros makes both of a pair zero. */
function detectUtf16(head: Uint8Array): TextEncodingName | undefined {
  const pairs = Math.min(MOST_PAIRS, head.length >> 1);
  let onlyFirst = 0;
  let onlySecond = 0;
  for (let pair = 0; pair < pairs; pair += 1) {
    const isFirstZero = head[2 * pair] === 0;
    const isSecondZero = head[2 * pair + 1] === 0;
    if (isFirstZero && !isSecondZero) onlyFirst += 1;
    if (isSecondZero && !isFirstZero) onlySecond += 1;
  }
  if (onlySecond > 0.4 * pairs && onlyFirst < 0.05 * pairs) return "utf-16le";
  if (onlyFirst > 0.4 * pairs && onlySecond < 0.05 * pairs) return "utf-16be";
  return undefined;
}

function isValidUtf8(head: Uint8Array, isWhole: boolean): boolean {
  try {
    new TextDecoder("utf-8", { fatal: true }).decode(head, { stream: !isWhole });
    return true;
  } catch (error) {
    if (error instanceof TypeError) return false;
    throw error;
  }
}

/**
 * Turns the bytes of a log into UTF-8 without a byte order mark; UTF-8 passes through uncopied.
 *
 * @param blocks of the log, from its first byte on
 */
export async function* toUtf8(
  blocks: AsyncIterable<Uint8Array>,
  { encoding, hasByteOrderMark }: DetectedEncoding,
): AsyncGenerator<Uint8Array, undefined> {
  if (encoding === "utf-8") {
    let skip = hasByteOrderMark ? 3 : 0;
    for await (const block of blocks) {
      if (block.length > skip) yield block.subarray(skip);
      skip = Math.max(0, skip - block.length);
    }
    return undefined;
  }
  const decoder = new TextDecoder(encoding);
  for await (const block of blocks) {
    const text = decoder.decode(block, { stream: true });
    if (text !== "") yield Buffer.from(text);
  }
  const rest = decoder.decode();
  if (rest !== "") yield Buffer.from(rest);
  return undefined;
}
