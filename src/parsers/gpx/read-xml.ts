import { ByteWindow } from "../byte-window.js";
import type { ProblemList } from "../problem-list.js";
import type { PointReader } from "./point-reader.js";
import { PointScan } from "./point-scan.js";
import { StopReading, type XmlBreak, XmlStream } from "./xml-stream.js";

/** How many track points were read in which way, rejected ones among them. */
export interface PointLanes {
  /** From bytes straight to numbers. */
  readonly plain: number;
  /** By saxes: with anything in them but plain elements, or behind something like that. */
  readonly saxes: number;
}

/** What is known once all was read. */
export interface XmlEnd {
  /** Where the XML broke; undefined if it did not. */
  readonly broken: XmlBreak | undefined;
  readonly lanes: PointLanes;
}

/** Bytes of one tag, text or comment: more is held in memory until its end comes. */
const LONGEST_PIECE = 1 << 20;
/** A track point that is longer is left to saxes. */
const LONGEST_HELD = 1 << 16;
const GREATER = 62;
const BLANKS: ReadonlySet<number> = new Set([9, 10, 13, 32]);

/**
 * Hands the elements of a GPX file to a reader of points, block by block: plain track points by a scan of their bytes, all
 * else by saxes, which never sees the former. A point is balanced, so that its parents are the same without it.
 *
 * @param blocks UTF-8
 * @param lanes `none` leaves everything to saxes
 */
export async function readXml(
  blocks: AsyncIterable<Uint8Array>,
  reader: PointReader,
  problems: ProblemList,
  lanes: "all" | "none" = "all",
): Promise<XmlEnd> {
  const xml = new XmlStream(reader, problems);
  const feed = new Feed(xml, reader, lanes === "all");
  try {
    for await (const block of blocks) feed.add(block);
    feed.end();
  } catch (error) {
    if (!(error instanceof StopReading)) throw error;
  }
  return { broken: xml.broken, lanes: { plain: feed.plain, saxes: reader.rows - feed.plain } };
}

/** A block, or what is left of one. */
interface Block {
  /** Where it ends in the window. */
  end: number;
  /** Its whole length. */
  readonly bytes: number;
}

class Feed {
  /** Points that were scanned. */
  plain = 0;
  readonly #xml: XmlStream;
  readonly #reader: PointReader;
  readonly #isScanning: boolean;
  readonly #scan = new PointScan();
  readonly #window = new ByteWindow();
  #data: Buffer = Buffer.alloc(0);
  /** All before this place in the window was read. */
  #at = 0;
  /** The next thing to read may be a track point, for saxes stands between elements. */
  #isBetween = false;
  /** How many tries on end found no plain point. */
  #misses = 0;
  /** Blocks that were not read to their ends. */
  #blocks: Block[] = [];
  /** Length of the blocks before, back to the one in which a tag, text or comment ended last. */
  #quiet_bytes = 0;

  constructor(xml: XmlStream, reader: PointReader, isScanning: boolean) {
    this.#xml = xml;
    this.#reader = reader;
    this.#isScanning = isScanning;
  }

  add(block: Uint8Array): void {
    this.#data = this.#window.add(block);
    this.#blocks.push({ end: this.#data.length, bytes: block.length });
    if (this.#isScanning) this.#readOn();
    else this.#giveTo(this.#data.length);
    this.#window.keepFrom(this.#at);
    for (const left of this.#blocks) left.end -= this.#at;
    this.#at = 0;
  }

  end(): void {
    this.#data = this.#window.rest;
    this.#giveTo(this.#data.length);
    this.#xml.end();
  }

  /** Reads all of the window, but for a point whose end is to come. */
  #readOn(): void {
    const data = this.#data;
    let next = this.#at;
    for (;;) {
      if (this.#isBetween) {
        this.#scanPoints();
        if (this.#scan.isCut && data.length - this.#at <= LONGEST_HELD) return;
        this.#isBetween = false;
        next = Math.max(next, this.#scan.start + 1 + this.#patience_bytes());
      }
      const point = data.indexOf(`<${this.#xml.pointName}`, next);
      if (point < 0) {
        this.#giveTo(data.length);
        return;
      }
      const tagEnd = blanksBefore(data, point, this.#at);
      if (tagEnd === this.#at || data[tagEnd - 1] === GREATER) {
        this.#giveTo(tagEnd);
        this.#isBetween = this.#xml.isBetween && this.#quiet_bytes === 0;
      }
      next = point + 1;
    }
  }

  /** @returns how far saxes goes on before the next try: where no point is plain, tries would cost more than they save */
  #patience_bytes(): number {
    return this.#misses < 2 ? 0 : Math.min(2 ** (this.#misses + 6), LONGEST_HELD);
  }

  /** Takes the plain points that come next. */
  #scanPoints(): void {
    const scan = this.#scan;
    const xml = this.#xml;
    let at = this.#at;
    let pieceEnd = at;
    let { line, column } = xml;
    scan.expect(Buffer.from(xml.pointName), xml.roomInPoint);
    scan.begin(this.#window.memory, this.#data.length, line);
    for (;;) {
      const end = scan.read(at);
      if (end < 0) break;
      this.#reader.takePoint(scan);
      this.plain += 1;
      at = end;
      pieceEnd = scan.pieceEnd;
      line = scan.lineNow;
      column = scan.lineFrom < 0 ? xml.column + at - this.#at : at - scan.lineFrom;
    }
    xml.skipTo(line, column);
    this.#misses = at > this.#at ? 0 : this.#misses + 1;
    if (at > this.#at) this.#passTo(at, pieceEnd);
  }

  /** Gives saxes what comes next, in pieces that end where blocks do. */
  #giveTo(to: number): void {
    while (this.#at < to) {
      const end = Math.min(to, this.#blocks[0]?.end ?? to);
      this.#xml.write(this.#data.subarray(this.#at, end));
      this.#at = end;
      this.#endBlocks();
    }
  }

  /** Goes behind points that were scanned, whose last text or tag that opens ended at `pieceEnd`. */
  #passTo(to: number, pieceEnd: number): void {
    while ((this.#blocks[0]?.end ?? to) < pieceEnd) this.#blocks.shift();
    this.#quiet_bytes = 0;
    this.#xml.hasPiece = true;
    this.#at = to;
    this.#endBlocks();
  }

  #endBlocks(): void {
    for (let first = this.#blocks[0]; first !== undefined && first.end <= this.#at; first = this.#blocks[0]) {
      this.#blocks.shift();
      this.#quiet_bytes = this.#xml.hasPiece ? 0 : this.#quiet_bytes + first.bytes;
      this.#xml.hasPiece = false;
      if (this.#quiet_bytes > LONGEST_PIECE)
        this.#xml.stop(`a tag, text or comment goes on for over ${LONGEST_PIECE} bytes`);
    }
  }
}

/** @returns where the blanks before a place begin, at least `from` */
function blanksBefore(data: Buffer, place: number, from: number): number {
  let at = place;
  while (at > from && BLANKS.has(data[at - 1] ?? 0)) at -= 1;
  return at;
}
