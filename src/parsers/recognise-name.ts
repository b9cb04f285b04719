import type { Channel } from "../track/channels.js";
import { CHANNEL_WORDS, type ChannelWords } from "./channel-words.js";
import { FILLER_WORDS, TIME_WORDS, UNCLEAR_WORDS } from "./other-words.js";
import { dimensionOf, findUnits, ownUnit, type Dimension, type Unit } from "./units.js";

/** What the name of a column says. */
export type NameReading =
  | {
      readonly kind: "channel";
      readonly words: ChannelWords;
      /** The stated unit; undefined if none is stated. */
      readonly unit: Unit | undefined;
      /** A unit was stated that is not known. */
      readonly strangeUnit: string | undefined;
      /** Of two columns for one channel the one with the greater score is used; equal scores are a tie. */
      readonly score: number;
      /** Why, for people. */
      readonly because: string;
    }
  | { readonly kind: "time"; readonly unit: Unit | undefined; readonly isUtc: boolean }
  | {
      readonly kind: "unclear";
      readonly channels: readonly [Channel, ...Channel[]];
      readonly why: string;
      readonly hasUnit: boolean;
    };

type ChannelReading = Extract<NameReading, { kind: "channel" }>;

interface Phrase {
  readonly words: ChannelWords;
  readonly phrase: string;
  readonly score: number;
  readonly needsUnit: boolean;
}

/** The parts of a column's name. */
interface NameParts {
  readonly tokens: readonly string[];
  /** Units in brackets, or from a row of units. */
  readonly units: readonly Unit[];
  /** Text in brackets that is no unit: a part of the name (`Altitude (AMSL)`), else a strange unit. */
  readonly bracketed: string | undefined;
}

const FULL_NAME = 30;
const SHORT_NAME = 20;
const FILLER_COST = 10;
const OWN_UNIT_BONUS = 5;
const LONGEST_UNIT = 3;
/** No name is longer: such a cell is text. */
const LONGEST_NAME = 200;

/** Most cells that are asked about while a header is looked for. */
const NUMBERS = /^[\d\s.,:+-]*$/;

const PHRASES = indexPhrases();
const TIMES = new Set(TIME_WORDS.map(squeeze));
const UNCLEAR = new Map(UNCLEAR_WORDS.flatMap((entry) => entry.words.map((word) => [squeeze(word), entry] as const)));

function indexPhrases(): ReadonlyMap<string, readonly Phrase[]> {
  const found = new Map<string, Phrase[]>();
  const add = (words: ChannelWords, phrases: readonly string[], score: number, needsUnit: boolean): void => {
    for (const phrase of phrases) {
      const key = squeeze(phrase);
      found.set(key, [...(found.get(key) ?? []), { words, phrase, score, needsUnit }]);
    }
  };
  for (const words of CHANNEL_WORDS) {
    add(words, words.names, FULL_NAME, false);
    add(words, words.short ?? [], SHORT_NAME, false);
    add(words, words.withUnit ?? [], SHORT_NAME, true);
  }
  return found;
}

function squeeze(text: string): string {
  return text.replaceAll(" ", "");
}

/**
 * Reads the name of a column or of an XML element by the table of trade words, ignoring case, spacing, underscores.
 *
 * @param name as in the log: `Height above take-off (ft)`, `groundSpeed_kmh`
 * @param unitText what a row of units says beneath it, if there is one
 * @returns undefined if the words mean nothing here
 */
export function recogniseName(name: string, unitText = ""): NameReading | undefined {
  if (name.length > LONGEST_NAME || NUMBERS.test(name)) return undefined;
  const parts = splitName(name, unitText);
  const whole = parts.bracketed === undefined ? parts.tokens : [...parts.tokens, ...tokenise(parts.bracketed)];
  return (
    readTokens(whole, parts.units, undefined) ??
    (parts.bracketed === undefined ? undefined : readTokens(parts.tokens, parts.units, parts.bracketed))
  );
}

function splitName(name: string, unitText: string): NameParts {
  const bracketed: string[] = [];
  const units: Unit[] = [...findUnits(trimBrackets(unitText))];
  const rest = name.replace(/[([{]([^)\]}]*)[)\]}]/g, (_, inside: string) => {
    const found = findUnits(inside);
    if (found.length > 0) units.push(...found);
    else if (/[^\s\d-]/.test(inside)) bracketed.push(inside);
    return " ";
  });
  const strange = units.length === 0 && /[^\s-]/.test(unitText) ? [trimBrackets(unitText)] : [];
  const all = [...bracketed, ...strange];
  return { tokens: tokenise(rest), units, bracketed: all.length === 0 ? undefined : all.join(" ") };
}

