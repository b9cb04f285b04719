/** @returns the number at an index; NaN beyond the ends */
export function at(values: Float64Array, index: number): number {
  return values[index] ?? Number.NaN;
}
