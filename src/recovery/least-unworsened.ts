import { heightFrom_m, noNeed, writeNeededHeight } from "./needed-height.js";
import type { Replay } from "./replay.js";

/**
 * The least recovery height, by the spot it counts from, at which no way home of this flight as flown gets worse: one
 * that is clear stays clear, and one that is not loses no height.
 * @param isClear whether the k-th way home is clear now; undefined where that is not known
 * @returns undefined where some way home at the recovery height is not known
 */
export function leastUnworsened(replay: Replay, isClear: (k: number) => boolean | undefined): number | undefined {
  const { moments, inputs } = replay;
  const need = noNeed();
  let least_m = replay.setting.policy.clearance;
  for (let k = 0; k < replay.length; k += 1) {
    if (moments.atHand[k] === 1) continue;
    const set_m = inputs.recoveryHeights_m?.[k] ?? inputs.recoveryHeight.value;
    const start_m = (moments.height_m[k] ?? Number.NaN) + inputs.heights.takeoffGround_m - heightFrom_m(replay, k);
    // From there it flies home level whatever is set.
    if (start_m >= set_m) continue;
    const clear = isClear(k);
    if (clear === undefined) return undefined;
    writeNeededHeight(replay, k, need);
    if (!clear) least_m = Math.max(least_m, set_m);
    else if (need.height_m > start_m) least_m = Math.max(least_m, Math.min(set_m, need.height_m));
  }
  return least_m;
}
