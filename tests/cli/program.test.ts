import { describe, expect, test } from "vitest";
import { buildProgram } from "../../src/cli/program.js";

const NAMES = ["audit", "merge", "advise", "inspect", "rehearse", "init", "fit", "signoff", "rules", "demo"];

describe("a command is loaded only when it is asked for", () => {
  test("the help lists every command as its own file describes it", async () => {
    const whole = await buildProgram("1.2.3", "all");
    const listed = await buildProgram("1.2.3", ["--help"]);
    expect(whole.commands.map((command) => command.name())).toEqual(NAMES);
    expect(listed.helpInformation()).toBe(whole.helpInformation());
    expect(listed.commands.every(({ options }) => options.length === 0)).toBe(true);
  });

  test.each([
    ["audit flight.csv", "audit"],
    ["help inspect", "inspect"],
    ["demo --ascii", "demo"],
  ])("%s", async (line, name) => {
    const program = await buildProgram("1.2.3", line.split(" "));
    const loaded = program.commands.filter(({ options }) => options.length > 0);
    expect(loaded.map((command) => command.name())).toEqual([name]);
  });
});
