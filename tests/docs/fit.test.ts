import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { homeleg } from "../helpers/cli.js";

describe("docs/fit.md", () => {
  it("shows real output", () => {
    const [, command = "", shown = ""] =
      /^```console\n\$ node bin\/homeleg\.js (.*)\n([\s\S]*?)^```$/m.exec(readFileSync("docs/fit.md", "utf8")) ?? [];
    const { status, stdout } = homeleg(command.split(" "));
    expect([status, stdout]).toEqual([0, shown]);
  });
});
