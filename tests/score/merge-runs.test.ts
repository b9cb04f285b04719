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
const refusalOf = (runs: readonly RunResult[]): UserError | undefined => {
  try {
    mergeRuns(named(runs));
  } catch (error) {
    if (error instanceof UserError) return error;
    throw error;
  }
  return undefined;
};
const codeOf = (runs: readonly RunResult[]): string => refusalOf(runs)?.code ?? "merged";

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

  it("takes a log that one run has twice, as that run did, and one of the same name and other content", () => {
    const twice = whole([log("a"), log("a")]);
    expect(mergeRuns(named([twice])).paths).toEqual(["a", "a"]);
    expect(codeOf([whole([log("a")]), whole([{ ...log("a"), sha256: "1".repeat(64) }])])).toBe("merged");
    expect(codeOf([whole([log("a")]), whole([log("b")])])).toBe("merged");
  });

  it("lists each settings file of whole runs once, and two of one path that differ", () => {
    const [a, b] = [
      { path: "x.yaml", sha256: "a" },
      { path: "x.yaml", sha256: "b" },
    ];
    const { run, gate } = mergeRuns(named([whole([log("a")], [a]), whole([log("b")], [a, b])]));
    expect(run.config).toEqual([a, b]);
    expect(gate).toEqual(DEFAULT_GATE);
    expect(mergeRuns(named([whole([log("a")])]), { ...DEFAULT_GATE, gate: "thin" }).gate.gate).toBe("thin");
  });

  it("judges the gate of the whole, not of each part", () => {
    const strict = { ...DEFAULT_GATE, minScore: 50 };
    expect(mergeRuns(named([part(1, 1, 1, [0])]), strict).run.summary).toEqual(summarize([log("log-0")], strict));
  });

  it("says which parts are missing, ten at most", () => {
    const many = (count: number): string | undefined => refusalOf([part(2, count, 1, [0])])?.message;
    expect(many(3)).toBe("Of 3 parts of the run 2 are missing: 1, 3.");
    expect(many(11)).toBe("Of 11 parts of the run 10 are missing: 1, 3, 4, 5, 6, 7, 8, 9, 10, 11.");
    expect(many(12)).toContain("Of 12 parts of the run 11 are missing: 1, 3, 4, 5, 6, 7, 8, 9, 10, 11 and 1 more.");
  });

  it("names the files at fault, and says what to do", () => {
    const said = (...runs: readonly RunResult[]): readonly (string | undefined)[] => {
      const refusal = refusalOf(runs);
      return [refusal?.message, refusal?.hint];
    };
    const [one, two] = [part(1, 2, 2, [0]), part(2, 2, 2, [1])];
    const summary = summarize(two.logs, DEFAULT_GATE, { interruptedAfter: "1 of 1" });
    expect(said(one, { ...two, summary })).toEqual([
      "2.json was interrupted: 2 of 2 logs are there.",
      "Audit that part again; with --cache only what is missing is done.",
    ]);
    expect(said(part(1, 1, 3, [0]))[0]).toBe("The logs were not the same for all parts: 1 of 3 logs are there.");
    expect(said(one, two, two)).toEqual(["2.json and 3.json are both part 2 of 2.", "Leave one of them out."]);
    expect(said(one, part(2, 2, 3, [1]))[0]).toBe("2.json is no part of the run that 1.json is a part of.");
    expect(said(one, whole([]))).toEqual([
      "2.json is a whole run, and 1.json a part of one.",
      "Merge the parts first.",
    ]);
    expect(said(whole([log("a")]), whole([log("b")]), whole([log("a")]))[0]).toBe(
      "The log a is in 1.json and in 3.json.",
    );
    expect(said(whole([]), { ...whole([]), tool_version: "2.0.0" })[0]).toBe(
      "2.json was made by version 2.0.0, 1.json by 1.2.3.",
    );
    expect(said()[0]).toBe("There is no result to merge.");
  });

  it("does not take a reason beside an interruption for one", () => {
    const one = part(1, 1, 1, [0]);
    expect(one.summary.gate.reasons.map(({ code }) => code)).toEqual(["nothing-judged"]);
    expect(codeOf([one])).toBe("merged");
    const summary = summarize([log("log-0"), { ...log("b"), parser: null }], DEFAULT_GATE, {
      interruptedAfter: "1 of 1",
    });
    expect(summary.gate.reasons.length).toBeGreaterThan(1);
    expect(codeOf([{ ...one, summary }])).toBe("merge-missing");
  });
});
