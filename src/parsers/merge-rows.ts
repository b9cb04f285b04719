import type { ProblemList } from "./problem-list.js";

/**
 * Leaves one row for each time: equal rows are repeats, blanks of the first are filled from the next, and where they
 * differ the first is kept. All of it is reported.
 *
 * @param time_us by row
 * @param order rows in the order of time; undefined if they are
 * @param columns numbers with NaN for blank, and `codes` (which is among them) with 0; blanks are filled in place
 * @returns the rows that stay, in the order of time; undefined if all do as they are
 */
export function mergeSameTimes(
  time_us: Float64Array,
  order: Uint32Array | undefined,
  columns: readonly Float64Array[],
  problems: ProblemList,
  codes: Float64Array | undefined,
): Uint32Array | undefined {
  const kept = new Uint32Array(time_us.length);
  let count = 0;
  const merged = { repeated: 0, filled: 0, dropped: 0 };
  for (let at = 0; at < time_us.length; at += 1) {
    const row = order?.[at] ?? at;
    const last = kept[count - 1];
    if (last === undefined || count === 0 || time_us[last] !== time_us[row]) {
      kept[count] = row;
      count += 1;
    } else {
      merged[mergeRow(columns, last, row, codes)] += 1;
    }
  }
  reportMerged(merged, problems);
  return order === undefined && count === time_us.length ? undefined : kept.subarray(0, count);
}

/** Fills blanks of `into` from `from`. */
function mergeRow(
  columns: readonly Float64Array[],
  into: number,
  from: number,
  codes: Float64Array | undefined,
): "repeated" | "filled" | "dropped" {
  let result: "repeated" | "filled" | "dropped" = "repeated";
  for (const values of columns) {
    const isBlank = (value: number | undefined): boolean => (values === codes ? value === 0 : Number.isNaN(value));
    const value = values[from] ?? Number.NaN;
    if (isBlank(value) || values[into] === value) continue;
    if (!isBlank(values[into])) result = "dropped";
    else if (result === "repeated") result = "filled";
    if (isBlank(values[into])) values[into] = value;
  }
  return result;
}

function reportMerged(
  { repeated, filled, dropped }: { repeated: number; filled: number; dropped: number },
  problems: ProblemList,
): void {
  if (repeated > 0) {
    problems.add(
      "note",
      "rows-repeated",
      `${repeated} ${repeated === 1 ? "row repeats" : "rows repeat"} the one before and ${repeated === 1 ? "was" : "were"} dropped.`,
    );
  }
  if (filled > 0) {
    problems.add(
      "note",
      "rows-joined",
      `${filled} ${filled === 1 ? "row was" : "rows were"} joined to another of the same time whose blanks it fills.`,
    );
  }
  if (dropped > 0) {
    problems.add(
      "warning",
      "rows-same-time",
      `${dropped} ${dropped === 1 ? "row has" : "rows have"} the time of another row but other values: the first of each time is kept.`,
    );
  }
}
