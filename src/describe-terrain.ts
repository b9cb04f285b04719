import type { LoadedSetting } from "./load-setting.js";
import type { TerrainSummary } from "./site/terrain-file.js";

/**
 * Tells what the terrain files of a setting are: format, coordinate system, extent, resolution.
 * @param options `countVoids` counts the nodes without a height too, for which all of every file is read
 * @returns one for each file, in the order declared; none for `flat`, or where no terrain is declared
 * @throws UserError, one line, where a file cannot be read any more
 */
export function describeTerrain(
  { site }: LoadedSetting,
  options: { readonly countVoids?: boolean } = {},
): Promise<TerrainSummary[]> {
  return site.summaries(options);
}
