/**
 * Fewest single-letter slips (insertion, deletion, substitution, swap of neighbours) that turn one word into the other.
 *
 * Optimal string alignment, the restricted form of the Damerau–Levenshtein distance: no letter is edited twice, which is
 * what a slip of the finger is. Letters are UTF-16 code units.
 *
 * Source: L. Boytsov, Indexing methods for approximate dictionary searching, ACM J. Exp. Algorithmics 16 (2011), §2.2.
 * @returns 0 for equal words; at most the longer length
 */
export function editDistance(a: string, b: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, column) => column);
  for (let i = 1; i <= a.length; i += 1) {
    const row: number[] = [];
    for (let j = 0; j <= b.length; j += 1) {
      const isSame = a[i - 1] === b[j - 1];
      const isSwap = a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      const swapped = isSwap ? at(beforeLast, j - 2) + 1 : Number.POSITIVE_INFINITY;
      row.push(Math.min(at(last, j) + 1, at(row, j - 1) + 1, at(last, j - 1) + (isSame ? 0 : 1), swapped));
    }
    beforeLast = last;
    last = row;
  }
  return at(last, b.length);
}

/**
 * The known word that was most likely meant: at most a third of its letters wrong, and one in a short word.
 * @param known in order of preference: the first of equally near ones is taken
 * @returns undefined when none is near
 */
export function nearestWord(word: string, known: readonly string[]): string | undefined {
  let nearest: string | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const candidate of known) {
    const limit = Math.max(1, Math.floor(candidate.length / 3));
    if (Math.abs(word.length - candidate.length) > limit) continue;
    const distance = editDistance(word.toLowerCase(), candidate.toLowerCase());
    if (distance < least && distance <= limit) {
      least = distance;
      nearest = candidate;
    }
  }
  return nearest;
}

/** Outside the table is infinitely far. */
function at(row: readonly number[], index: number): number {
  return row[index] ?? Number.POSITIVE_INFINITY;
}
