import { describe, expect, it } from "vitest";
import { emptyMoments, MOMENT_KEYS } from "../../src/recovery/moments.js";

describe("moments to be written", () => {
  it("have every column, of one length and not known, each its own", () => {
    const moments = emptyMoments(3);
    expect(Object.keys(moments).sort()).toEqual([...MOMENT_KEYS].sort());
    for (const column of Object.values(moments)) expect([...column]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
    expect(new Set(Object.values(moments)).size).toBe(MOMENT_KEYS.length);
  });

  it("leave a column that is there as it is, and what it is given by untouched", () => {
    const at_s = Float64Array.of(1, 2, 3);
    const given = { at_s };
    expect(emptyMoments(3, given).at_s).toBe(at_s);
    expect(emptyMoments(3, given).height_m).toHaveLength(3);
    expect(Object.keys(given)).toEqual(["at_s"]);
  });
});
