/**
 * @param column undefined where the log has no such channel
 * @returns true where the channel holds a value within the rows: a channel that another flight of the log filled says
 *   nothing here
 */
export function hasValues(
  column: Float64Array | undefined,
  { first, last }: { readonly first: number; readonly last: number },
): column is Float64Array {
  return column !== undefined && column.subarray(first, last + 1).some((value) => !Number.isNaN(value));
}
