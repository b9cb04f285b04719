import { FIX } from "../track/channels.js";
import { type Limits, momentRule, type View } from "./rule.js";

type FixView = View<"satellites" | "hdop" | "fixType" | "jump_ms">;
type FixLimits = Limits<"satellites" | "hdop" | "least" | "jump_ms">;

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
  limits: { satellites: "fix.satellites", hdop: "fix.hdop", least: "fix.least_satellites", jump_ms: "fix.jump" },
  judge(view, limits) {
    if (view.fixType < FIX.twoD || view.satellites < limits.least || view.jump_ms > limits.jump_ms) return "fail";
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
function badnessOf(view: FixView, verdict: "thin" | "fail", limits: FixLimits): number {
  if (verdict === "fail") {
    if (view.jump_ms > limits.jump_ms) return 1e6 + view.jump_ms;
    return view.fixType < FIX.twoD ? 1e5 : 1e4 - view.satellites;
  }
  if (view.fixType < FIX.threeD) return 1e5;
  // Both as a share of their limits, so that neither hides the other.
  return Math.max(limits.satellites / view.satellites || 0, view.hdop / limits.hdop || 0);
}

function known(value: number): number | null {
  return Number.isNaN(value) ? null : value;
}

/** The weakness that decided, the gravest first. */
function nameWeakness(
  view: FixView,
  limits: FixLimits,
  verdict: "thin" | "fail",
  speed: (value_ms: number) => string,
): { value: number; limit: number; message: string; unit?: string } {
  if (verdict === "fail") {
    if (view.jump_ms > limits.jump_ms) {
      const message = `The position jumped as if at ${speed(view.jump_ms)}: the fix could not be trusted.`;
      return { value: view.jump_ms, limit: limits.jump_ms, message, unit: "m/s" };
    }
    if (view.fixType < FIX.twoD)
      return { value: view.fixType, limit: FIX.threeD, message: "There was no position fix." };
    const message = `${view.satellites} satellites: too few to trust a position (limit ${limits.least}).`;
    return { value: view.satellites, limit: limits.least, message };
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
