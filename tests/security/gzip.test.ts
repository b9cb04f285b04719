import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { deflateSync, gzipSync } from "node:zlib";
import { afterAll, describe, expect, it } from "vitest";
import { completeReading } from "../../src/config/reading.js";
import { loadSetting } from "../../src/load-setting.js";
import { inflate } from "../../src/site/inflate.js";
import { openRaster } from "../../src/site/open-raster.js";
import { bytesInMemory } from "../../src/site/byte-source.js";
import { refusal } from "../parsers/read.js";
import { tinyTiff } from "../helpers/fuzz/tiny-tiff.mjs";
import { lineOf } from "./line-of.js";

const folder = mkdtempSync(join(tmpdir(), "homeleg-gzip-"));
afterAll(() => rmSync(folder, { recursive: true }));

/** A hundred megabytes in a hundred kilobytes. */
const BOMB = gzipSync(Buffer.alloc(100_000_000, "9,47.1,8.2\n"), { level: 1 });

describe("a small file that unpacks to a large one", () => {
  it("as a log: refused at the limit of logs", async () => {
    const log = gzipSync(Buffer.from("time_s,latitude_deg,longitude_deg\n0,47.1,8.2\n1,47.1,8.2\n"));
    const line = await refusal(Buffer.concat([log, BOMB]), { reading: completeReading({ log: 20_000_000 }) });
    expect(line).toMatch(/^\[log-too-big\] flight\.csv {2}This log holds more than 20 MB, unpacked/);
  });

  it("as terrain: refused at the limit of terrain, with what raises it", async () => {
    writeFileSync(join(folder, "N47E008.hgt.gz"), BOMB);
    const sets = ["site.terrain=N47E008.hgt.gz", "reading.terrain=20 MB"];
    expect(await lineOf(loadSetting({ cwd: folder, sets }))).toBe(
      "N47E008.hgt.gz  This gzip file holds more than 20 MB. Unpack it, or raise `reading.terrain`.",
    );
  });

  it("as a block of a GeoTIFF: no more is unpacked than the block holds", async () => {
    const packed = deflateSync(Buffer.alloc(300_000_000), { level: 1 });
    const before = process.memoryUsage().rss;
    expect((await inflate(packed, 1000)).length).toBe(1000);
    expect(process.memoryUsage().rss - before).toBeLessThan(100_000_000);
    const heights_m = Array.from({ length: 2500 }, (_, k) => k);
    const honest = tinyTiff({
      columns: 50,
      heights_m,
      west_deg: 8,
      north_deg: 48,
      step_deg: 0.001,
      packing: "deflate",
    });
    const bytes = bytesInMemory(replaceBlock(honest, packed));
    const raster = await openRaster({ path: "bomb.tif", bytes, declared: undefined, beside: async () => undefined });
    const window = { column: 0, row: 0, columns: 2, rows: 2 };
    expect(Array.from(await raster.readNodes(bytes, window))).toEqual([0, 0, 0, 0]);
    expect(process.memoryUsage().rss - before).toBeLessThan(150_000_000);
  });

  it("as a GeoTIFF of another compression: not read", async () => {
    const tiff = tinyTiff({ columns: 2, heights_m: [1, 2, 3, 4], west_deg: 8, north_deg: 48, step_deg: 0.001 });
    tiff.writeUInt16LE(32_773, tiff.indexOf(Buffer.from([3, 1, 3, 0])) + 8);
    const bytes = bytesInMemory(tiff);
    await expect(
      openRaster({ path: "packed.tif", bytes, declared: undefined, beside: async () => undefined }),
    ).rejects.toThrow("The compression 32773 of this GeoTIFF is not read.");
  });
});

/** Puts another block at the end of a GeoTIFF of one strip. */
function replaceBlock(tiff: Buffer, block: Buffer): Buffer {
  const changed = Buffer.concat([tiff, block]);
  for (let k = 0; k < changed.readUInt16LE(8); k += 1) {
    const at = 10 + 12 * k;
    if (changed.readUInt16LE(at) === 273) changed.writeUInt32LE(tiff.length, at + 8);
    if (changed.readUInt16LE(at) === 279) changed.writeUInt32LE(block.length, at + 8);
  }
  return changed;
}
