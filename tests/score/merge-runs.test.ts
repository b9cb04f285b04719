import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { DEFAULT_GATE, summarize } from "../../src/score/gate.js";
import { mergeRuns } from "../../src/score/merge-runs.js";
import type { LogResult, RunResult, RunShard } from "../../src/score/result.js";
import { UserError } from "../../src/user-error.js";

const GATE: RunShard["gate"] = { verdict: "fail", min_score: null, min_coverage: null };
const log = (path: string): LogResult => ({
  path,
  sha256: "0".repeat(64),
  bytes: 1,
  parser: "csv",
  rows: 1,
  rows_rejected: 0,
  channels: {},
  problems: [],
  declared_not_used: [],
  flights: [],
});
const whole = (logs: readonly LogResult[], config: RunResult["config"] = []): RunResult => ({
  format: "homeleg-result",
  format_version: 1,
  tool_version: "1.2.3",
  config,
  logs,
  summary: summarize(logs, DEFAULT_GATE),
});
const part = (index: number, count: number, total: number, positions: readonly number[]): RunResult => ({
  ...whole(positions.map((position) => log(`log-${position}`))),
  shard: { index, count, logs: total, positions, left_out: [], config_positions: [], gate: GATE },
});
const named = (runs: readonly RunResult[]) => runs.map((run, i) => ({ run, file: `${i + 1}.json` }));
const codeOf = (runs: readonly RunResult[]): string => {
  try {
    mergeRuns(named(runs));
  } catch (error) {
    if (error instanceof UserError) return error.code;
    throw error;
  }
  return "merged";
};

describe("mergeRuns", () => {
  it("puts the logs of parts in the order they were found, however they were split and given", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 5 }).chain((count) =>
          fc.record({
            count: fc.constant(count),
            owners: fc.array(fc.integer({ min: 0, max: count - 1 }), { maxLength: 20 }),
            order: fc.shuffledSubarray([...Array(count).keys()], { minLength: count }),
          }),
        ),
        ({ count, owners, order }) => {
          const parts = order.map((index) =>
            part(
              index + 1,
              count,
              owners.length,
              owners.flatMap((owner, position) => (owner === index ? [position] : [])),
            ),
          );
          const { run } = mergeRuns(named(parts));
          expect(run).toEqual(whole(owners.map((_owner, position) => log(`log-${position}`))));
          expect("shard" in run).toBe(false);
        },
      ),
    );
  });

  it("lists settings files as the whole run would: by the log that first used them", () => {
    const file = (path: string) => ({ path, sha256: "a".repeat(64) });
    const first = part(1, 2, 4, [1, 2]);
    const second = part(2, 2, 4, [0, 3]);
    const { run } = mergeRuns(
      named([
        { ...first, config: [file("b"), file("a")], shard: { ...first.shard!, config_positions: [1, 2] } },
        {
          ...second,
          config: [file("c"), file("a"), file("d")],
          shard: { ...second.shard!, config_positions: [0, 3, 3] },
        },
      ]),
    );
    expect(run.config.map(({ path }) => path)).toEqual(["c", "b", "a", "d"]);
  });

  it("counts what was left out as there, and names it for the pages", () => {
    const one = part(1, 1, 3, [0, 2]);
    const left = { ...one, shard: { ...one.shard!, left_out: [{ position: 1, path: "track.gpx" }] } };
    const { run, paths } = mergeRuns(named([left]));
    expect(run.logs.map(({ path }) => path)).toEqual(["log-0", "log-2"]);
    expect(paths).toEqual(["log-0", "track.gpx", "log-2"]);
  });

  it("takes the gate of the parts, unless another one is asked for", () => {
    const one = part(1, 1, 1, [0]);
    const strict = {
      ...one,
      shard: { ...one.shard!, gate: { verdict: "thin", min_score: 80, min_coverage: 0.5 } as const },
    };
    expect(mergeRuns(named([strict])).gate).toEqual({ gate: "thin", minScore: 80, minCoverage: 0.5 });
    expect(mergeRuns(named([strict]), DEFAULT_GATE).gate).toEqual(DEFAULT_GATE);
  });

  it("joins whole runs one after the other, and refuses a log that is in two of them", () => {
    const { run } = mergeRuns(named([whole([log("a"), log("b")]), whole([log("c")])]));
    expect(run).toEqual(whole([log("a"), log("b"), log("c")]));
    expect(codeOf([whole([log("a")]), whole([log("a")])])).toBe("merge-twice");
  });

  it.each([
    ["no result", [], "merge-nothing"],
    ["a missing part", [part(1, 2, 2, [0, 1])], "merge-missing"],
    ["a part given twice", [part(1, 2, 2, [0]), part(1, 2, 2, [0]), part(2, 2, 2, [1])], "merge-twice"],
    ["a log in no part", [part(1, 2, 3, [0]), part(2, 2, 3, [1])], "merge-missing"],
    ["parts of another number", [part(1, 2, 2, [0]), part(2, 3, 2, [1])], "merge-foreign"],
    ["parts over other logs", [part(1, 2, 2, [0]), part(2, 2, 3, [1])], "merge-foreign"],
    ["a part and a whole run", [part(1, 1, 1, [0]), whole([log("a")])], "merge-mixed"],
    ["other versions", [whole([]), { ...whole([]), tool_version: "2.0.0" }], "merge-versions"],
  ] as const)("refuses %s", (_what, runs, code) => {
    expect(codeOf([...runs])).toBe(code);
  });

  it("refuses parts that must meet something else, and one that was interrupted", () => {
    const one = part(1, 2, 2, [0]);
    const two = part(2, 2, 2, [1]);
    expect(codeOf([one, two])).toBe("merged");
    expect(codeOf([one, { ...two, shard: { ...two.shard!, gate: { ...GATE, min_score: 1 } } }])).toBe("merge-foreign");
    const summary = summarize(two.logs, DEFAULT_GATE, { interruptedAfter: "1 of 1" });
    expect(codeOf([one, { ...two, summary }])).toBe("merge-missing");
  });
});
