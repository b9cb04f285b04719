import type { Basis } from "../config/declared.js";
import type { Replay } from "../recovery/replay.js";

/**
 * @returns bases of what a need of energy rests on. Assumed inputs are left out, all but the rates: a verdict that is not
 *   by an assumption alone holds with them at their favourable ends, so they did not decide it.
 */
export function energyBases({ inputs }: Replay): Basis[] {
  const { speeds } = inputs;
  const others = [
    speeds.recovery.basis,
    speeds.climb.basis,
    speeds.descent.basis,
    speeds.landing.basis,
    inputs.recoveryHeight.basis,
    inputs.wind.basis,
  ].filter((basis) => basis !== "assumed");
  return [inputs.battery.basis, inputs.drain.basis, inputs.point.basis, ...others];
}

/** @returns which triggers a finding concerns, where a lost link would not start a recovery; else nothing */
export function concerns({ inputs }: Replay): string {
  const action = inputs.lostLinkAction?.value;
  if (action === undefined || action === "return") return "";
  return ` (Low battery or the pilot's command: a lost link would ${action}.)`;
}
