import { mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { AuditCache, type CachedAudit } from "../../src/cli/audit-cache.js";
import { loadSetting, type LogResult, unreadLog, UserError } from "../../src/index.js";
import { hashOf } from "../../src/sign-off.js";

const OPTIONS = { set: [], units: "metric", formats: ["json"], toolVersion: "0.0.0" } as const;

let folder = "";
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "homeleg-cache-"));
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

/** An invented audit: what the cache looks at, and nothing else. */
function auditOf(path: string, sha256: string, parser: "csv" | null): CachedAudit {
  const result: LogResult = { ...unreadLog(path, new UserError("log-unreadable", "Invented.")), sha256, parser };
  return { result, parts: {} };
}

async function cacheWith(content: string) {
  const log = join(folder, "log.csv");
  writeFileSync(log, content);
  const setting = await loadSetting();
  const cache = new AuditCache(join(folder, "cache"), { ...OPTIONS, set: [], formats: ["json"] });
  return { log, setting, cache };
}

describe("AuditCache", () => {
  it("finds what it keeps, by the bytes of the log", async () => {
    const { log, setting, cache } = await cacheWith("a,b\n");
    const audit = auditOf(log, await hashOf(log, log), "csv");
    expect(await cache.find(log, setting)).toBeUndefined();
    expect(await cache.keep(log, setting, audit)).toBeUndefined();
    expect(await cache.find(log, setting)).toEqual(audit);
    writeFileSync(log, "a,b,c\n");
    expect(await cache.find(log, setting)).toBeUndefined();
  });

  it("keeps what was no log, once it was read to its end", async () => {
    const { log, setting, cache } = await cacheWith("no log");
    const audit = auditOf(log, await hashOf(log, log), null);
    await cache.keep(log, setting, audit);
    expect(await cache.find(log, setting)).toEqual(audit);
  });

  it("keeps nothing of a log that was not read to its end, under the hash of what was", async () => {
    const { log, setting, cache } = await cacheWith("a,b\n");
    const { sha256 } = unreadLog(log, new UserError("log-unreadable", "Invented."));
    await cache.keep(log, setting, auditOf(log, sha256, null));
    // The hash of no bytes is that of an empty file too.
    writeFileSync(log, "");
    expect(await cache.find(log, setting)).toBeUndefined();
    expect(readdirSync(folder)).toEqual(["log.csv"]);
  });

  it("knows nothing of standard input, which is read but once", async () => {
    const { setting, cache } = await cacheWith("");
    expect(await cache.keep("-", setting, auditOf("-", "ab", "csv"))).toBeUndefined();
    expect(await cache.find("-", setting)).toBeUndefined();
    expect(readdirSync(folder)).toEqual(["log.csv"]);
  });
});
