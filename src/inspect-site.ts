import type { CoveredFlight, SiteInspection } from "./inspect/site-inspection.js";
import type { LoadedSetting } from "./load-setting.js";
import { roundDegrees, roundValue } from "./num/round.js";
import type { Replay } from "./recovery/replay.js";
import { layWayHome } from "./recovery/way-home.js";
import type { FlightAudit } from "./score/flight-result.js";
import { resultProblems } from "./score/log-result.js";
import { blankClearance, blankLeg } from "./site/blank-leg.js";

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
  const { inputs, setting, length } = replay;
  const { site, policy } = setting;
  const leg = blankLeg(policy.corridor);
  leg.path_m = 0;
  // It is about the ground: what stands there of unknown height is told beside it.
  leg.knownOnly = true;
  const out = blankClearance();
  let [under, whole, ways] = [0, 0, 0];
  for (let k = 0; k < length; k += 1) {
    layWayHome(replay, k, leg);
    if (!Number.isNaN(site.ground(leg.from.latitude_deg, leg.from.longitude_deg))) under += 1;
    if (Number.isNaN(leg.to.latitude_deg)) continue;
    ways += 1;
    site.legClearance(leg, out);
    if (site.hasTerrain && out.groundSeen_share === 1) whole += 1;
  }
  return {
    under_share: site.hasTerrain ? (roundValue(under / length) ?? 0) : 0,
    way_home_share: ways === 0 ? null : roundValue(whole / ways),
    is_tied: inputs.heights.isTied,
  };
}
