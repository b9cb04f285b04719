import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { SiteAdvice } from "../../src/index.js";
import { homeleg, temporaryFolder } from "../helpers/cli.js";

const RIDGE = "fixtures/demo/3-behind-the-ridge.csv";
const folder = temporaryFolder();
const jsonOf = (args: readonly string[]): SiteAdvice =>
  JSON.parse(homeleg(["advise", ...args, "--format", "json"]).stdout) as SiteAdvice;

describe("homeleg advise", () => {
  it("says what to set, what dictates it, and when to turn back", () => {
    const { status, stdout, stderr } = homeleg(["advise", RIDGE]);
    expect([status, stderr]).toEqual([0, ""]);
    expect(stdout).toMatch(/At least 95 m above the recovery point clears every way home by 10 m/);
    expect(stdout).toMatch(/The ground at 47\.13440, 8\.24000 dictates it/);
    expect(stdout).toMatch(/^ +100 m +\d+ \(\d+\)( +\d+ \(\d+\)){7}$/m);
    expect(stdout).toMatch(/Declared: no zones here/);
    expect(stdout).toMatch(/advice, not clearance/);
    expect(Math.max(...stdout.split("\n").map(({ length }) => length))).toBeLessThanOrEqual(80);
  });

  it("with the advised height set, the audit has no finding of ceiling-low left, and with a metre less it has", () => {
    const set_m = jsonOf([RIDGE]).recovery_height.set_m ?? Number.NaN;
    const rules = (height_m: number): string =>
      homeleg(["audit", RIDGE, "--format", "ndjson", "--set", `settings.recovery_height=${height_m}m`]).stdout;
    expect(rules(set_m)).not.toContain('"rule":"ceiling-low"');
    expect(rules(set_m - 1)).toContain('"rule":"ceiling-low"');
  });

  it("takes a radius with a unit, and shows feet where asked", () => {
    const near = jsonOf([RIDGE, "--radius", "100m"]);
    expect(near.radius_m).toBe(100);
    expect(near.recovery_height.asked).toBeGreaterThan(jsonOf([RIDGE]).recovery_height.asked);
    const feet = homeleg(["advise", RIDGE, "--units", "imperial", "--radius", "0.3 km"]).stdout;
    expect(feet).toMatch(/At least \d+ ft above the recovery point clears every way home by 33 ft/);
  });

  it("writes a file, the same each time", () => {
    const target = join(folder, "advice.json");
    expect(homeleg(["advise", RIDGE, "--format", "json", "--output", target]).status).toBe(0);
    expect(readFileSync(target, "utf8")).toBe(homeleg(["advise", RIDGE, "--format", "json"]).stdout);
  });

  it.each([
    [["--radius", "5kg", RIDGE], 2, /is not a length/],
    [["--radius", "0", RIDGE], 2, /more than 0 m/],
    [["--set", "policy.clearence=3", RIDGE], 2, /clearance/],
    [[join(folder, "nothing-here.csv")], 3, /There is no file or folder/],
    [[], 2, /missing required argument/],
  ] as const)("%j ends with %i", (args, code, says) => {
    const { status, stderr, stdout } = homeleg(["advise", ...args]);
    expect(status).toBe(code);
    expect(stderr).toMatch(says);
    expect(stderr).not.toMatch(/ at .*\.js:/);
    expect(stdout).toBe("");
  });

  it("says which log it could not read, and goes on", () => {
    const broken = join(folder, "broken.csv");
    writeFileSync(broken, "nothing\n");
    const { status, stderr, stdout } = homeleg(["advise", broken, RIDGE]);
    expect(status).toBe(0);
    expect(stderr).toMatch(/broken\.csv/);
    expect(stdout).toMatch(/From 1 flight in 1 log/);
  });
});
