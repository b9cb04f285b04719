import { UserError } from "../user-error.js";
import { quoteText } from "./quote-text.js";

/** First bytes of files that are no logs, as text of one byte a character. */
const SIGNATURES: readonly (readonly [string, string])[] = [
  ["\x89PNG", "a picture (PNG)"],
  ["\xff\xd8\xff", "a picture (JPEG)"],
  ["GIF8", "a picture (GIF)"],
  ["BM", "a picture (BMP)"],
  ["II*\x00", "a picture (TIFF)"],
  ["MM\x00*", "a picture (TIFF)"],
  ["PK\x03\x04", "a zip archive or an office document"],
  ["PK\x05\x06", "an empty zip archive"],
  ["%PDF", "a PDF document"],
  ["7z\xbc\xaf", "a 7z archive"],
  ["\xfd7zXZ", "an xz archive"],
  ["BZh", "a bzip2 archive"],
  ["\x28\xb5\x2f\xfd", "a zstd archive"],
  ["Rar!", "a rar archive"],
  ["\xd0\xcf\x11\xe0", "an office document"],
  ["SQLite format 3", "a database"],
  ["\x7fELF", "a program"],
  ["\x1f\x8b", "packed with gzip twice"],
];

const HINT = "Export the flight as CSV or GPX.";

/** Such control characters never stand in a text; zero bytes are left out, since some loggers pad cells with them. */
// oxlint-disable-next-line no-control-regex
const CONTROL = /[\x01-\x08\x0e-\x19\x1c-\x1f\x7f]/g;

/**
 * Refuses what is no text by its first bytes.
 *
 * @param head the first bytes as stored (after unpacking)
 * @throws UserError `log-not-a-log` for pictures, archives, documents; `log-empty` for nothing at all
 */
export function refuseKnownBinary(head: Uint8Array, path: string): void {
  if (head.length === 0) throw new UserError("log-empty", "The file is empty.", { where: { file: path }, hint: HINT });
  const start = String.fromCharCode(...head.subarray(0, 16));
  const known = SIGNATURES.find(
    ([signature]) => start.startsWith(signature) && (signature !== "BM" || head.includes(0)),
  );
  if (known !== undefined) throw notALog(path, known[1]);
  if (start.startsWith("RIFF") && start.startsWith("WEBP", 8)) throw notALog(path, "a picture (WebP)");
}

/**
 * Tells CSV from GPX by what the text says, whatever the file is called.
 *
 * @param text the beginning of the log, decoded
 * @throws UserError `log-not-a-log` for web pages, other XML, JSON and binary data; `log-empty` for blank text
 */
export function detectKind(text: string, path: string): "csv" | "gpx" {
  const start = text.trimStart();
  if (start.replaceAll("\0", "").trim() === "") {
    throw new UserError("log-empty", "The file holds nothing but blanks.", { where: { file: path }, hint: HINT });
  }
  if (isBinary(text)) throw notALog(path, "binary data");
  if (start.startsWith("<")) return detectXml(start, path);
  if (/^(?:\{\s*["}]|\[\s*[[{"\d\]-])/.test(start)) throw notALog(path, "JSON");
  return "csv";
}

function isBinary(text: string): boolean {
  return (text.match(CONTROL)?.length ?? 0) > 0.02 * text.length;
}

function detectXml(start: string, path: string): "gpx" {
  const rootAt = skipProlog(start);
  const root = /^<(?:[^\s<>/:]{1,100}:)?([^\s<>/:]{1,100})/.exec(start.slice(rootAt, rootAt + 300))?.[1];
  if (root === "gpx") return "gpx";
  if (/^html$/i.test(root ?? "") || /<!DOCTYPE\s+html/i.test(start.slice(0, rootAt))) {
    throw notALog(path, "a web page (perhaps an error page saved in place of the log)");
  }
  throw notALog(path, root === undefined ? "broken XML" : `XML with the root element ${quoteText(root)}`);
}

/** @returns where the root element begins: declarations, comments and a document type may stand before it */
function skipProlog(text: string): number {
  let at = 0;
  for (;;) {
    while (/\s/.test(text.charAt(at))) at += 1;
    if (text.startsWith("<?", at)) at = after(text, "?>", at);
    else if (text.startsWith("<!--", at)) at = after(text, "-->", at);
    else if (text.startsWith("<!", at)) at = afterDoctype(text, at);
    else return at;
  }
}

function after(text: string, end: string, from: number): number {
  const found = text.indexOf(end, from);
  return found < 0 ? text.length : found + end.length;
}

function afterDoctype(text: string, from: number): number {
  let depth = 0;
  for (let at = from; at < text.length; at += 1) {
    const character = text.charAt(at);
    if (character === "[") depth += 1;
    else if (character === "]") depth -= 1;
    else if (character === ">" && depth <= 0) return at + 1;
  }
  return text.length;
}

function notALog(path: string, what: string): UserError {
  return new UserError("log-not-a-log", `This is no flight log but ${what}.`, { where: { file: path }, hint: HINT });
}
