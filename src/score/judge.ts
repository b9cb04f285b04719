import { MOMENT_KEYS, type MomentKey } from "../recovery/moments.js";
import type { Replay } from "../recovery/replay.js";
import { CONDUCT_RULES, MOMENT_RULES } from "../rules/index.js";
import { type Asked, type Conduct, type ConductRule, limitsOf, type MomentRule, type Rule } from "../rules/rule.js";
import { sayIn } from "../rules/say.js";
import { type Verdict, VERDICT } from "../rules/verdict.js";

/** Verdicts of one rule: one a moment for a moment rule, one for a conduct rule. */
export interface MomentVerdicts {
  readonly rule: MomentRule;
  /** Codes of `VERDICT`, one a row of the flight. */
  readonly codes: Uint8Array;
}

/** What a conduct rule said. */
export interface ConductVerdict {
  readonly rule: ConductRule;
  readonly conduct: Conduct;
}

/** Every rule's answer for a flight. */
export interface Judgement {
  readonly replay: Replay;
  readonly moments: readonly MomentVerdicts[];
  readonly conducts: readonly ConductVerdict[];
  /** Rules that threw, with what they threw: they count as unknown and the others go on. */
  readonly crashes: ReadonlyMap<string, unknown>;
}

/** Which rules judge; the register's own unless a test plants others. */
export interface RuleSet {
  readonly moment: readonly MomentRule[];
  readonly conduct: readonly ConductRule[];
}

const REGISTER: RuleSet = { moment: MOMENT_RULES, conduct: CONDUCT_RULES };
/** Asks every rule about a flight. A rule that is off, or that crashes, is unknown throughout. */
export function judgeFlight(replay: Replay, rules: RuleSet = REGISTER): Judgement {
  const crashes = new Map<string, unknown>();
  const off = replay.setting.config.declared.rulesOff;
  const say = sayIn(replay.setting.units);
  const attempt = <T>(rule: Rule, ask: () => T, otherwise: () => T): T => {
    if (off[rule.id] !== undefined) return otherwise();
    try {
      return ask();
    } catch (error) {
      crashes.set(rule.id, error);
      return otherwise();
    }
  };
  const unknownThroughout = (): Uint8Array => new Uint8Array(replay.length).fill(VERDICT.unknown);
  const moments = rules.moment.map((rule) => ({
    rule,
    codes: attempt(rule, () => judgeMoments(rule, replay), unknownThroughout),
  }));
  const asked = askedOf(replay, moments, crashes);
  return {
    replay,
    moments,
    conducts: rules.conduct.map((rule) => ({
      rule,
      conduct: attempt<Conduct>(
        rule,
        () => rule.judge(replay, limitsOf(rule, replay.setting.policy), say, asked),
        () => ({ verdict: "unknown" }),
      ),
    })),
    crashes,
  };
}

/** @returns what conduct rules may ask of the moment rules, which have judged before them */
export function askedOf(
  replay: Replay,
  moments: readonly MomentVerdicts[],
  crashes: ReadonlyMap<string, unknown> = new Map(),
): Asked {
  const worst = new Uint8Array(replay.length);
  for (const { codes } of moments) {
    for (let k = 0; k < worst.length; k += 1) worst[k] = Math.max(worst[k] ?? 0, codes[k] ?? 0);
  }
  const off = replay.setting.config.declared.rulesOff;
  return {
    worst,
    codesOf: (ruleId, other) => {
      const found = moments.find(({ rule }) => rule.id === ruleId);
      if (found === undefined || off[ruleId] !== undefined || crashes.has(ruleId)) return undefined;
      return other === replay ? found.codes : judgeMoments(found.rule, other);
    },
  };
}

/** @returns one code a moment; views are made once a flight, so that no moment allocates */
export function judgeMoments(rule: MomentRule, replay: Replay): Uint8Array {
  const codes = new Uint8Array(replay.length);
  const always = rule.always(replay);
  if (always !== undefined) return codes.fill(verdictCode(always));
  const { moments, setting } = replay;
  const limits = limitsOf(rule, setting.policy);
  const view = new MomentView((key) => moments[key]);
  const known = new MomentView((key) => moments[rule.withoutAssumptions[key] ?? key]);
  const hasAssumptions = Object.keys(rule.withoutAssumptions).length > 0;
  for (const key of rule.needs) markMissing(moments[key], codes);
  for (let k = 0; k < codes.length; k += 1) {
    if (codes[k] === VERDICT.unknown) continue;
    view.k = k;
    const verdict = rule.judge(view.shown, limits, replay);
    codes[k] = verdictCode(verdict);
    if (verdict === "thin" && hasAssumptions) {
      // Without the assumption it may also be that nobody can say.
      known.k = k;
      const otherwise = rule.judge(known.shown, limits, replay);
      if (otherwise !== "thin" && otherwise !== "fail") codes[k] = VERDICT.thinAssumed;
    }
  }
  return codes;
}

/** Comparisons, not a table: in a table each name would be looked up anew for every moment. */
function verdictCode(verdict: Verdict): number {
  if (verdict === "clear") return VERDICT.clear;
  if (verdict === "n/a") return VERDICT.notAsked;
  if (verdict === "unknown") return VERDICT.unknown;
  return verdict === "thin" ? VERDICT.thin : VERDICT.fail;
}

/** The columns of a flight's moments, as one object that shows the moment `k`. */
class MomentView {
  k = 0;
  readonly columns: readonly Float64Array[];

  constructor(columnOf: (key: MomentKey) => Float64Array) {
    this.columns = MOMENT_KEYS.map(columnOf);
  }

  /** Itself, with a getter for every column. */
  get shown(): Record<MomentKey, number> {
    return this as unknown as Record<MomentKey, number>;
  }
}

// Of one class for all rules and flights, so that they share the code that is compiled for it.
MOMENT_KEYS.forEach((key, place) => {
  Object.defineProperty(MomentView.prototype, key, {
    get(this: MomentView) {
      return this.columns[place]?.[this.k] ?? Number.NaN;
    },
  });
});

/** Makes a moment unknown that a column has no value for. */
function markMissing(column: Float64Array, codes: Uint8Array): void {
  for (let k = 0; k < codes.length; k += 1) {
    if (Number.isNaN(column[k] ?? Number.NaN)) codes[k] = VERDICT.unknown;
  }
}

/** @returns the columns a rule reads, as one object to be written over */
export function viewOf(rule: MomentRule): Record<MomentKey, number> {
  const view: Partial<Record<MomentKey, number>> = {};
  for (const key of [...rule.needs, ...rule.accepts]) view[key] = Number.NaN;
  return view as Record<MomentKey, number>;
}

/** Writes the k-th moment into a rule's view. */
export function lookAt(view: Record<MomentKey, number>, replay: Replay, k: number): void {
  for (const key of Object.keys(view) as MomentKey[]) view[key] = replay.moments[key][k] ?? Number.NaN;
}

/** @returns what a conduct rule said as a code of `VERDICT` */
export function codeOf({ verdict, byAssumptionAlone }: Conduct): number {
  return verdict === "thin" && byAssumptionAlone === true ? VERDICT.thinAssumed : verdictCode(verdict);
}
