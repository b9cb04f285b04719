import type { CoveredFlight, SiteInspection } from "./inspect/site-inspection.js";
import type { LoadedSetting } from "./load-setting.js";
import { roundDegrees, roundValue } from "./num/round.js";
import type { Replay } from "./recovery/replay.js";
import type { FlightAudit } from "./score/flight-result.js";
import { resultProblems } from "./score/log-result.js";
import type { LegClearance } from "./site/site.js";

/**
 * Tells how a site was understood: terrain files with extent, resolution and voids, obstacles and how many of them have no
 * height of their own, zones, and how much of each flight it knows the ground for.
 * @param setting from `loadSetting`
 * @param audits of flights there; none asks only about the files
 * @throws UserError, one line, where a terrain file cannot be read any more
 */
export async function inspectSite(
  setting: LoadedSetting,
  audits: readonly { readonly result: { readonly path: string }; readonly flights: readonly FlightAudit[] }[] = [],
): Promise<SiteInspection> {
  const { site, config } = setting;
  const { terrain, obstacles, zones } = config.declared.site;
  const summaries = await site.summaries({ countVoids: true });
  const kinds: Record<string, number> = {};
  for (const { kind } of site.zones?.zones ?? []) kinds[kind] = (kinds[kind] ?? 0) + 1;
  return {
    terrain: terrain?.kind ?? null,
    terrain_files: summaries.map(({ voidShare, ...summary }) => ({
      ...summary,
      west_deg: roundDegrees(summary.west_deg) ?? 0,
      south_deg: roundDegrees(summary.south_deg) ?? 0,
      east_deg: roundDegrees(summary.east_deg) ?? 0,
      north_deg: roundDegrees(summary.north_deg) ?? 0,
      resolution_m: roundValue(summary.resolution_m) ?? 0,
      void_share: roundValue(voidShare ?? 0) ?? 0,
    })),
    obstacles:
      site.obstacles === undefined
        ? null
        : {
            files: obstacles ?? [],
            count: site.obstacles.obstacles.length,
            of_unknown_height: site.obstacles.obstacles.filter(
              ({ height_m, top_m }) => height_m === undefined && top_m === undefined,
            ).length,
            by_default: site.obstacles.defaults.map(({ kind, count, value_m, basis }) => ({
              kind,
              count,
              height_m: value_m,
              basis,
            })),
          },
    zones: site.zones === undefined ? null : { files: zones ?? [], count: site.zones.zones.length, kinds },
    problems: resultProblems(site.problems),
    flights: audits.flatMap(({ result, flights }) =>
      flights.map(({ judgement }) => ({
        path: result.path,
        index: judgement.replay.flight.index,
        ...coverageOf(judgement.replay),
      })),
    ),
  };
}

function coverageOf(replay: Replay): Pick<CoveredFlight, "under_share" | "way_home_share" | "is_tied"> {
  const { moments, inputs, setting, length } = replay;
  const { site, policy } = setting;
  const at = (column: Float64Array, k: number): number => column[k] ?? Number.NaN;
  const out: LegClearance = {
    centre_m: 0,
    corridor_m: 0,
    latitude_deg: 0,
    longitude_deg: 0,
    over: -1,
    groundSeen_share: 0,
  };
  let [under, whole, ways] = [0, 0, 0];
  for (let k = 0; k < length; k += 1) {
    const from = { latitude_deg: at(moments.latitude_deg, k), longitude_deg: at(moments.longitude_deg, k) };
    if (!Number.isNaN(site.ground(from.latitude_deg, from.longitude_deg))) under += 1;
    const to = { latitude_deg: at(inputs.point.latitude_deg, k), longitude_deg: at(inputs.point.longitude_deg, k) };
    if (Number.isNaN(to.latitude_deg)) continue;
    ways += 1;
    // It is about the ground: what stands there of unknown height is told beside it.
    site.legClearance({ from, to, path_m: 0, corridor_m: policy.corridor, knownOnly: true }, out);
    if (site.hasTerrain && out.groundSeen_share === 1) whole += 1;
  }
  return {
    under_share: site.hasTerrain ? (roundValue(under / length) ?? 0) : 0,
    way_home_share: ways === 0 ? null : roundValue(whole / ways),
    is_tied: inputs.heights.isTied,
  };
}
