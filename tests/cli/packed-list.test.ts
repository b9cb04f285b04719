import { describe, expect, it } from "vitest";
import { pack, type Packed, unpack } from "../../src/cli/packed.js";
import { PackedList } from "../../src/cli/packed-list.js";

const LENGTHS = [0, 1, 10, 7_000, 65_534, 65_535, 65_536, 65_537, 200_000];

function listOf<T>(values: readonly T[], as: (value: T) => Packed<T> = (value) => ({ value })): PackedList<T> {
  const list = new PackedList<T>();
  for (const value of values) list.add(as(value));
  return list;
}

describe("PackedList", () => {
  it("gives back what was added, in order, each time anew", () => {
    const values = Array.from({ length: 400 }, (_, at) => ({ at, text: `é\n"${at}` }));
    const list = listOf(values);
    expect([...list]).toEqual(values);
    expect([...list]).toEqual(values);
    expect([...list].at(-1)).not.toBe([...list].at(-1));
    expect([...new PackedList()]).toEqual([]);
  });

  it("keeps the first few as they came", () => {
    const values = [{ a: 1 }, { a: 2 }];
    expect([...listOf(values)][1]).toBe(values[1]);
  });

  it("takes texts of any length, before and after it deflates them", () => {
    // 12 MB of text: 8 of them stay plain, the rest is deflated.
    const values = Array.from({ length: 240 }, (_, at) => `${at}`.padEnd(LENGTHS[at % LENGTHS.length] ?? 0, "flight "));
    const found = [...listOf(values, (value) => pack({ value }))];
    expect(found.length).toBe(values.length);
    expect(found.every((value, at) => value === values[at])).toBe(true);
  });
});

describe("pack", () => {
  it("makes bytes in memory of their own, once", () => {
    const packed = pack({ value: { a: [1, null, "é"] } });
    expect(packed.json.buffer.byteLength).toBe(packed.json.length);
    expect(pack(packed)).toBe(packed);
    expect(unpack(packed)).toEqual({ a: [1, null, "é"] });
  });
});
