import { describe, expect, it } from "vitest";
import { findRule } from "../../src/rules/find-rule.js";

describe("findRule", () => {
  it("finds a rule by its id", () => {
    expect(findRule("fix-weak").id).toBe("fix-weak");
  });

  it("suggests the nearest for a slip, and nothing for a word that is like none", () => {
    expect(() => findRule("fix-waek")).toThrow(
      expect.objectContaining({ hint: "Did you mean fix-weak? `homeleg rules` lists all." }),
    );
    expect(() => findRule("zebra")).toThrow(expect.objectContaining({ hint: "`homeleg rules` lists all." }));
  });
});
