import type { Declared } from "../../config/declared.js";
import { CHANNEL_KEYS, CHANNELS, type Channel } from "../../track/channels.js";
import { UserError } from "../../user-error.js";
import { quoteText } from "../quote-text.js";
import { dimensionOf, findUnit, unitNames } from "../units.js";
import { findDateOrder } from "./time-format.js";
import { listNames } from "./time-plan.js";

/** A column that homeleg.yaml names. */
export interface MappedColumn {
  readonly channel: Channel | "mode";
  readonly index: number;
  /** The unit as declared, known to fit the channel; undefined where the header shall say. */
  readonly unitText: string | undefined;
}

/**
 * Finds the columns that homeleg.yaml names, by the exact name first, then in any case.
 *
 * @param names of the log's columns
 * @throws UserError `columns-unknown` for a column that the log does not have, `columns-unit` for a unit that does not fit
 */
export function mapColumns(
  columns: Declared["columns"],
  names: readonly string[],
  path: string,
): readonly MappedColumn[] {
  return Object.entries(columns).map(([id, { column, unit }]) => {
    const channel = channelOf(id, path);
    const index = findColumn(names, column);
    if (index < 0) throw unknownColumn(id, column, names, path);
    if (unit !== undefined && channel !== "mode") checkUnit(channel, id, unit, path);
    return { channel, index, unitText: unit };
  });
}

function channelOf(id: string, path: string): Channel | "mode" {
  if (id === "mode") return "mode";
  const channel = CHANNEL_KEYS.find((key) => CHANNELS[key].id === id);
  if (channel !== undefined) return channel;
  throw new UserError("columns-channel", `homeleg.yaml maps a column to ${quoteText(id)}, which is no channel.`, {
    where: { file: path },
  });
}

function findColumn(names: readonly string[], wanted: string): number {
  const exact = names.indexOf(wanted.trim());
  return exact >= 0 ? exact : names.findIndex((name) => name.toLowerCase() === wanted.trim().toLowerCase());
}

function unknownColumn(id: string, column: string, names: readonly string[], path: string): UserError {
  const near = names
    .filter((name) => name !== "")
    .map((name) => ({ name, distance: distanceBetween(name.toLowerCase(), column.toLowerCase()) }))
    .toSorted((a, b) => a.distance - b.distance)[0];
  const isNear = near !== undefined && near.distance <= Math.max(2, column.length / 3);
  return new UserError(
    "columns-unknown",
    `homeleg.yaml takes ${id} from a column ${quoteText(column)}, which the log does not have.`,
    {
      where: { file: path },
      hint: isNear ? `Did you mean ${quoteText(near.name)}?` : `The columns are ${listNames(names)}.`,
    },
  );
}

function checkUnit(channel: Channel, id: string, unit: string, path: string): void {
  const dimension = dimensionOf(channel);
  if (findUnit(unit, dimension) !== undefined) return;
  const isTime = dimension === "time";
  if (isTime && findDateOrder(unit) !== undefined) return;
  const known = [...unitNames(dimension), ...(isTime ? ["d/m/y", "m/d/y"] : [])];
  throw new UserError("columns-unit", `homeleg.yaml gives ${id} the unit ${quoteText(unit)}, which does not fit.`, {
    where: { file: path },
    hint: `Use one of ${known.join(", ")}.`,
  });
}

/** Edit distance (insert, delete, replace), for "did you mean" only: names are cut to 60 characters. */
function distanceBetween(from: string, to: string): number {
  const target = to.slice(0, 60);
  let row = Array.from({ length: target.length + 1 }, (_, index) => index);
  for (const [index, letter] of Array.from(from.slice(0, 60)).entries()) {
    const next = [index + 1];
    for (let at = 0; at < target.length; at += 1) {
      const replaced = (row[at] ?? 0) + (target[at] === letter ? 0 : 1);
      next.push(Math.min(replaced, (row[at + 1] ?? 0) + 1, (next[at] ?? 0) + 1));
    }
    row = next;
  }
  return row.at(-1) ?? 0;
}
