import { FIX } from "../track/channels.js";
import { JUMP_MS } from "../track/clean-positions.js";
import { momentRule } from "./rule.js";

/** Fewer satellites than this give no position in three dimensions. */
const NO_POSITION_BELOW = 4;
/** Only to compare the two with each other; what judges are the limits of the policy. */
const FEW_SATELLITES = 8;
const HIGH_HDOP = 4;

/**
 * Quality of the position fix, by the worst of what the log says of it: a recovery flies by it alone.
 *
 * A channel that the flight has but this moment lacks keeps it from being clear, never from failing.
 */
export const fixWeak = momentRule({
  id: "fix-weak",
  question: "Was the position fix good enough for a recovery to fly by?",
  unit: "1",
  needs: ["fixMissing", "jump_ms"],
  accepts: ["satellites", "hdop", "fixType"],
  limits: { satellites: "fix.satellites", hdop: "fix.hdop" },
  judge(view, limits) {
    if (view.fixType < FIX.twoD || view.satellites < NO_POSITION_BELOW || view.jump_ms > JUMP_MS) return "fail";
    if (view.fixMissing > 0) return "unknown";
    if (view.fixType < FIX.threeD || view.satellites < limits.satellites || view.hdop > limits.hdop) return "thin";
    return "clear";
  },
  badness: badnessOf,
  describe(view, limits, { verdict, say }) {
    const named = nameWeakness(view, limits, verdict, say.speed);
    return {
      ...named,
      advice:
        verdict === "fail"
          ? "Land by hand when the fix goes: without it a recovery has nowhere to fly to. Look for masking or interference here."
          : `Wait for ${limits.satellites} satellites and an HDOP of ${limits.hdop} or less before going far, and keep clear of what masks the sky.`,
      evidence: {
        satellites: known(view.satellites),
        hdop: known(view.hdop),
        fix_type: known(view.fixType),
        jump_ms: view.jump_ms,
      },
    };
  },
  bases: () => ["measured"],
  lacks: () => ["fix", "position"],
});

/** How bad the weakness is that decides, in the order in which it is named; then by how far it is past its limit. */
function badnessOf(
  view: { satellites: number; hdop: number; fixType: number; jump_ms: number },
  verdict: "thin" | "fail",
): number {
  if (verdict === "fail") {
    if (view.jump_ms > JUMP_MS) return 1e6 + view.jump_ms;
    return view.fixType < FIX.twoD ? 1e5 : 1e4 - view.satellites;
  }
  if (view.fixType < FIX.threeD) return 1e5;
  // Both as a share of their usual limits, so that neither hides the other.
  return Math.max(FEW_SATELLITES / view.satellites || 0, view.hdop / HIGH_HDOP || 0);
}

function known(value: number): number | null {
  return Number.isNaN(value) ? null : value;
}

/** The weakness that decided, the gravest first. */
function nameWeakness(
  view: { satellites: number; hdop: number; fixType: number; jump_ms: number },
  limits: { satellites: number; hdop: number },
  verdict: "thin" | "fail",
  speed: (value_ms: number) => string,
): { value: number; limit: number; message: string; unit?: string } {
  if (verdict === "fail") {
    if (view.jump_ms > JUMP_MS) {
      const message = `The position jumped as if at ${speed(view.jump_ms)}: the fix could not be trusted.`;
      return { value: view.jump_ms, limit: JUMP_MS, message, unit: "m/s" };
    }
    if (view.fixType < FIX.twoD)
      return { value: view.fixType, limit: FIX.threeD, message: "There was no position fix." };
    const message = `${view.satellites} satellites: too few for a position in three dimensions (${NO_POSITION_BELOW}).`;
    return { value: view.satellites, limit: NO_POSITION_BELOW, message };
  }
  if (view.fixType < FIX.threeD) {
    return { value: view.fixType, limit: FIX.threeD, message: "The fix was two-dimensional only." };
  }
  const isHdopWorse = view.hdop / limits.hdop > limits.satellites / view.satellites;
  if (view.satellites < limits.satellites && !isHdopWorse) {
    const message = `${view.satellites} satellites (limit ${limits.satellites}).`;
    return { value: view.satellites, limit: limits.satellites, message };
  }
  return { value: view.hdop, limit: limits.hdop, message: `HDOP ${view.hdop} (limit ${limits.hdop}).` };
}
