import type { Replay } from "../recovery/replay.js";
import type { Site } from "../site/site.js";
import { landingSlope_deg } from "../site/slope.js";
import { ZONE_BITS } from "../site/zones.js";
import { type Conduct, conductRule, type Lack } from "./rule.js";
import type { Say } from "./say.js";

const BAD_ZONES = ["water", "keep-out", "no-landing", "cover"] as const;
const IN_ZONE = {
  water: "lies in the water of",
  "keep-out": "lies in the keep-out zone",
  "no-landing": "lies in the no-landing zone",
  cover: "lies under the cover of",
} as const;

const RANK = { clear: 0, unknown: 1, thin: 2, fail: 3 } as const;

/** What is known of the ground at one recovery point. */
interface Spot {
  readonly verdict: keyof typeof RANK;
  /** Why, as the rest of a sentence that begins with the point. */
  readonly why: string;
  readonly value: number;
  readonly limit: number;
  readonly unit: string;
  readonly thing: string | null;
  readonly slope_deg: number;
}

/**
 * Whether a recovery point is a place to land at: every one of the flight is asked, the worst is told.
 *
 * Water, a keep-out, a no-landing zone, a cover overhead or the footprint of an obstacle fails; an obstacle within the
 * corridor, which is the error that the landing may have, or ground that slopes is thin. Clear takes terrain, obstacles
 * and zones that are declared.
 */
export const pointUnsafe = conductRule({
  id: "point-unsafe",
  question: "Was the recovery point a place to land at?",
  unit: "m",
  limits: { corridor_m: "corridor", slope_deg: "slope" },
  judge(replay, limits, say): Conduct {
    const { point } = replay.inputs;
    const { flight, setting, track } = replay;
    if (point.setRow === undefined) return { verdict: "unknown", lacks: ["recovery-point"] };
    const rows = [point.setRow, ...point.moveRows];
    const spots = rows.map((from, i) => {
      const k = from - flight.first;
      const at = [point.latitude_deg[k] ?? Number.NaN, point.longitude_deg[k] ?? Number.NaN] as const;
      const last = (rows[i + 1] ?? flight.last + 1) - 1;
      return { from, last, ...judgeSpot(setting.site, ...at, limits, say) };
    });
    const spot = spots.reduce((most, one) => (RANK[one.verdict] > RANK[most.verdict] ? one : most));
    if (spot.verdict === "clear") return { verdict: "clear" };
    if (spot.verdict === "unknown") return { verdict: "unknown", lacks: lacksOf(replay, spot, limits.slope_deg) };
    const which =
      rows.length === 1
        ? "The recovery point"
        : `The recovery point set at ${say.time(track.columns.time_s[spot.from] ?? 0)}`;
    return {
      verdict: spot.verdict,
      finding: {
        first: spot.from,
        last: spot.last,
        at: spot.from,
        value: spot.value,
        limit: spot.limit,
        unit: spot.unit,
        message: `${which} ${spot.why}: a recovery comes down there by itself.`,
        advice: adviceFor(spot),
        evidence: {
          thing: spot.thing,
          slope_deg: Number.isNaN(spot.slope_deg) ? null : spot.slope_deg,
          unsafe_points: spots.filter(({ verdict }) => verdict === "fail" || verdict === "thin").length,
          points: spots.length,
        },
      },
    };
  },
  bases: ({ inputs }) => [inputs.point.basis, "declared"],
});

function judgeSpot(
  site: Site,
  latitude_deg: number,
  longitude_deg: number,
  limits: Readonly<Record<"corridor_m" | "slope_deg", number>>,
  say: Say,
): Spot {
  // A site without terrain stands on a plain, so that obstacles have a foot; that says nothing of the slope.
  const slope_deg = site.hasTerrain ? landingSlope_deg(site, latitude_deg, longitude_deg) : Number.NaN;
  const plain = { value: Number.NaN, limit: Number.NaN, unit: "m", thing: null, slope_deg };
  for (const kind of BAD_ZONES) {
    const name = site.zoneNames[site.zoneAt(latitude_deg, longitude_deg, ZONE_BITS[kind])];
    if (name !== undefined) return { ...plain, verdict: "fail", why: `${IN_ZONE[kind]} ${name}`, thing: name };
  }
  const on = site.obstacleNames[site.standsWithin(latitude_deg, longitude_deg, 0)];
  if (on !== undefined) return { ...plain, verdict: "fail", why: `lies in the footprint of ${on}`, thing: on };
  const near = site.obstacleNames[site.standsWithin(latitude_deg, longitude_deg, limits.corridor_m)];
  if (near !== undefined) {
    const why = `has ${near} within ${say.length(limits.corridor_m)}, the error that a landing may have`;
    return { ...plain, verdict: "thin", why, limit: limits.corridor_m, thing: near };
  }
  const isSteep = slope_deg > limits.slope_deg;
  // A surface slopes at every tree: it says nothing of the ground, unless it is even.
  if (isSteep && !site.isSurface) {
    const [steep, allowed] = say.beside("count", slope_deg, limits.slope_deg);
    const why = `is on ground that slopes ${steep}° (limit ${allowed}°)`;
    return { ...plain, verdict: "thin", why, value: slope_deg, limit: limits.slope_deg, unit: "deg" };
  }
  const isKnown = site.hasZones && (site.hasObstacles || site.isSurface) && slope_deg <= limits.slope_deg;
  return { ...plain, verdict: isKnown ? "clear" : "unknown", why: "" };
}

function adviceFor({ thing, unit }: Spot): string {
  if (unit === "deg") return "Take off where the ground is level, or set the recovery point there.";
  return `Take off clear of ${thing}, or move the recovery point before you need it.`;
}

/** What keeps the spot from being clear. */
function lacksOf({ setting }: Replay, { slope_deg }: Spot, limit_deg: number): Lack[] {
  const ground: Lack = setting.site.hasTerrain ? "ground-slope" : "terrain";
  return [...(slope_deg <= limit_deg ? [] : [ground]), "obstacles", "zones"];
}
