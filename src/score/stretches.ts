import { VERDICT } from "../rules/verdict.js";

/** Equal verdicts nearer than this are one stretch. */
export const MERGE_WITHIN_S = 3;

/** Consecutive moments with the same verdict under one rule; indices are among the flight's rows. */
export interface Stretch {
  readonly code: number;
  readonly first: number;
  readonly last: number;
  /** Sum of the weights of its moments; what lies between merged parts is not counted. */
  readonly duration_s: number;
  /** The moments that belong to it, as runs [from, to]. */
  readonly runs: readonly (readonly [number, number])[];
}

/** @returns the thin and fail stretches in order of their start, the graver first at a tie */
export function stretchesOf(codes: Uint8Array, at_s: Float64Array, weight_s: Float64Array): Stretch[] {
  const all = [VERDICT.fail, VERDICT.thin, VERDICT.thinAssumed].flatMap((code) => ofCode(code, codes, at_s, weight_s));
  return all.sort((a, b) => a.first - b.first || b.code - a.code);
}

function ofCode(code: number, codes: Uint8Array, at_s: Float64Array, weight_s: Float64Array): Stretch[] {
  const stretches: { code: number; first: number; last: number; duration_s: number; runs: [number, number][] }[] = [];
  for (let k = codes.indexOf(code); k >= 0;) {
    let last = k;
    let duration_s = weight_s[k] ?? 0;
    while (codes[last + 1] === code) {
      last += 1;
      duration_s += weight_s[last] ?? 0;
    }
    const before = stretches[stretches.length - 1];
    if (before !== undefined && (at_s[k] ?? 0) - (at_s[before.last] ?? 0) < MERGE_WITHIN_S) {
      before.last = last;
      before.duration_s += duration_s;
      before.runs.push([k, last]);
    } else {
      stretches.push({ code, first: k, last, duration_s, runs: [[k, last]] });
    }
    k = codes.indexOf(code, last + 1);
  }
  return stretches;
}
