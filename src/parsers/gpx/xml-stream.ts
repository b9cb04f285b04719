import { SaxesParser } from "saxes";
import type { ProblemList } from "../problem-list.js";
import type { PointReader } from "./point-reader.js";

/** Where the XML broke. */
export interface XmlBreak {
  readonly line: number;
  readonly column: number;
  readonly message: string;
  /** The file ends too early; else something in it is wrong. */
  readonly isCut: boolean;
}

/** Elements inside each other; a track point is five deep. */
const DEEPEST = 100;

const ENTITY = {
  severity: "note",
  code: "entity-undefined",
  rest: (count: number) => `and ${count} more undefined ${count === 1 ? "entity was" : "entities were"} ignored.`,
} as const;

const ASCII = /^[!-~]+$/;

/** Thrown out of saxes to stop it at the first error. */
export class StopReading extends Error {}

/** saxes, handing elements and texts to a reader of points. */
export class XmlStream {
  broken: XmlBreak | undefined;
  /** A tag that opens, a text or a comment ended since this was set to false. */
  hasPiece = false;
  /** The name of the track point met last, with its prefix, if it is ASCII. */
  pointName = "trkpt";
  readonly #parser = new SaxesParser({ xmlns: false, position: true });
  readonly #decoder = new TextDecoder();
  readonly #reader: PointReader;
  readonly #problems: ProblemList;
  #depth = 0;
  #isAtEnd = false;
  /** Characters that saxes was given, and how many there were at the end of the last tag or comment. */
  #written = 0;
  #markupEnd = -1;

  constructor(reader: PointReader, problems: ProblemList) {
    this.#reader = reader;
    this.#problems = problems;
    this.#follow();
  }

  /** The last that was read is a tag or a comment, and a track point may follow. */
  get isBetween(): boolean {
    return this.#markupEnd === this.#written && this.#depth > 0 && this.roomInPoint >= 0 && !this.#reader.isInPoint;
  }

  /** How many elements may be open inside a track point that begins here. */
  get roomInPoint(): number {
    return DEEPEST - this.#depth - 1;
  }

  /** 1-based. */
  get line(): number {
    return this.#parser.line;
  }

  /** 0-based. */
  get column(): number {
    return this.#parser.column;
  }

  /** @throws StopReading at the first error */
  write(bytes: Uint8Array): void {
    this.#give(this.#decoder.decode(bytes, { stream: true }));
  }

  /** Goes on elsewhere, where `isBetween` is true: somebody else has read whole elements. */
  skipTo(line: number, column: number): void {
    this.#parser.line = line;
    this.#parser.column = column;
  }

  /** @throws StopReading if the file ends too early */
  end(): void {
    this.#isAtEnd = true;
    this.#give(this.#decoder.decode());
    this.#parser.close();
  }

  /** @throws StopReading */
  stop(message: string, isCut = false): never {
    this.broken = { line: this.line, column: this.column + 1, message, isCut };
    throw new StopReading();
  }

  #give(text: string): void {
    this.#written += text.length;
    this.#parser.write(text);
  }

  /** The handlers of saxes. */
  #follow(): void {
    const parser = this.#parser;
    const reader = this.#reader;
    parser.on("opentag", ({ name, attributes, isSelfClosing }) => {
      this.hasPiece = true;
      this.#depth += 1;
      this.#markupEnd = parser.position;
      if (this.#depth > DEEPEST && !isSelfClosing) this.stop(`elements are nested over ${DEEPEST} deep`);
      const isOutside = !reader.isInPoint;
      reader.openElement(name, attributes, parser.line);
      if (isOutside && reader.isInPoint && name !== this.pointName && ASCII.test(name)) this.pointName = name;
    });
    const takeText = (text: string): void => {
      this.hasPiece = true;
      reader.addText(text);
    };
    parser.on("text", takeText);
    parser.on("cdata", takeText);
    parser.on("closetag", () => {
      this.#depth -= 1;
      this.#markupEnd = parser.position;
      reader.closeElement(parser.line);
    });
    parser.on("comment", () => {
      this.hasPiece = true;
      // Its `>` comes next.
      this.#markupEnd = parser.position + 1;
    });
    // No handler of processing instructions: saxes keeps each as a property, and with one more V8 reads them all by name in a
    // table, which makes the parser three times as slow.
    parser.on("doctype", (doctype) => {
      this.hasPiece = true;
      const what = doctype.includes("<!ENTITY") ? "Its entities are not expanded." : "It is not needed.";
      this.#problems.add("note", "doctype-ignored", `The document type is ignored. ${what}`, parser.line);
    });
    parser.on("error", ({ message }) => {
      const plain = message.replace(/^[\d:]+\s*/, "");
      // A stray ampersand in a name or a comment outside of the points does no harm.
      if (!reader.isInPoint && !this.#isAtEnd && /entity/.test(plain)) {
        this.#problems.count(ENTITY, parser.line, () => `An entity that is not defined was ignored (${plain})`);
        return;
      }
      this.stop(plain, this.#isAtEnd);
    });
  }
}
