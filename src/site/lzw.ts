const CLEAR = 256;
const END = 257;
const FIRST = 258;
const MOST_CODES = 4096;
const FIRST_GUESS = 4;

/**
 * Unpacks LZW as TIFF has it: codes from the high bit on, growing one entry early.
 *
 * Our own only because the library's reader follows a damaged stream until the process is aborted, which nothing can
 * catch. Source: TIFF 6.0, section 13.
 * @param most bytes that may come out
 * @throws Error for a stream that is damaged, or gives more; one that ends without an end code is taken as it is
 */
export function unpackLzw(packed: Uint8Array, most: number): Uint8Array {
  const prefix = new Uint16Array(MOST_CODES);
  const last = new Uint8Array(MOST_CODES);
  const length = new Uint16Array(MOST_CODES);
  for (let code = 0; code < CLEAR; code += 1) {
    last[code] = code;
    length[code] = 1;
  }
  let out = new Uint8Array(Math.min(most, packed.length * FIRST_GUESS + 16));
  let size = 0;
  let next = FIRST;
  let bits = 9;
  let before = -1;
  const totalBits = packed.length * 8;
  for (let at = 0; at + bits <= totalBits;) {
    const code = codeAt(packed, at, bits);
    at += bits;
    if (code === END) break;
    if (code === CLEAR) {
      next = FIRST;
      bits = 9;
      before = -1;
      continue;
    }
    const isNew = code === next && before >= 0;
    if (code >= next && !isNew) throw new Error("LZW code out of its table");
    const known = isNew ? before : code;
    const long = (length[known] ?? 0) + (isNew ? 1 : 0);
    if (size + long > most) throw new Error("LZW data goes on after its block");
    if (size + long > out.length) out = grown(out, Math.min(most, Math.max(out.length * 2, size + long)));
    // A string is found from its end.
    let walk = known;
    for (let k = size + (length[known] ?? 0) - 1; k >= size; k -= 1) {
      out[k] = last[walk] ?? 0;
      walk = prefix[walk] ?? 0;
    }
    const first = out[size] ?? 0;
    if (isNew) out[size + long - 1] = first;
    size += long;
    if (before >= 0 && next < MOST_CODES) {
      prefix[next] = before;
      last[next] = first;
      length[next] = (length[before] ?? 0) + 1;
      next += 1;
    }
    bits = next >= 2047 ? 12 : next >= 1023 ? 11 : next >= 511 ? 10 : 9;
    before = code;
  }
  return out.subarray(0, size);
}

function codeAt(packed: Uint8Array, at: number, bits: number): number {
  const byte = at >> 3;
  const three = ((packed[byte] ?? 0) << 16) | ((packed[byte + 1] ?? 0) << 8) | (packed[byte + 2] ?? 0);
  return (three >> (24 - (at & 7) - bits)) & ((1 << bits) - 1);
}

function grown(bytes: Uint8Array, size: number): Uint8Array<ArrayBuffer> {
  const more = new Uint8Array(size);
  more.set(bytes);
  return more;
}
