import { deflateSync } from "node:zlib";

/** What a test writes a TIFF with. */
export interface TiffOptions {
  readonly type?: "int16" | "uint16" | "float32" | "float64" | "uint8";
  readonly compression?: "none" | "deflate" | "lzw";
  /** Side of square tiles; strips without it. */
  readonly tile?: number;
  readonly rowsPerStrip?: number;
  readonly isBigEndian?: boolean;
  readonly bands?: number;
  readonly photometric?: number;
  readonly noData?: string;
  /** i, j, k, x, y, z. */
  readonly tiepoint?: readonly number[];
  readonly scale?: readonly number[];
  readonly transformation?: readonly number[];
  /** Geo keys that are numbers; those that are no whole numbers go to the double parameters. */
  readonly keys?: Readonly<Record<number, number>>;
}

const TYPES = {
  uint8: { bytes: 1, format: 1 },
  uint16: { bytes: 2, format: 1 },
  int16: { bytes: 2, format: 2 },
  float32: { bytes: 4, format: 3 },
  float64: { bytes: 8, format: 3 },
} as const;
const COMPRESSION = { none: 1, lzw: 5, deflate: 8 } as const;

/**
 * Writes a TIFF by the letter of the specification (TIFF 6.0, GeoTIFF 1.1), for tests.
 * @param rows of samples from the north
 */
export function writeTiff(rows: readonly (readonly number[])[], options: TiffOptions = {}): Uint8Array {
  const { type = "int16", compression = "none", tile, isBigEndian = false, bands = 1, photometric = 1 } = options;
  const height = rows.length;
  const width = rows[0]?.length ?? 0;
  const isLittle = !isBigEndian;
  const across = tile ?? width;
  const down = tile ?? options.rowsPerStrip ?? height;
  const blocks: Uint8Array[] = [];
  for (let top = 0; top < height; top += down) {
    for (let left = 0; left < width; left += across) {
      // A tile is whole, a strip ends with the image.
      const lines = tile === undefined ? Math.min(down, height - top) : down;
      const block = samplesOf(rows, { top, left, lines, across, bands, type, isLittle });
      blocks.push(compression === "none" ? block : compression === "deflate" ? deflateSync(block) : lzw(block));
    }
  }
  const tags = new Tags(isLittle);
  tags.long(256, [width]);
  tags.long(257, [height]);
  tags.short(258, Array<number>(bands).fill(TYPES[type].bytes * 8));
  tags.short(259, [COMPRESSION[compression]]);
  tags.short(262, [photometric]);
  tags.short(277, [bands]);
  tags.short(339, Array<number>(bands).fill(TYPES[type].format));
  if (tile === undefined) tags.long(278, [down]);
  else {
    tags.long(322, [tile]);
    tags.long(323, [tile]);
  }
  const offsets = tile === undefined ? 273 : 324;
  const counts = tile === undefined ? 279 : 325;
  tags.long(offsets, blocks);
  tags.long(
    counts,
    blocks.map(({ length }) => length),
  );
  if (options.tiepoint !== undefined) tags.double(33_922, options.tiepoint);
  if (options.scale !== undefined) tags.double(33_550, options.scale);
  if (options.transformation !== undefined) tags.double(34_264, options.transformation);
  if (options.keys !== undefined) geoKeys(tags, options.keys);
  if (options.noData !== undefined) tags.ascii(42_113, options.noData);
  return tags.write(blocks);
}

function samplesOf(
  rows: readonly (readonly number[])[],
  at: {
    top: number;
    left: number;
    lines: number;
    across: number;
    bands: number;
    type: keyof typeof TYPES;
    isLittle: boolean;
  },
): Uint8Array {
  const { bytes } = TYPES[at.type];
  const view = new DataView(new ArrayBuffer(at.lines * at.across * at.bands * bytes));
  const put = {
    uint8: (k: number, value: number) => view.setUint8(k, value),
    uint16: (k: number, value: number) => view.setUint16(k, value, at.isLittle),
    int16: (k: number, value: number) => view.setInt16(k, value, at.isLittle),
    float32: (k: number, value: number) => view.setFloat32(k, value, at.isLittle),
    float64: (k: number, value: number) => view.setFloat64(k, value, at.isLittle),
  }[at.type];
  for (let line = 0; line < at.lines; line += 1) {
    for (let i = 0; i < at.across; i += 1) {
      for (let band = 0; band < at.bands; band += 1) {
        const value = rows[at.top + line]?.[at.left + i] ?? 0;
        put(((line * at.across + i) * at.bands + band) * bytes, value);
      }
    }
  }
  return new Uint8Array(view.buffer);
}

