/** Exit codes, fixed. Where several apply, 2 wins, then 3, then 1. */
export const EXIT = { passed: 0, gate: 1, usage: 2, unreadable: 3 } as const;
