import {
  type Conduct,
  type ConductRule,
  conductRule,
  type Lack,
  type MomentRule,
  momentRule,
} from "../../src/rules/rule.js";
import type { Verdict } from "../../src/rules/verdict.js";

/**
 * @param verdict by the second, which in `shortReplay` is the row; `thin?` is thin by an assumption alone
 * @returns a moment rule that says so, for replays under `ALL_KNOWN`
 */
export const said = (
  id: string,
  verdict: (at_s: number) => Verdict | "thin?",
  lacks: readonly Lack[] = [],
): MomentRule =>
  momentRule({
    id,
    question: "Is it enough?",
    unit: "m",
    needs: ["at_s", "height_m"],
    limits: {},
    withoutAssumptions: { height_m: "battery_pct" },
    // 80 stands where the height would without what was assumed.
    judge: ({ at_s, height_m }) => {
      const code = verdict(at_s);
      return code !== "thin?" ? code : height_m === 80 ? "clear" : "thin";
    },
    badness: () => 0,
    describe: () => ({ value: 1, limit: 2, message: "Low.", advice: "Climb.", evidence: {} }),
    bases: () => ["measured"],
    lacks: () => lacks,
  });

/** @returns a conduct rule that says so */
export const judged = (id: string, conduct: Conduct): ConductRule =>
  conductRule({ id, question: "Was it?", unit: "s", limits: {}, judge: () => conduct, bases: () => [] });

/** Of a conduct rule's finding, all that it tells. */
export const found = {
  first: 3,
  last: 6,
  at: 4,
  value: 1,
  limit: 2,
  message: "Late.",
  advice: "Turn.",
  evidence: {},
} as const;

/** A conduct that fails. */
export const failed: Conduct = { verdict: "fail", finding: found };
