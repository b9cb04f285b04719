import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { describe, expect, it } from "vitest";
import { sweep, sweepAtEnd, temporaryIn } from "../../src/cli/unfinished.js";
import { writeWhole } from "../../src/cli/write-file.js";
import { temporaryFolder } from "../helpers/cli.js";

describe("temporary files in a folder that several machines share", () => {
  it("are removed by the process that made them, and by no other that has its number", () => {
    const folder = temporaryFolder();
    const own = temporaryIn(folder, "a");
    const others = [`${process.pid}-b.part`, `another-machine-${process.pid}-c.part`, "kept.json"];
    for (const path of [own, ...others.map((name) => join(folder, name))]) writeFileSync(path, "");
    sweepAtEnd(folder);
    expect(readdirSync(folder)).toContain(basename(own));
    sweep();
    expect(readdirSync(folder).sort()).toEqual([...others].sort());
  });

  it("do not stand in the way where a killed process left one", async () => {
    const path = join(temporaryFolder(), "result.json");
    writeFileSync(`${path}.${process.pid}.part`, "half");
    await writeWhole(path, ["whole"]);
    expect(readFileSync(path, "utf8")).toBe("whole");
  });
});
