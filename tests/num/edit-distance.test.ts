import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { editDistance, nearestWord } from "../../src/num/edit-distance.js";

describe("editDistance", () => {
  it.each([
    ["", "", 0],
    ["", "abc", 3],
    ["abc", "", 3],
    ["height", "height", 0],
    ["heigt", "height", 1],
    ["heightt", "height", 1],
    ["haight", "height", 1],
    ["hieght", "height", 1],
    ["kitten", "sitting", 3],
    // Restricted form: a swapped pair is not edited again, so this is 3 and not 2 (Boytsov 2011, §2.2).
    ["ca", "abc", 3],
  ])("%j to %j is %i", (a, b, expected) => {
    expect(editDistance(a, b)).toBe(expected);
  });

  it("is symmetric, 0 only for equal words, and at most the longer length", () => {
    const word = fc.string({ maxLength: 8 });
    fc.assert(
      fc.property(word, word, (a, b) => {
        const distance = editDistance(a, b);
        expect(distance).toBe(editDistance(b, a));
        expect(distance === 0).toBe(a === b);
        expect(distance).toBeLessThanOrEqual(Math.max(a.length, b.length));
        expect(distance).toBeGreaterThanOrEqual(Math.abs(a.length - b.length));
      }),
    );
  });
});

describe("nearestWord", () => {
  const known = ["recovery_height", "recovery_height_above", "near", "thin"];

  it.each([
    ["recovry_height", "recovery_height"],
    ["Recovery_Height", "recovery_height"],
    ["recovery_hieght_abov", "recovery_height_above"],
    ["naer", "near"],
    ["thn", "thin"],
    ["thnn", "thin"],
    ["tnnn", undefined],
    ["wind", undefined],
    ["", undefined],
  ])("takes %j for %j", (word, expected) => {
    expect(nearestWord(word, known)).toBe(expected);
  });

  it("takes the first of equally near words, and none of none", () => {
    expect(nearestWord("bat", ["cat", "rat"])).toBe("cat");
    expect(nearestWord("bat", [])).toBeUndefined();
  });
});
