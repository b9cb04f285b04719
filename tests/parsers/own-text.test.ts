import { getHeapStatistics, setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { describe, expect, it } from "vitest";
import { auditLog, loadSetting, type LogResult } from "../../src/index.js";

setFlagsFromString("--expose-gc");
const collectGarbage = runInNewContext("gc") as () => void;

function used_bytes(): number {
  collectGarbage();
  return getHeapStatistics().used_heap_size;
}

describe("a result", () => {
  it("does not keep the beginning of its log in memory", async () => {
    const rows = Array.from({ length: 3000 }, (_, i) => `${i / 10},${50 + i / 1e6},8.0000000,40.00`);
    const log = Buffer.from(["elapsed time (s),latitude (degrees),longitude (degrees),height (m)", ...rows].join("\n"));
    const setting = await loadSetting();
    const results: LogResult[] = [];
    const audit = async (): Promise<void> => {
      results.push((await auditLog(log, setting, { path: "invented.csv", moments: false })).result);
    };
    for (let i = 0; i < 5; i += 1) await audit();
    const before = used_bytes();
    for (let i = 0; i < 20; i += 1) await audit();
    // Names of columns are cut out of the first 64 KiB, which would be 1.3 MB.
    expect(used_bytes() - before).toBeLessThan(1e6);
    expect(results.every(({ channels }) => channels["time"]?.source === "elapsed time (s)")).toBe(true);
  });
});
