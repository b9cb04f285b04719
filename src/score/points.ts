import { isAssessed, VERDICT } from "../rules/verdict.js";

/** What a moment is worth by its worst verdict. */
const WORTH = { [VERDICT.clear]: 1, [VERDICT.thinAssumed]: 0.75, [VERDICT.thin]: 0.5, [VERDICT.fail]: 0 };
/** The most a flight with a failing stretch can have. */
const CAP = 59;
/** Rules that bill one cause: of these only the dearest takes points in a flight. */
const ONE_CAUSE = ["reserve-short", "turnback-late", "reserve-floor"] as const;

/** What the score is made from; plain data, so that properties of the score need no flight. */
export interface Bill {
  /** Time each moment stands for, s. */
  readonly weight_s: ArrayLike<number>;
  readonly moments: readonly { readonly id: string; readonly codes: ArrayLike<number> }[];
  readonly conducts: readonly { readonly id: string; readonly code: number }[];
  /** A fail stretch long enough to be a finding, or a conduct fail that caps. */
  readonly isCapped: boolean;
  readonly points: { readonly thin: number; readonly fail: number };
}

/** A score with its sum: `100 − score` is the sum of `lost`. */
export interface Score {
  readonly score: number;
  readonly sharePart: number;
  readonly conductPart: number;
  /** By rule id, and `cap` and `rounding`; entries of nothing are left out. */
  readonly lost: ReadonlyMap<string, number>;
}

/**
 * The score of a flight: share of the time × worth of its moments, less points for conduct, capped, rounded down.
 *
 * One cause, one bill: the score is the lowest that any single one of `ONE_CAUSE` would give, the others being free. So
 * the dearest is billed, and no worse verdict can ever raise a score.
 * @returns undefined where no moment was judged by any rule
 */
export function scoreOf(bill: Bill): Score | undefined {
  const judged = judgedOf(bill);
  if (judged.time_s === 0) return undefined;
  const options = ONE_CAUSE.map((billed) => scoreBilling(bill, judged, billed));
  return options.reduce((lowest, option) => (rawOf(option) < rawOf(lowest) ? option : lowest));
}

/** What all bills of a flight share. */
interface Judged {
  /** Time that any rule has judged, s. */
  readonly time_s: number;
  /** The moments that any rule found worse than clear. */
  readonly worse: readonly number[];
}

function judgedOf({ weight_s, moments }: Bill): Judged {
  const worst = new Uint8Array(weight_s.length);
  for (const { codes } of moments) {
    for (let k = 0; k < worst.length; k += 1) worst[k] = Math.max(worst[k] ?? 0, codes[k] ?? 0);
  }
  let time_s = 0;
  const worse: number[] = [];
  for (let k = 0; k < worst.length; k += 1) {
    const code = worst[k] ?? 0;
    if (isAssessed(code)) time_s += weight_s[k] ?? 0;
    if (code > VERDICT.clear) worse.push(k);
  }
  return { time_s, worse };
}

function rawOf({ sharePart, conductPart }: Score): number {
  return sharePart - conductPart;
}

function scoreBilling(bill: Bill, judged: Judged, billed: (typeof ONE_CAUSE)[number]): Score {
  const isFree = (id: string): boolean => id !== billed && ONE_CAUSE.some((other) => other === id);
  const share = shareOf(bill, judged, isFree);
  const lost = new Map(share.lost);
  const charged = bill.conducts
    .filter(({ id }) => !isFree(id))
    .map(({ id, code }) => ({ id, points: pointsOf(code, bill) }));
  const wanted = charged.reduce((sum, { points }) => sum + points, 0);
  const scale = wanted > share.part ? share.part / wanted : 1;
  for (const { id, points } of charged) {
    if (points * scale > 0) lost.set(id, (lost.get(id) ?? 0) + points * scale);
  }
  const conductPart = wanted * scale;
  const raw = Math.max(0, share.part - conductPart);
  const capped = bill.isCapped ? Math.min(raw, CAP) : raw;
  // Sums of shares can end a hair under a whole number that they are.
  const score = Math.floor(capped + 1e-9);
  if (raw > capped) lost.set("cap", raw - capped);
  if (capped - score > 1e-9) lost.set("rounding", capped - score);
  return { score, sharePart: share.part, conductPart, lost };
}

function pointsOf(code: number, { points }: Bill): number {
  if (code >= VERDICT.fail) return points.fail;
  if (code >= VERDICT.thin) return points.thin;
  // As for a moment: what is thin by an assumption alone costs half.
  return code >= VERDICT.thinAssumed ? points.thin / 2 : 0;
}

/** 100 × mean worth over the moments with a judged rule; a moment's loss is shared by the rules of its worst verdict. */
function shareOf(
  { weight_s, moments }: Bill,
  { time_s, worse }: Judged,
  isFree: (id: string) => boolean,
): { part: number; lost: Map<string, number> } {
  const losses = moments.map(() => 0);
  const free = moments.map(({ id }) => isFree(id));
  for (const k of worse) {
    let worst: number = VERDICT.clear;
    let sharers = 0;
    for (let r = 0; r < moments.length; r += 1) {
      const code = moments[r]?.codes[k] ?? 0;
      if (free[r] === true || code < worst) continue;
      sharers = code > worst ? 1 : sharers + 1;
      worst = code;
    }
    if (worst === VERDICT.clear) continue;
    const loss = ((weight_s[k] ?? 0) * (1 - (WORTH[worst as keyof typeof WORTH] ?? 1))) / sharers;
    for (let r = 0; r < moments.length; r += 1) {
      if (free[r] !== true && moments[r]?.codes[k] === worst) losses[r] = (losses[r] ?? 0) + loss;
    }
  }
  const lost = new Map<string, number>();
  let total = 0;
  moments.forEach(({ id }, r) => {
    const points = (100 * (losses[r] ?? 0)) / time_s;
    total += points;
    if (points > 0) lost.set(id, points);
  });
  return { part: Math.max(0, 100 - total), lost };
}
