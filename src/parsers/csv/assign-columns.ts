import type { Declared } from "../../config/declared.js";
import type { Channel } from "../../track/channels.js";
import { askMeaning, askUnit, idOf } from "../ask-column.js";
import { CHANNEL_WORDS, type ChannelWords } from "../channel-words.js";
import type { ColumnUse } from "../column-use.js";
import { columnsSnippet } from "../columns-snippet.js";
import type { ProblemList } from "../problem-list.js";
import { quoteText } from "../quote-text.js";
import { recogniseName, type NameReading } from "../recognise-name.js";
import { dimensionOf, findUnit, ownUnit, type Unit } from "../units.js";
import type { CellReader } from "../cell-readers.js";
import { columnUses } from "./column-uses.js";
import type { SniffedCsv } from "./dialect.js";
import { mapColumns, type MappedColumn } from "./map-columns.js";
import { planTime, type TimeColumn, type TimePlan } from "./time-plan.js";
import { hasOneSensibleUnit, isShare } from "./unitless.js";

/** A column that fills a channel. */
export interface AssignedColumn {
  readonly channel: Channel | "mode";
  readonly index: number;
  readonly name: string;
  /** Undefined for text. */
  readonly unit: Unit | undefined;
  /** Least and greatest value in the channel's own unit. */
  readonly range: readonly [number, number] | undefined;
  /** Why this column, for people. */
  readonly because: string;
}

/** What becomes of each column. */
export interface ColumnPlan {
  readonly time: TimePlan;
  readonly assigned: readonly AssignedColumn[];
  /** Names of columns that are not used. */
  readonly unused: readonly string[];
  /** Every column with a name, in the order of the log. */
  readonly uses: readonly ColumnUse[];
}

interface Context {
  readonly names: readonly string[];
  readonly sample: SniffedCsv["sample"];
  readonly readNumber: CellReader;
  readonly problems: ProblemList;
  readonly path: string;
}

interface Named {
  readonly index: number;
  readonly name: string;
  readonly reading: NameReading;
}

interface Claim extends Named {
  readonly reading: Extract<NameReading, { kind: "channel" }>;
}

/**
 * Decides which column fills which channel, by homeleg.yaml first and the table of trade words then. What is ambiguous
 * is left out, with the line for homeleg.yaml that settles it as a problem.
 *
 * @throws UserError for what homeleg.yaml gets wrong, and `log-no-time` without a column of time
 */
export function assignColumns(
  { names, units, sample }: Pick<SniffedCsv, "names" | "units" | "sample">,
  columns: Declared["columns"],
  readNumber: CellReader,
  problems: ProblemList,
  path: string,
): ColumnPlan {
  const context = { names, sample, readNumber, problems, path };
  const mapped = mapColumns(columns, names, path);
  const isMapped = new Set(mapped.map(({ index }) => index));
  const named = names.flatMap((name, index): Named[] => {
    const reading = isMapped.has(index) ? undefined : recogniseName(name, units?.[index]);
    return reading === undefined ? [] : [{ index, name, reading }];
  });
  const time = planTime(timeColumns(mapped, named, context, units), names, sample, readNumber, path);
  if (time.unclearDate !== undefined) askDateOrder(time.unclearDate, problems);
  const assigned = [
    ...mapped.flatMap((column) => assignMapped(column, context, units?.[column.index]) ?? []),
    ...assignNamed(named, new Set(mapped.map(({ channel }) => channel)), context),
  ];
  noteUnclear(named, assigned, context);
  const used = new Set([...assigned, ...time.main.columns, ...(time.utc?.columns ?? [])].map(({ index }) => index));
  return {
    time,
    assigned,
    unused: names.filter((name, index) => name !== "" && !used.has(index)),
    uses: columnUses({ names, named, assigned, time, questions: problems.questions }),
  };
}

/** Without its date the log has times of day alone; the order is asked for, since guessed it would be wrong by months. */
function askDateOrder({ name, why, unit }: NonNullable<TimePlan["unclearDate"]>, problems: ProblemList): void {
  problems.ask(
    { kind: "unit", columns: [name], channels: ["time"], unit, why, isCovered: false },
    "warning",
    "date-order-unclear",
    `Column ${quoteText(name)} ${why}: not used, so that the day is not known. ` +
      `If it fits, add to homeleg.yaml: ${columnsSnippet("time", name, unit)} (or m/d/y)`,
  );
}

/** A mapped column of time is the one used; the others may still tell the date. */
function timeColumns(
  mapped: readonly MappedColumn[],
  named: readonly Named[],
  { names }: Context,
  units: readonly string[] | undefined,
): readonly TimeColumn[] {
  const recognised = named.flatMap(({ index, name, reading }): TimeColumn[] =>
    reading.kind === "time"
      ? [{ index, name, unitText: reading.unit?.name, isUtc: reading.isUtc, isMapped: false }]
      : [],
  );
  const chosen = mapped.find(({ channel }) => channel === "time_s");
  if (chosen === undefined) return recognised;
  const { index, unitText } = chosen;
  const name = names[index] ?? "";
  const reading = recogniseName(name, units?.[index]);
  const stated = reading?.kind === "time" ? reading : undefined;
  const unitOrName = unitText ?? stated?.unit?.name ?? units?.[index] ?? bracketedUnit(name);
  return [{ index, name, unitText: unitOrName, isUtc: stated?.isUtc ?? false, isMapped: true }, ...recognised];
}

