import { climbAt } from "../recovery/zones.js";
import { momentRule } from "./rule.js";
import { concerns } from "./shared.js";

/**
 * What is over the aircraft on its climb to the recovery height: branches, a bridge, a roof.
 *
 * A start at the recovery height or over it does not climb, and the question does not arise. Where a lost link would hold
 * or land, only a low battery or the pilot's command would climb: then even the column itself is but thin. An aircraft
 * that the log puts inside a solid was not there: map or position is off, and nothing more can be told.
 */
export const overheadCover = momentRule({
  id: "overhead-cover",
  question: "Could a recovery have climbed from here without meeting what is overhead?",
  unit: "m",
  needs: ["climb_m"],
  accepts: [
    "coverUp_m",
    "coverUpKnown_m",
    "coverUpNear_m",
    "coverUpNearKnown_m",
    "coverInside",
    "coverInsideKnown",
    "coverWhole",
    "height_m",
  ],
  withoutAssumptions: {
    coverUp_m: "coverUpKnown_m",
    coverUpNear_m: "coverUpNearKnown_m",
    coverInside: "coverInsideKnown",
  },
  limits: { corridor_m: "corridor" },
  always: ({ inputs, setting }) => {
    const isAsked = setting.site.hasZones || setting.site.hasObstacles;
    return isAsked && inputs.recoveryHeight.basis !== "assumed" ? undefined : "unknown";
  },
  judge(view, _, { inputs }) {
    if (view.climb_m <= 0) return "n/a";
    if (Number.isNaN(view.coverUp_m)) return "unknown";
    const action = inputs.lostLinkAction?.value;
    const climbs = action === undefined || action === "return";
    if (climbs && view.coverUpKnown_m < Number.POSITIVE_INFINITY) return "fail";
    // The disc holds the column, so nothing over the aircraft is farther than what is near.
    if (view.coverUpNear_m < Number.POSITIVE_INFINITY || view.coverInside === 1) return "thin";
    return view.coverWhole === 1 ? "clear" : "unknown";
  },
  badness: (view, verdict) =>
    -(verdict === "fail" ? view.coverUpKnown_m : Math.min(view.coverUp_m, view.coverUpNear_m)),
  describe(view, { corridor_m }, { replay, k, verdict, say }) {
    const { over, near, inside } = climbAt(replay, k);
    const isOver = view.coverUp_m < Number.POSITIVE_INFINITY;
    const isInside = !isOver && view.coverInside === 1;
    const value = isOver ? view.coverUp_m : isInside ? 0 : view.coverUpNear_m;
    const thing = (isOver ? over : isInside ? inside : near) ?? "an obstacle";
    const [up, climb] = say.beside("length", value, view.climb_m);
    const from = `${say.length(view.height_m)} up`;
    const begins = value > 0 ? `begins ${up} above,` : "stands";
    const message = isOver
      ? `${from}: ${thing} begins ${up} above, and a recovery would climb ${climb} into it.`
      : isInside
        ? `${from}: the log puts the aircraft inside ${thing}, so the map, its height or the position is off; what is overhead cannot be told.`
        : `${from}: ${thing} ${begins} within ${say.length(corridor_m)} of a climb of ${climb}.`;
    return {
      value,
      limit: view.climb_m,
      message: message + concerns(replay),
      advice: adviceFor(isInside, thing, verdict, replay.inputs.lostLinkAction?.value === "hold"),
      evidence: {
        climb_m: view.climb_m,
        up_to_it_m: finite(view.coverUp_m),
        up_to_it_in_corridor_m: finite(view.coverUpNear_m),
        over: thing,
        lost_link_action: replay.inputs.lostLinkAction?.value ?? null,
      },
    };
  },
  bases: ({ inputs }) => [inputs.recoveryHeight.basis, inputs.point.basis, inputs.heights.basis, "declared"],
  lacks: ({ inputs, setting }) => [
    ...(inputs.recoveryHeight.basis === "assumed" ? (["recovery-height"] as const) : []),
    ...(setting.site.hasZones || setting.site.hasObstacles ? [] : (["zones"] as const)),
    "heights-here",
    "recovery-point",
    "height",
  ],
});

function adviceFor(isInside: boolean, thing: string, verdict: "thin" | "fail", isHold: boolean): string {
  if (isInside) return `Look where ${thing} really is and how high, and put the map right.`;
  if (verdict === "thin" && !isHold) return `Keep farther from ${thing} while you are lower than it.`;
  const first = isHold ? "With hold set, w" : "Set the lost-link action to hold for work under cover. W";
  return `${first}atch the battery: its own recovery climbs all the same. Land as soon as the work is done.`;
}

function finite(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}
