import type { Basis } from "../config/declared.js";
import type { Replay } from "../recovery/replay.js";

/** @returns bases of what a need of energy rests on; an assumed wind is left out, being told apart by its own bound */
export function energyBases({ inputs }: Replay): Basis[] {
  const bases: Basis[] = [inputs.drain.basis, inputs.speeds.recovery.basis, inputs.point.basis];
  if (inputs.wind.basis !== "assumed") bases.push(inputs.wind.basis);
  return bases;
}

/** @returns which triggers a finding concerns, where a lost link would not start a recovery; else nothing */
export function concerns({ inputs }: Replay): string {
  const action = inputs.lostLinkAction?.value;
  if (action === undefined || action === "return") return "";
  return ` (Low battery or the pilot's command: a lost link would ${action}.)`;
}