/** Source: TIFF 6.0, section 13. */
function lzw(bytes: Uint8Array): Uint8Array {
  const out: number[] = [];
  let [held, bits] = [0, 0];
  let table = new Map<string, number>();
  let size = 9;
  const put = (code: number): void => {
    held = held * 2 ** size + code;
    bits += size;
    while (bits >= 8) {
      const byte = Math.floor(held / 2 ** (bits - 8));
      out.push(byte);
      held -= byte * 2 ** (bits - 8);
      bits -= 8;
    }
  };
  const codeOf = (text: string): number => (text.length === 1 ? text.charCodeAt(0) : (table.get(text) ?? Number.NaN));
  put(256);
  let text = "";
  for (const byte of bytes) {
    const longer = text + String.fromCharCode(byte);
    if (longer.length === 1 || table.has(longer)) {
      text = longer;
      continue;
    }
    put(codeOf(text));
    table.set(longer, 258 + table.size);
    // The reader is one entry behind, and has codes grow one entry early.
    const next = 258 + table.size;
    size = next >= 2048 ? 12 : next >= 1024 ? 11 : next >= 512 ? 10 : 9;
    if (next === 4095) {
      put(256);
      table = new Map();
      size = 9;
    }
    text = String.fromCharCode(byte);
  }
  if (text !== "") put(codeOf(text));
  const next = 259 + table.size;
  size = next >= 2048 ? 12 : next >= 1024 ? 11 : next >= 512 ? 10 : 9;
  put(257);
  if (bits > 0) out.push(held * 2 ** (8 - bits));
  return Uint8Array.from(out);
}

function geoKeys(tags: Tags, keys: Readonly<Record<number, number>>): void {
  const doubles: number[] = [];
  const entries = Object.entries(keys).flatMap(([key, value]) => {
    if (Number.isInteger(value) && value >= 0 && value < 65_536) return [Number(key), 0, 1, value];
    doubles.push(value);
    return [Number(key), 34_736, 1, doubles.length - 1];
  });
  tags.short(34_735, [1, 1, 1, entries.length / 4, ...entries]);
  if (doubles.length > 0) tags.double(34_736, doubles);
}

/** The directory, with its values behind it and the blocks behind those. */
class Tags {
  readonly #isLittle: boolean;
  readonly #tags = new Map<number, { type: number; count: number; bytes: Uint8Array | readonly Uint8Array[] }>();

  constructor(isLittle: boolean) {
    this.#isLittle = isLittle;
  }

  short(tag: number, values: readonly number[]): void {
    this.#add(tag, 3, 2, values, (view, k, value) => view.setUint16(k, value, this.#isLittle));
  }

  /** Blocks stand for their offsets, which are known only at the end. */
  long(tag: number, values: readonly number[] | readonly Uint8Array[]): void {
    if (values.some((value) => typeof value !== "number")) {
      const blocks = values.filter((value) => typeof value !== "number");
      this.#tags.set(tag, { type: 4, count: blocks.length, bytes: blocks });
      return;
    }
    const numbers = values.filter((value) => typeof value === "number");
    this.#add(tag, 4, 4, numbers, (view, k, value) => view.setUint32(k, value, this.#isLittle));
  }

  double(tag: number, values: readonly number[]): void {
    this.#add(tag, 12, 8, values, (view, k, value) => view.setFloat64(k, value, this.#isLittle));
  }

  ascii(tag: number, text: string): void {
    const bytes = new TextEncoder().encode(`${text}\0`);
    this.#tags.set(tag, { type: 2, count: bytes.length, bytes });
  }

  #add(
    tag: number,
    type: number,
    size: number,
    values: readonly number[],
    put: (view: DataView, k: number, value: number) => void,
  ): void {
    const view = new DataView(new ArrayBuffer(values.length * size));
    for (const [k, value] of values.entries()) put(view, k * size, value);
    this.#tags.set(tag, { type, count: values.length, bytes: new Uint8Array(view.buffer) });
  }

  write(blocks: readonly Uint8Array[]): Uint8Array {
    const isLittle = this.#isLittle;
    const tags = [...this.#tags].sort(([a], [b]) => a - b);
    const sizeOf = (bytes: Uint8Array | readonly Uint8Array[]): number =>
      bytes instanceof Uint8Array ? bytes.length : bytes.length * 4;
    let at = 8 + 2 + tags.length * 12 + 4;
    const placed = tags.map(([tag, entry]) => {
      const size = sizeOf(entry.bytes);
      const offset = size > 4 ? at : -1;
      if (size > 4) at += size + (size % 2);
      return { tag, ...entry, offset };
    });
    const starts = blocks.map((block) => {
      const start = at;
      at += block.length + (block.length % 2);
      return start;
    });
    const out = new Uint8Array(at);
    const view = new DataView(out.buffer);
    out.set(isLittle ? [0x49, 0x49] : [0x4d, 0x4d]);
    view.setUint16(2, 42, isLittle);
    view.setUint32(4, 8, isLittle);
    view.setUint16(8, tags.length, isLittle);
    for (const [k, { tag, type, count, bytes, offset }] of placed.entries()) {
      const entry = 10 + k * 12;
      view.setUint16(entry, tag, isLittle);
      view.setUint16(entry + 2, type, isLittle);
      view.setUint32(entry + 4, count, isLittle);
      if (offset >= 0) view.setUint32(entry + 8, offset, isLittle);
      const values = offset >= 0 ? offset : entry + 8;
      if (bytes instanceof Uint8Array) out.set(bytes, values);
      else for (const [b, start] of starts.entries()) view.setUint32(values + b * 4, start, isLittle);
    }
    for (const [k, block] of blocks.entries()) out.set(block, starts[k] ?? 0);
    return out;
  }
}
