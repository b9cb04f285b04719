import { describe, expect, it } from "vitest";
import { auditEach, type AuditWork, type PlacedAudit } from "../../src/cli/audit-each.js";
import { UserError } from "../../src/user-error.js";

const OPTIONS = { set: [], units: "metric", formats: ["json"], toolVersion: "1.2.3" } as const;
const workOf = (paths: readonly string[], more: Partial<AuditWork> = {}): AuditWork => ({
  logs: paths.map((path, position) => ({ path, position })),
  options: OPTIONS,
  jobs: 2,
  reader: {
    all_bytes: 1e9,
    bytesOf: () => {
      throw new Error("These logs are read in threads.");
    },
    finished: () => undefined,
  },
  moments: undefined,
  interrupted: new AbortController().signal,
  worker: new URL("./frail-worker.mjs", import.meta.url),
  ...more,
});
const all = async (work: AuditWork): Promise<PlacedAudit[]> => {
  const found: PlacedAudit[] = [];
  for await (const one of auditEach(work)) found.push(one);
  return found;
};

describe("auditEach in threads", () => {
  it("gives the logs in their order, whichever is finished first", async () => {
    const paths = Array.from({ length: 30 }, (_, i) => (i % 7 === 0 ? `slow ${i}` : `${i}`));
    const found = await all(workOf(paths));
    expect(found.map(({ audited }) => audited.facts.path)).toEqual(paths);
    expect(found.map(({ position }) => position)).toEqual(paths.map((_path, i) => i));
  });

  it.each(["exits", "throws", "throws-later"])("goes on when a thread %s under a log, and says which", async (way) => {
    const found = await all(workOf(["a", way, "b", "c", "d", "e"]));
    expect(found.map(({ audited }) => audited.facts.path)).toEqual(["a", way, "b", "c", "d", "e"]);
    const broken = found.filter(({ audited }) => audited.isBroken);
    expect(broken.map(({ audited }) => audited.facts.path)).toEqual([way]);
    expect(broken[0]?.audited.facts.problems).toEqual([{ code: "audit-crashed" }]);
    expect(broken[0]?.audited.said).toEqual([expect.stringMatching(new RegExp(`^${way}: this is a bug in homeleg`))]);
  });

  it("tells a path that leads nowhere without a thread", async () => {
    const error = new UserError("path-unusable", "There is no file or folder gone.");
    const found = await all(
      workOf([], {
        logs: [
          { path: "a", position: 0 },
          { path: "gone", position: 1, error },
          { path: "b", position: 2 },
        ],
      }),
    );
    expect(found.map(({ audited }) => audited.facts.problems.map(({ code }) => code))).toEqual([
      [],
      ["path-unusable"],
      [],
    ]);
  });

  it("stops the run at a mistake that every log would meet", async () => {
    const stopped: unknown = await all(workOf(["a", "mistake", "b"])).catch((error: unknown) => error);
    expect(stopped).toBeInstanceOf(UserError);
    expect((stopped as UserError).line).toBe("The disk is full. Empty it.");
  });

  it("ends when it is interrupted, with what came before", async () => {
    const stopping = new AbortController();
    const paths = Array.from({ length: 50 }, (_, i) => `slow ${i}`);
    const found: string[] = [];
    for await (const { audited } of auditEach(workOf(paths, { interrupted: stopping.signal }))) {
      found.push(audited.facts.path);
      if (found.length === 5) stopping.abort();
    }
    expect(found).toEqual(paths.slice(0, 5));
  });

  it("begins only a few logs ahead of the one that is waited for", async () => {
    let begun = 0;
    const logs = Array.from({ length: 100 }, (_, position) => ({
      position,
      get path() {
        begun = Math.max(begun, position);
        return position === 0 ? "slow" : `${position}`;
      },
    }));
    for await (const _first of auditEach(workOf([], { logs }))) break;
    expect(begun).toBeLessThan(12);
  });
});
