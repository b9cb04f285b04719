import { hash } from "node:crypto";
import type { LogFacts, LogResult } from "../index.js";
import type { KeptAudit } from "./audited-log.js";
import { pack, type Packed } from "./packed.js";

/** The second line of an entry. */
interface Head {
  readonly facts: LogFacts;
  /** Formats whose parts follow the result, in this order. */
  readonly parts: readonly string[];
}

const LINE_FEED = 0x0a;

/**
 * An audit as a file of lines: the hash of all that follows, the facts, the result, then each part. Result and parts are
 * JSON texts on lines of their own, so that they can be taken out, kept and handed on without being read.
 */
export function entryOf({ facts, result, parts }: KeptAudit): Uint8Array {
  const head: Head = { facts, parts: Object.keys(parts) };
  const lines = [{ value: head }, result, ...Object.values(parts)].map((one) => pack<unknown>(one).json);
  const body = Buffer.concat(lines.flatMap((line) => [line, Uint8Array.of(LINE_FEED)]));
  return Buffer.concat([Buffer.from(`${hashOf(body)}\n`), body]);
}

/** @returns the audit of an entry; undefined for one that is damaged, which its hash tells */
export function readEntry(entry: Buffer): KeptAudit | undefined {
  const start = entry.indexOf(LINE_FEED) + 1;
  const body = entry.subarray(start);
  if (start === 0 || hashOf(body) !== entry.toString("latin1", 0, start - 1)) return undefined;
  const [head, result, ...parts] = linesOf(body);
  if (head === undefined || result === undefined) return undefined;
  const { facts, parts: formats } = JSON.parse(head.toString()) as Head;
  return {
    facts,
    result: taken<LogResult>(result),
    parts: Object.fromEntries(parts.map((part, i) => [formats[i], taken(part)])),
  };
}

function linesOf(body: Buffer): Buffer[] {
  const lines: Buffer[] = [];
  let start = 0;
  for (let end = body.indexOf(LINE_FEED); end >= 0; end = body.indexOf(LINE_FEED, start)) {
    lines.push(body.subarray(start, end));
    start = end + 1;
  }
  return lines;
}

/** A copy: what is kept of the result must not keep a page beside it in memory. */
function taken<T>(line: Buffer): Packed<T> {
  return { json: new Uint8Array(line) };
}

function hashOf(bytes: Uint8Array): string {
  return hash("sha256", bytes, "hex");
}
