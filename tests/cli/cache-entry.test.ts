import { describe, expect, it } from "vitest";
import { entryOf, readEntry } from "../../src/cli/cache-entry.js";
import { unpack } from "../../src/cli/packed.js";
import { logFacts, unreadLog, UserError } from "../../src/index.js";

const result = unreadLog("a.csv", new UserError("log-unreadable", "Invented:\n\u2028 20 °C."));
const entry = Buffer.from(
  entryOf({ facts: logFacts(result), result: { value: result }, parts: { html: { value: "<p>\n</p>" } } }),
);

describe("a cache entry", () => {
  it("is lines: a hash, the facts, the result, each part", () => {
    const [hash, head, body, part, ...rest] = entry.toString().split("\n");
    expect(hash).toMatch(/^[0-9a-f]{64}$/);
    expect(JSON.parse(head ?? "")).toEqual({ facts: logFacts(result), parts: ["html"] });
    expect(JSON.parse(body ?? "")).toEqual(result);
    expect(JSON.parse(part ?? "")).toBe("<p>\n</p>");
    expect(rest).toEqual([""]);
  });

  it("gives back what was kept, in memory of its own", () => {
    const bytes = Buffer.from(entry);
    const found = readEntry(bytes);
    bytes.fill(0);
    expect(found?.facts).toEqual(logFacts(result));
    expect(found && unpack(found.result)).toEqual(result);
    expect(unpack(found?.parts["html"] ?? { value: undefined })).toBe("<p>\n</p>");
  });

  it("is nothing where any byte of it is another one, or the last ones are missing", () => {
    for (let at = 0; at < entry.length; at += 7) {
      const damaged = Buffer.from(entry);
      damaged[at] = (damaged[at] ?? 0) ^ 1;
      expect(readEntry(damaged), `byte ${at}`).toBeUndefined();
    }
    for (const length of [0, 1, 64, 65, entry.length - 1]) expect(readEntry(entry.subarray(0, length))).toBeUndefined();
  });
});