function trimBrackets(text: string): string {
  return text.replace(/^[\s([{]+|[\s)\]}]+$/g, "");
}

/** `groundSpeed_kmh` → ground, speed, kmh; `Cell1` → cell, 1; `Take-off` → take, off. */
function tokenise(text: string): string[] {
  return text
    .normalize("NFKC")
    .replace(/(\p{Ll})(\p{Lu})/gu, "$1 $2")
    .toLowerCase()
    .replace(/([%°])/g, " $1")
    .replace(/(\p{L})(\d)/gu, "$1 $2")
    .split(/[\s_\-.,:;#"'\0\p{Cc}]+/u)
    .filter((token) => token !== "" && token !== "/");
}

/** Tries the words as a whole, then with the last one, two or three as a unit. */
function readTokens(
  tokens: readonly string[],
  units: readonly Unit[],
  strangeUnit: string | undefined,
): NameReading | undefined {
  const whole = readWords(tokens, units, strangeUnit);
  if (whole !== undefined || units.length > 0) return whole;
  for (let count = Math.min(LONGEST_UNIT, tokens.length - 1); count > 0; count -= 1) {
    const stated = findUnits(tokens.slice(-count).join(""));
    const reading = stated.length === 0 ? undefined : readWords(tokens.slice(0, -count), stated, strangeUnit);
    if (reading !== undefined) return reading;
  }
  return undefined;
}

function readWords(
  tokens: readonly string[],
  units: readonly Unit[],
  strangeUnit: string | undefined,
): NameReading | undefined {
  const exact = readPhrase(tokens.join(""), units, strangeUnit, 0);
  if (exact !== undefined) return exact;
  const telling = tokens.filter((token) => !FILLER_WORDS.has(token));
  return telling.length < tokens.length ? readPhrase(telling.join(""), units, strangeUnit, FILLER_COST) : undefined;
}

function readPhrase(
  squeezed: string,
  units: readonly Unit[],
  strangeUnit: string | undefined,
  cost: number,
): NameReading | undefined {
  const matches = (PHRASES.get(squeezed) ?? []).flatMap((phrase) => readMatch(phrase, units, strangeUnit, cost) ?? []);
  const best = matches.toSorted((a, b) => b.score - a.score)[0];
  if (best !== undefined) return best;
  if (TIMES.has(squeezed)) return readTime(squeezed, units);
  const unclear = UNCLEAR.get(squeezed);
  if (unclear === undefined) return undefined;
  const fits = units.length === 0 || unclear.channels.some((channel) => fitting(units, dimensionOf(channel)));
  return fits
    ? { kind: "unclear", channels: unclear.channels, why: unclear.why, hasUnit: units.length > 0 }
    : undefined;
}

/** A name that states a unit of another dimension is another quantity: `battery (V)` is no charge. */
function readMatch(
  { words, phrase, score, needsUnit }: Phrase,
  units: readonly Unit[],
  strangeUnit: string | undefined,
  cost: number,
): ChannelReading | undefined {
  const unit = words.channel === "mode" ? undefined : fitting(units, dimensionOf(words.channel));
  if (unit === undefined && (units.length > 0 || needsUnit) && words.channel !== "mode") return undefined;
  const isOwn = unit !== undefined && words.channel !== "mode" && ownUnit(words.channel).name === unit.name;
  return {
    kind: "channel",
    words,
    unit,
    strangeUnit,
    score: score - cost + (isOwn ? OWN_UNIT_BONUS : 0),
    because: `"${phrase}"${score === FULL_NAME ? "" : ", a looser word"}${cost > 0 ? ", among other words" : ""}`,
  };
}

function readTime(squeezed: string, units: readonly Unit[]): NameReading | undefined {
  const unit = fitting(units, "time") ?? fitting(findUnits(squeezed), "time");
  if (unit === undefined && units.length > 0) return undefined;
  return { kind: "time", unit, isUtc: squeezed.includes("utc") };
}

function fitting(units: readonly Unit[], dimension: Dimension): Unit | undefined {
  return units.find((unit) => unit.dimension === dimension);
}
