/**
 * Chooses the moments that a line is drawn through: of each of many equal runs the first, and for every column its least,
 * its greatest, and one that is not known. So no peak is cut off, and no line is drawn over what nobody knows.
 * @param columns of one length, that of the flight
 * @param runs into which the flight is cut
 * @param forced moments that are kept whatever happens, such as a crossing
 * @returns indices in order, each once; all of them where there are few
 */
export function thinMoments(columns: readonly Float64Array[], runs: number, forced: readonly number[]): number[] {
  const length = columns[0]?.length ?? 0;
  const most = runs * (1 + 3 * columns.length);
  if (length <= most) return Array.from({ length }, (_, k) => k);
  const kept = new Set<number>([0, length - 1, ...forced.filter((k) => k >= 0 && k < length)]);
  for (let run = 0; run < runs; run += 1) {
    const from = Math.floor((run * length) / runs);
    const to = Math.floor(((run + 1) * length) / runs);
    kept.add(from);
    for (const column of columns) keepExtremes(column, from, to, kept);
  }
  return [...kept].sort((a, b) => a - b);
}

function keepExtremes(column: Float64Array, from: number, to: number, kept: Set<number>): void {
  let least = -1;
  let greatest = -1;
  let unknown = -1;
  for (let k = from; k < to; k += 1) {
    const value = column[k] ?? Number.NaN;
    if (Number.isNaN(value)) unknown = unknown < 0 ? k : unknown;
    else if (least < 0) {
      least = k;
      greatest = k;
    } else {
      if (value < (column[least] ?? 0)) least = k;
      if (value > (column[greatest] ?? 0)) greatest = k;
    }
  }
  for (const k of [least, greatest, unknown]) if (k >= 0) kept.add(k);
}
