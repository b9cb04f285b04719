import { VERDICT } from "../rules/verdict.js";
import type { DrawnVerdict } from "./picture.js";

/** @returns how a code of `VERDICT` is drawn */
export function drawnVerdict(code: number): DrawnVerdict {
  if (code >= VERDICT.fail) return "fail";
  if (code === VERDICT.thin) return "thin";
  if (code === VERDICT.thinAssumed) return "thin?";
  if (code === VERDICT.clear) return "clear";
  return code === VERDICT.unknown ? "unknown" : "n/a";
}
