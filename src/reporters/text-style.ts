import { Chalk, type ChalkInstance } from "chalk";
import { visible } from "./escape/visible.js";

/** How a text report is to look. */
export interface TextOptions {
  /** 0 no colour, 1 sixteen colours, 2 or 3 more. */
  readonly color: 0 | 1 | 2 | 3;
  /** Only ASCII characters of our own; names from logs are escaped. */
  readonly ascii: boolean;
  /** Columns to wrap at, at least 40. */
  readonly width: number;
  readonly units: "metric" | "imperial";
  /** One line a flight, no more. */
  readonly quiet: boolean;
  /** Print how the score adds up. */
  readonly explainScore: boolean;
}

/** Words with a meaning of their own, in a look of their own: never by colour alone. */
export interface Style {
  readonly options: TextOptions;
  readonly verdict: (verdict: "clear" | "thin" | "fail" | "unknown", text: string) => string;
  readonly strong: (text: string) => string;
  readonly faint: (text: string) => string;
  /** Marks of the strip over time. */
  readonly marks: Readonly<Record<"clear" | "thin" | "fail" | "unknown", string>>;
  readonly dash: string;
}

/** Okabe and Ito's palette for colour-blind readers (2008): blue, orange, vermilion, grey. */
const PALETTE = { clear: "#56B4E9", thin: "#E69F00", fail: "#D55E00" } as const;

/** @returns the style for the options */
export function styleFor(options: TextOptions): Style {
  const chalk: ChalkInstance = new Chalk({ level: options.color });
  const painters = {
    clear: chalk.hex(PALETTE.clear),
    thin: chalk.hex(PALETTE.thin),
    fail: chalk.hex(PALETTE.fail).bold,
    unknown: chalk.dim,
  };
  return {
    options,
    verdict: (verdict, text) => painters[verdict](text),
    strong: (text) => chalk.bold(text),
    faint: (text) => chalk.dim(text),
    marks: options.ascii
      ? { clear: "-", thin: "+", fail: "#", unknown: "." }
      : { clear: "─", thin: "▒", fail: "█", unknown: "·" },
    dash: options.ascii ? "-" : "–",
  };
}

/** @returns text from a log or a file name, with control characters made visible so that no terminal obeys them */
export function printable(text: string, ascii: boolean): string {
  const safe = visible(text);
  if (!ascii) return safe;
  return safe
    .replaceAll("–", "-")
    .replaceAll("…", "...")
    .replaceAll("−", "-")
    .replaceAll("·", "|")
    .replaceAll("÷", "/")
    .replaceAll("°", " deg")
    .replace(/[^\u0020-\u007e]/gu, (sign) => `\\u{${(sign.codePointAt(0) ?? 0).toString(16)}}`);
}

/**
 * Breaks prose at spaces.
 * @param width columns in all, the indent included
 * @param first the indent of the first line, @param rest that of the others
 */
export function wrap(text: string, width: number, first: string, rest: string): string[] {
  const lines: string[] = [];
  let line = first;
  let isEmpty = true;
  for (const word of text.split(" ")) {
    if (!isEmpty && line.length + 1 + word.length > width) {
      lines.push(line);
      line = rest;
      isEmpty = true;
    }
    line += isEmpty ? word : ` ${word}`;
    isEmpty = false;
  }
  lines.push(line);
  return lines;
}
