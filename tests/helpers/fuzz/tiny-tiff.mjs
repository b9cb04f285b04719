// The smallest GeoTIFF of heights that a test can corrupt: one strip of int16, packed or not.
import { deflateSync } from "node:zlib";

/** LZW of TIFF 6.0 without any table: a code to clear it before it would grow past nine bits. */
function lzw(bytes) {
  let bits = "";
  const put = (code) => (bits += code.toString(2).padStart(9, "0"));
  for (const [k, byte] of bytes.entries()) {
    if (k % 200 === 0) put(256);
    put(byte);
  }
  put(257);
  return Buffer.from(bits.match(/.{1,8}/g).map((byte) => Number.parseInt(byte.padEnd(8, "0"), 2)));
}

const PACKED = { none: [1, (bytes) => bytes], lzw: [5, lzw], deflate: [8, (bytes) => deflateSync(bytes)] };

/**
 * @param columns nodes from west to east
 * @param heights_m row by row from the north
 * @param west_deg, north_deg corner of the first pixel
 * @returns a GeoTIFF in longitude and latitude (EPSG:4326), or in a projected system by its code
 */
export function tinyTiff({ columns, heights_m, west_deg, north_deg, step_deg, packing = "none", system }) {
  const samples = Buffer.alloc(heights_m.length * 2);
  for (const [k, height] of heights_m.entries()) samples.writeInt16LE(Math.round(height), k * 2);
  const [compression, pack] = PACKED[packing];
  const block = pack(samples);
  const rows = heights_m.length / columns;
  const keys =
    system === undefined
      ? [1, 1, 0, 2, 1024, 0, 1, 2, 2048, 0, 1, 4326]
      : [1, 1, 0, 2, 1024, 0, 1, 1, 3072, 0, 1, system];
  const tags = [
    [256, 4, [columns]],
    [257, 4, [rows]],
    [258, 3, [16]],
    [259, 3, [compression]],
    [262, 3, [1]],
    [273, 4, [0]],
    [277, 3, [1]],
    [278, 4, [rows]],
    [279, 4, [block.length]],
    [339, 3, [2]],
    [33_550, 12, [step_deg, step_deg, 0]],
    [33_922, 12, [0, 0, 0, west_deg, north_deg, 0]],
    [34_735, 3, keys],
  ];
  const sizes = { 3: 2, 4: 4, 12: 8 };
  const long = tags.map(([, type, values]) => (sizes[type] * values.length > 4 ? sizes[type] * values.length : 0));
  const after = 8 + 2 + tags.length * 12 + 4;
  const blockAt = after + long.reduce((sum, size) => sum + size, 0);
  const bytes = Buffer.alloc(blockAt + block.length);
  bytes.write("II*\0", 0, "latin1");
  bytes.writeUInt32LE(8, 4);
  bytes.writeUInt16LE(tags.length, 8);
  let free = after;
  for (const [k, [tag, type, values]] of tags.entries()) {
    const at = 10 + k * 12;
    bytes.writeUInt16LE(tag, at);
    bytes.writeUInt16LE(type, at + 2);
    bytes.writeUInt32LE(values.length, at + 4);
    const to = long[k] > 0 ? free : at + 8;
    if (long[k] > 0) bytes.writeUInt32LE(free, at + 8);
    free += long[k];
    for (const [i, value] of (tag === 273 ? [blockAt] : values).entries()) {
      if (type === 3) bytes.writeUInt16LE(value, to + 2 * i);
      else if (type === 4) bytes.writeUInt32LE(value, to + 4 * i);
      else bytes.writeDoubleLE(value, to + 8 * i);
    }
  }
  block.copy(bytes, blockAt);
  return bytes;
}
