import type { Basis } from "../config/declared.js";
import type { PolicyKey } from "../config/policy.js";
import type { MomentKey } from "../recovery/moments.js";
import type { Replay } from "../recovery/replay.js";
import type { Say } from "./say.js";
import type { Verdict } from "./verdict.js";

/** What could be added to a log or to homeleg.yaml to know more; the labels are in `lacks.ts`. */
export type Lack =
  | "battery"
  | "height"
  | "recovery-point"
  | "recovery-height"
  | "wind"
  | "operator"
  | "terrain"
  | "obstacles"
  | "fix"
  | "position"
  | "terrain-here"
  | "way-length"
  | "obstacle-heights"
  | "voltage"
  | "cells"
  | "link"
  | "zones"
  | "lost-link-action"
  | "heights-here"
  | "ground-slope";

/** The worst moment of a stretch, or the one a conduct rule points at, put into words and numbers. */
export interface Account {
  readonly value: number;
  readonly limit: number;
  /** Of value and limit, where it is not the rule's own. */
  readonly unit?: string;
  /** What happened, by how much. */
  readonly message: string;
  /** What to do about it next time. */
  readonly advice: string;
  /** Numbers behind it, names with their unit. */
  readonly evidence: Readonly<Record<string, number | string | null>>;
}

/** One moment as a rule sees it: the columns it needs, by name. */
export type View<K extends MomentKey> = Readonly<Record<K, number>>;

/** Limits of a rule by its own names, in the units of the policy. */
export type Limits<L extends string> = Readonly<Record<L, number>>;

/** What a rule is told besides the numbers. */
export interface Telling {
  readonly replay: Replay;
  /** Index of the moment among the flight's rows. */
  readonly k: number;
  readonly verdict: "thin" | "fail";
  readonly say: Say;
}

interface RuleHead {
  /** Names the failing state; never renamed. */
  readonly id: string;
  /** The question whose answer "no" is a finding. */
  readonly question: string;
  /** Unit of `value` and `limit` in findings. */
  readonly unit: string;
}

/** A rule that judges every moment of a flight. */
export interface MomentRule extends RuleHead {
  readonly kind: "moment";
  readonly limits: Readonly<Record<string, PolicyKey>>;
  /** Columns without which the verdict is unknown. */
  readonly needs: readonly MomentKey[];
  /** Columns that may be NaN when it is asked. */
  readonly accepts: readonly MomentKey[];
  /** Columns that it reads and those that hold the same without what was only assumed. */
  readonly withoutAssumptions: Readonly<Partial<Record<MomentKey, MomentKey>>>;
  /** False where the whole flight is unknown under this rule, or where n/a: what it says for every moment. */
  readonly always: (replay: Replay) => "unknown" | "n/a" | undefined;
  readonly judge: (view: View<MomentKey>, limits: Limits<string>, replay: Replay) => Verdict;
  /** Greater is worse, among moments of one verdict. */
  readonly badness: (view: View<MomentKey>, verdict: "thin" | "fail", limits: Limits<string>) => number;
  readonly describe: (view: View<MomentKey>, limits: Limits<string>, telling: Telling) => Account;
  /** Bases of the inputs that the verdict rests on. */
  readonly bases: (replay: Replay) => readonly Basis[];
  /** What an unknown may want, in the order of asking. */
  readonly lacks: (replay: Replay) => readonly Lack[];
}

/** What a conduct rule may ask of the rules that judge moments; it knows them by id alone. */
export interface Asked {
  /** The gravest code of any moment rule, one a row of the flight (codes of `VERDICT`). */
  readonly worst: Uint8Array;
  /** @returns what a moment rule says of every moment of a replay; undefined where it is off, crashed or not there */
  readonly codesOf: (ruleId: string, replay: Replay) => Uint8Array | undefined;
}

/** What a conduct rule says of a whole flight. */
export interface Conduct {
  readonly verdict: Verdict;
  /** Thin, and clear with what was only assumed at its favourable end. */
  readonly byAssumptionAlone?: boolean;
  /** The row of the flight it points at, and the stretch it concerns; undefined where there is no finding. */
  readonly finding?: { readonly first: number; readonly last: number; readonly at: number } & Account;
  readonly lacks?: readonly Lack[];
}

/** A rule that judges how a flight was conducted, once. */
export interface ConductRule extends RuleHead {
  readonly kind: "conduct";
  readonly limits: Readonly<Record<string, PolicyKey>>;
  readonly judge: (replay: Replay, limits: Limits<string>, say: Say, asked: Asked) => Conduct;
  readonly bases: (replay: Replay) => readonly Basis[];
}

/** Any rule of the register. */
export type Rule = MomentRule | ConductRule;

/**
 * Declares a moment rule; the type of `judge`'s first argument follows from `needs` and `accepts`.
 * NaN in a need is `unknown` before `judge` is asked.
 */
export function momentRule<N extends MomentKey, L extends string, A extends MomentKey = never>(
  rule: RuleHead & {
    readonly needs: readonly N[];
    readonly accepts?: readonly A[];
    readonly limits: Readonly<Record<L, PolicyKey>>;
    readonly withoutAssumptions?: Readonly<Partial<Record<N | A, MomentKey>>>;
    readonly always?: (replay: Replay) => "unknown" | "n/a" | undefined;
    readonly judge: (view: View<N | A>, limits: Limits<L>, replay: Replay) => Verdict;
    readonly badness: (view: View<N | A>, verdict: "thin" | "fail", limits: Limits<L>) => number;
    readonly describe: (view: View<N | A>, limits: Limits<L>, telling: Telling) => Account;
    readonly bases: (replay: Replay) => readonly Basis[];
    readonly lacks: (replay: Replay) => readonly Lack[];
  },
): MomentRule {
  return { kind: "moment", accepts: [], withoutAssumptions: {}, always: () => undefined, ...rule };
}

/** Declares a conduct rule. */
export function conductRule<L extends string>(
  rule: RuleHead & {
    readonly limits: Readonly<Record<L, PolicyKey>>;
    readonly judge: (replay: Replay, limits: Limits<L>, say: Say, asked: Asked) => Conduct;
    readonly bases: (replay: Replay) => readonly Basis[];
  },
): ConductRule {
  return { kind: "conduct", ...rule };
}

/** @returns the limits of a rule by its own names, read from the policy */
export function limitsOf(rule: Rule, policy: Readonly<Record<PolicyKey, number>>): Limits<string> {
  return Object.fromEntries(Object.entries(rule.limits).map(([name, key]) => [name, policy[key]]));
}
