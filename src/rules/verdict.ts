/** What a rule says of a moment or of a flight. */
export type Verdict = "clear" | "thin" | "fail" | "unknown" | "n/a";

/** Verdicts of moments as numbers, the worse the greater; `thinAssumed` is thin by an assumption alone. */
export const VERDICT = { notAsked: 0, unknown: 1, clear: 2, thinAssumed: 3, thin: 4, fail: 5 } as const;

/** @returns the verdict that a number stands for */
export function verdictOf(code: number): Verdict {
  if (code >= VERDICT.fail) return "fail";
  if (code >= VERDICT.thinAssumed) return "thin";
  if (code === VERDICT.clear) return "clear";
  return code === VERDICT.unknown ? "unknown" : "n/a";
}

/** @returns true where the question arose and had an answer */
export function isAssessed(code: number): boolean {
  return code >= VERDICT.clear;
}
