import { mkdtempSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { AuditCache } from "../../src/cli/audit-cache.js";
import type { KeptAudit } from "../../src/cli/audited-log.js";
import { unpack } from "../../src/cli/packed.js";
import { loadSetting, logFacts, type LogResult, unreadLog, UserError } from "../../src/index.js";
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
function resultOf(path: string, sha256: string, parser: "csv" | null): LogResult {
  return { ...unreadLog(path, new UserError("log-unreadable", "Invented.")), sha256, parser };
}

function keptOf(result: LogResult, parts: KeptAudit["parts"] = {}): KeptAudit {
  return { facts: logFacts(result), result: { value: result }, parts };
}

/** @returns what an audit holds, whether it is packed or not */
function opened(audit: KeptAudit | undefined) {
  if (audit === undefined) return undefined;
  const parts = Object.entries(audit.parts).map(([id, part]) => [id, unpack(part)]);
  return { facts: audit.facts, result: unpack(audit.result), parts: Object.fromEntries(parts) };
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
    const result = resultOf(log, await hashOf(log, log), "csv");
    const parts = { geojson: { value: [{ message: "two\nlines, 20 °C" }] }, html: { value: "<p>" } };
    const audit = keptOf(result, parts);
    expect(await cache.find(log, setting)).toBeUndefined();
    expect(await cache.keep(log, setting, result, audit)).toBeUndefined();
    expect(opened(await cache.find(log, setting))).toEqual(opened(audit));
    writeFileSync(log, "a,b,c\n");
    expect(await cache.find(log, setting)).toBeUndefined();
  });

  it("keeps what was no log, once it was read to its end", async () => {
    const { log, setting, cache } = await cacheWith("no log");
    const result = resultOf(log, await hashOf(log, log), null);
    await cache.keep(log, setting, result, keptOf(result));
    expect(opened(await cache.find(log, setting))?.result).toEqual(result);
  });

  it("keeps nothing of a log that was not read to its end, under the hash of what was", async () => {
    const { log, setting, cache } = await cacheWith("a,b\n");
    const { sha256 } = unreadLog(log, new UserError("log-unreadable", "Invented."));
    const result = resultOf(log, sha256, null);
    await cache.keep(log, setting, result, keptOf(result));
    // The hash of no bytes is that of an empty file too.
    writeFileSync(log, "");
    expect(await cache.find(log, setting)).toBeUndefined();
    expect(readdirSync(folder)).toEqual(["log.csv"]);
  });

  // Both are read by blocks of 256 KiB.
  it.each([262_143, 262_144, 262_145, 600_000])(
    "finds a log of %i bytes, in an entry that is as long",
    async (length) => {
      const { log, setting, cache } = await cacheWith("x".repeat(length));
      const result = resultOf(log, await hashOf(log, log), "csv");
      const audit = keptOf(result, { html: { value: "é".repeat(length / 2) } });
      await cache.keep(log, setting, result, audit);
      expect(opened(await cache.find(log, setting))).toEqual(opened(audit));
      writeFileSync(log, `${"x".repeat(length - 1)}y`);
      expect(await cache.find(log, setting)).toBeUndefined();
    },
  );

  it("knows nothing of what is no file", async () => {
    const { setting, cache } = await cacheWith("");
    expect(await cache.find(folder, setting)).toBeUndefined();
    expect(await cache.find(join(folder, "gone.csv"), setting)).toBeUndefined();
  });

  it("knows nothing of standard input, which is read but once", async () => {
    const { setting, cache } = await cacheWith("");
    const result = resultOf("-", "ab", "csv");
    expect(await cache.keep("-", setting, result, keptOf(result))).toBeUndefined();
    expect(await cache.find("-", setting)).toBeUndefined();
    expect(readdirSync(folder)).toEqual(["log.csv"]);
  });
});
