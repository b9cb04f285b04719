import { ceilingHigh } from "./ceiling-high.js";
import { ceilingLow } from "./ceiling-low.js";
import { cellSag } from "./cell-sag.js";
import { fixWeak } from "./fix-weak.js";
import { headwindStall } from "./headwind-stall.js";
import { linkFading } from "./link-fading.js";
import { pointAdrift } from "./point-adrift.js";
import { pointLate } from "./point-late.js";
import { recordGap } from "./record-gap.js";
import { reserveFloor } from "./reserve-floor.js";
import { reserveShort } from "./reserve-short.js";
import type { ConductRule, MomentRule, Rule } from "./rule.js";
import { turnbackLate } from "./turnback-late.js";

/** Every rule, in the order of reports. A new rule is one line here. */
export const RULES: readonly Rule[] = [
  reserveShort,
  headwindStall,
  ceilingLow,
  pointAdrift,
  fixWeak,
  turnbackLate,
  reserveFloor,
  cellSag,
  pointLate,
  ceilingHigh,
  linkFading,
  recordGap,
];

/** The rules that judge moments, in the order of reports. */
export const MOMENT_RULES: readonly MomentRule[] = RULES.filter((rule) => rule.kind === "moment");

/** The rules that judge a flight once. */
export const CONDUCT_RULES: readonly ConductRule[] = RULES.filter((rule) => rule.kind === "conduct");
