import { ceilingHigh } from "./ceiling-high.js";
import { actionUnsuited } from "./action-unsuited.js";
import { ceilingLow } from "./ceiling-low.js";
import { cellSag } from "./cell-sag.js";
import { fixWeak } from "./fix-weak.js";
import { headwindStall } from "./headwind-stall.js";
import { linkFading } from "./link-fading.js";
import { keepoutCrossed } from "./keepout-crossed.js";
import { overheadCover } from "./overhead-cover.js";
import { pointAdrift } from "./point-adrift.js";
import { pointLate } from "./point-late.js";
import { pointUnsafe } from "./point-unsafe.js";
import { recordGap } from "./record-gap.js";
import { recoveryFlown } from "./recovery-flown.js";
import { reserveFloor } from "./reserve-floor.js";
import { reserveShort } from "./reserve-short.js";
import type { ConductRule, MomentRule, Rule } from "./rule.js";
import { turnbackLate } from "./turnback-late.js";

/** Every rule, in the order of reports. A new rule is one line here. */
export const RULES: readonly Rule[] = [
  reserveShort,
  headwindStall,
  ceilingLow,
  overheadCover,
  keepoutCrossed,
  actionUnsuited,
  pointAdrift,
  fixWeak,
  turnbackLate,
  reserveFloor,
  cellSag,
  pointLate,
  ceilingHigh,
  linkFading,
  pointUnsafe,
  recoveryFlown,
  recordGap,
];

/** The rules that judge moments, in the order of reports. */
export const MOMENT_RULES: readonly MomentRule[] = RULES.filter((rule) => rule.kind === "moment");

/** The rules that judge a flight once. */
export const CONDUCT_RULES: readonly ConductRule[] = RULES.filter((rule) => rule.kind === "conduct");
