import {
  heightFrom_m,
  keepsClearance,
  type NeededHeight,
  noNeed,
  writeNeededHeight,
} from "../recovery/needed-height.js";
import { noGround } from "../recovery/over-ground.js";
import type { HeightAdvice } from "./advice.js";
import { placeOf, type WayHome } from "./ways-home.js";

const FOOT_M = 0.3048;
/** Heights nearer than this to each other are one to rounding; the audit's own arithmetic then decides. */
const ROUNDING_M = 1e-6;

/** What was found on all ways home. */
interface Found {
  readonly need: NeededHeight;
  readonly way: WayHome | undefined;
  /** Ways home that dictate it, within rounding. */
  readonly deciding: readonly WayHome[];
  readonly asked: number;
  readonly unseen: number;
  readonly firstUnseen: WayHome | undefined;
}

/**
 * The least recovery height from which every way home, whatever height the next flight has there, keeps the clearance in
 * the whole corridor, rounded up; and whether it stays within the legal height over the ground all the way.
 * @param ways a function, since they are gone through twice
 */
export function adviseHeight(ways: () => Iterable<WayHome>, was_m: number | null): HeightAdvice | undefined {
  const found = findNeed(ways());
  if (found.way === undefined) return undefined;
  const { replay } = found.way;
  const { policy, site } = replay.setting;
  const set_m = roundUp(found);
  const overGround = overGroundAt(ways(), set_m);
  const isLegal = overGround === null || overGround.is_legal;
  const knowsObstacles = replay.isCeilingWhole;
  const isKnown = found.unseen === 0 && knowsObstacles && overGround !== null;
  const { over, latitude_deg, longitude_deg } = found.need;
  return {
    status: isLegal ? (isKnown ? "safe" : "partly") : "none",
    set_m,
    least_m: found.need.height_m,
    counts_from: replay.inputs.recoveryHeightAbove.value,
    clearance_m: policy.clearance,
    dictated_by: {
      over: over < 0 ? "the ground" : (site.obstacleNames[over] ?? "an obstacle"),
      at: { latitude_deg, longitude_deg },
      from: placeOf(found.way),
    },
    over_ground: overGround,
    was_m,
    asked: found.asked,
    unseen: found.unseen,
    unseen_from: found.firstUnseen === undefined ? null : placeOf(found.firstUnseen),
    knows_obstacles: knowsObstacles,
  };
}

function findNeed(ways: Iterable<WayHome>): Found {
  const one = noNeed();
  let need: NeededHeight = { ...noNeed(), height_m: Number.NEGATIVE_INFINITY };
  let way: WayHome | undefined;
  let firstUnseen: WayHome | undefined;
  let deciding: WayHome[] = [];
  let asked = 0;
  let unseen = 0;
  for (const next of ways) {
    asked += 1;
    writeNeededHeight(next.replay, next.k, one, next.from);
    if (!(one.seen_share === 1)) {
      unseen += 1;
      firstUnseen ??= next;
    }
    if (one.height_m > need.height_m + ROUNDING_M) deciding = [];
    if (one.height_m >= need.height_m - ROUNDING_M) deciding.push(next);
    if (!(one.height_m > need.height_m)) continue;
    need = { ...one };
    way = next;
  }
  return { need, way, deciding, asked, unseen, firstUnseen };
}

/** The next whole metre or foot at which the audit itself, to its last digit, finds the clearance kept. */
function roundUp({ need, deciding, way }: Found): number {
  const step_m = way?.replay.setting.units === "imperial" ? FOOT_M : 1;
  const steps = Math.ceil((need.height_m - ROUNDING_M) / step_m);
  const isKept = deciding.every(({ replay, k, from }) => keepsClearance(replay, k, steps * step_m, from));
  return (isKept ? steps : steps + 1) * step_m;
}

function overGroundAt(ways: Iterable<WayHome>, set_m: number): HeightAdvice["over_ground"] {
  const ground = noGround();
  let worst: HeightAdvice["over_ground"] = null;
  for (const way of ways) {
    const { replay, k, from } = way;
    const at = (column: Float64Array): number => column[k] ?? Number.NaN;
    const { moments, inputs, setting } = replay;
    const to = { latitude_deg: at(inputs.point.latitude_deg), longitude_deg: at(inputs.point.longitude_deg) };
    const own = { latitude_deg: at(moments.latitude_deg), longitude_deg: at(moments.longitude_deg) };
    setting.site.lowestGround({ from: { ...(from ?? own) }, to }, ground);
    const most_m = set_m + heightFrom_m(replay, k) - ground.ground_m;
    if (!Number.isFinite(most_m) || most_m <= (worst?.most_m ?? Number.NEGATIVE_INFINITY)) continue;
    const legal_m = setting.policy.legal_height;
    worst = {
      most_m,
      legal_m,
      is_legal: most_m <= legal_m + ROUNDING_M,
      at: { latitude_deg: ground.latitude_deg, longitude_deg: ground.longitude_deg },
      from: placeOf(way),
    };
  }
  return worst;
}
