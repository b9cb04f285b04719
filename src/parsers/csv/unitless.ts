import type { UnitlessRule } from "../channel-words.js";
import { UNREADABLE, type CellReader } from "../cell-readers.js";

const RULES: Readonly<Record<Exclude<UnitlessRule, "own" | "ask">, (least: number, most: number) => boolean>> = {
  // A pack of one to twelve cells, at rest or sagging; millivolts would be in the thousands.
  volts: (least, most) => least >= 0 && most >= 2.5 && most < 100,
  cell: (least, most) => least >= 0 && most >= 2.5 && most < 5,
  // Radians stay within ±2π.
  degrees: (least, most) => Math.max(-least, most) > 7,
  percent: (least, most) => least >= 0 && most > 1 && most <= 100,
  "over-60": (least, most) => least >= 0 && most > 60 && most <= 100,
};

/**
 * Decides whether the channel's own unit is the only sensible one for a column that states none.
 *
 * @param cells of the column, from a sample of the rows
 * @returns true to take it, false to ask
 */
export function hasOneSensibleUnit(rule: UnitlessRule, cells: readonly string[], readNumber: CellReader): boolean {
  if (rule === "own") return true;
  if (rule === "ask") return false;
  const { least, most } = rangeOf(cells, readNumber);
  return RULES[rule](least, most);
}

/** @returns true where the values speak for a share of one: per cent that never passes 1 would be an empty pack */
export function isShare(cells: readonly string[], readNumber: CellReader): boolean {
  const { least, most } = rangeOf(cells, readNumber);
  return least >= 0 && most > 0 && most <= 1;
}

function rangeOf(cells: readonly string[], readNumber: CellReader): { least: number; most: number } {
  let least = Number.POSITIVE_INFINITY;
  let most = Number.NEGATIVE_INFINITY;
  for (const cell of cells) {
    const value = readNumber(cell);
    if (Number.isNaN(value) || value === UNREADABLE) continue;
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  return { least, most };
}