function assignMapped(
  { channel, index, unitText }: MappedColumn,
  context: Context,
  rowUnit: string | undefined,
): AssignedColumn | undefined {
  if (channel === "time_s") return undefined;
  const name = context.names[index] ?? "";
  const because = "homeleg.yaml names it";
  const words = CHANNEL_WORDS.find((entry) => entry.channel === channel);
  if (channel === "mode") return { channel, index, name, unit: undefined, range: undefined, because };
  const stated = unitText ?? rowUnit ?? bracketedUnit(name);
  const unit = stated === undefined ? undefined : findUnit(stated, dimensionOf(channel));
  return finishClaim({ channel, index, name, unit, words, because, strangeUnit: undefined }, context);
}

/** A unit that stands in the name of a column whose words mean nothing here: `XYZ (ft)`, `xyz_ft`. */
function bracketedUnit(name: string): string | undefined {
  return /[([]([^)\]]+)[)\]]\s*$/.exec(name)?.[1] ?? /[_\s]([^_\s]+)$/.exec(name)?.[1];
}

function assignNamed(
  named: readonly Named[],
  taken: ReadonlySet<Channel | "mode">,
  context: Context,
): readonly AssignedColumn[] {
  const claims = new Map<Channel | "mode", Claim[]>();
  for (const { index, name, reading } of named) {
    if (reading.kind !== "channel" || taken.has(reading.words.channel)) continue;
    const others = claims.get(reading.words.channel) ?? [];
    claims.set(reading.words.channel, [...others, { index, name, reading }]);
  }
  return [...claims].flatMap(([channel, rivals]): AssignedColumn[] => {
    const best = pickClaim(channel, rivals, context);
    if (best === undefined) return [];
    const { index, name, reading } = best;
    const { words, unit, because, strangeUnit } = reading;
    if (channel === "mode") return [{ channel, index, name, unit: undefined, range: undefined, because }];
    const finished = finishClaim({ channel, index, name, unit, words, because, strangeUnit }, context);
    return finished === undefined ? [] : [finished];
  });
}

function pickClaim(channel: Channel | "mode", rivals: readonly Claim[], { problems }: Context): Claim | undefined {
  const [best, second] = rivals.toSorted((a, b) => b.reading.score - a.reading.score);
  if (best === undefined || second === undefined || best.reading.score > second.reading.score) return best;
  const id = idOf(channel);
  const tied = rivals.filter(({ reading }) => reading.score === best.reading.score);
  const names = tied.map(({ name }) => name).filter((name) => name !== best.name);
  problems.ask(
    {
      kind: "tie",
      columns: [best.name, ...names],
      channels: [id],
      unit: best.reading.unit?.name,
      why: `may be ${id}, as may another column`,
      isCovered: false,
    },
    "warning",
    "columns-tie",
    `Columns ${tied.map(({ name }) => quoteText(name)).join(" and ")} may both be ${id}: neither is used. ` +
      `Name one in homeleg.yaml: ${columnsSnippet(id, best.name, best.reading.unit?.name)}`,
  );
  return undefined;
}

interface Unfinished {
  readonly channel: Channel;
  readonly index: number;
  readonly name: string;
  readonly unit: Unit | undefined;
  readonly words: ChannelWords | undefined;
  readonly because: string;
  readonly strangeUnit: string | undefined;
}

/** Gives a column its unit: the stated one, else the channel's own where no other makes sense; else asks. */
function finishClaim(claim: Unfinished, context: Context): AssignedColumn | undefined {
  const { channel, index, name, words, because, strangeUnit } = claim;
  const range = words?.range;
  if (claim.unit !== undefined) {
    return { channel, index, name, unit: claim.unit, range, because: `${because}; stated unit ${claim.unit.name}` };
  }
  const own = ownUnit(channel);
  const cells = context.sample.map((row) => row[index] ?? "");
  if (strangeUnit === undefined && hasOneSensibleUnit(words?.unitless ?? "ask", cells, context.readNumber)) {
    if (words?.unitless !== "own") {
      context.problems.add(
        "note",
        "unit-by-values",
        `Column ${quoteText(name)} states no unit; by its values it is in ${own.name}.`,
      );
    }
    return { channel, index, name, unit: own, range, because: `${because}; no unit stated, ${own.name} by its values` };
  }
  const likely =
    own.name === "%" && strangeUnit === undefined && isShare(cells, context.readNumber) ? "0-1" : undefined;
  askUnit("Column", name, channel, strangeUnit, context.problems, likely);
  return undefined;
}

/** Only a note where the log has a column whose name says what this one leaves open. */
function noteUnclear(named: readonly Named[], assigned: readonly AssignedColumn[], { problems }: Context): void {
  const filled = new Set(assigned.map(({ channel }) => channel));
  for (const { name, reading } of named) {
    if (reading.kind !== "unclear") continue;
    askMeaning(
      "Column",
      name,
      reading,
      reading.channels.some((channel) => filled.has(channel)),
      problems,
    );
  }
}
