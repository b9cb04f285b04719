import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { homeleg, temporaryFolder } from "../helpers/cli.js";

const folder = temporaryFolder();
const LOG = fileURLToPath(new URL("../../fixtures/demo/3-behind-the-ridge.csv", import.meta.url));
const run = (...args: string[]): ReturnType<typeof homeleg> => homeleg(["rehearse", ...args], { cwd: folder });

describe("homeleg rehearse", () => {
  it("shows phases, picture and verdicts in 80 columns, the same every time", () => {
    const { status, stdout, stderr } = run(LOG, "--at", "4:11");
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
    expect(stdout).toMatch(/^way home {2}.* 701 m .* 50 m/m);
    expect(stdout).toMatch(/^FAIL +ceiling-low +701 m out: the way home at 50 m runs 33 m into the$/m);
    expect(stdout).toMatch(/×{10}/);
    // The path of this machine is as long as it is.
    expect(
      stdout
        .split("\n")
        .slice(1)
        .filter(({ length }) => length > 80),
    ).toEqual([]);
    expect(run(LOG, "--at", "0:04:11").stdout).toBe(stdout);
  });

  it("writes the contract as JSON, whose phases add up", () => {
    interface Contract {
      readonly at_s: number;
      readonly phases: readonly { readonly phase: string; readonly energy_pct: number }[];
      readonly need_pct: { readonly middle: number; readonly upper: number; readonly upper_is: string };
      readonly clearance: { readonly centre_m: number; readonly over: string };
      readonly verdicts: Readonly<Record<string, string>>;
    }
    const result: Contract = JSON.parse(run(LOG, "--at", "251", "--format", "json").stdout);
    expect(result.phases.map(({ phase }) => phase)).toEqual(["delay", "climb", "transit", "descent", "landing"]);
    expect(result.phases.reduce((sum, { energy_pct }) => sum + energy_pct, 0)).toBeCloseTo(result.need_pct.middle, 5);
    expect(result).toMatchObject({ at_s: 251, clearance: { over: "the ground" }, verdicts: { "ceiling-low": "fail" } });
  });

  it("writes a picture or a page to a file, and never over the log", () => {
    for (const format of ["svg", "html"]) {
      expect(run(LOG, "--at", "251", "--format", format, "--output", `a.${format}`)).toMatchObject({
        status: 0,
        stdout: "",
      });
      expect(readFileSync(join(folder, `a.${format}`), "utf8")).toBe(
        run(LOG, "--at", "251", "--format", format).stdout,
      );
    }
    writeFileSync(join(folder, "log.csv"), readFileSync(LOG));
    const over = run("log.csv", "--at", "251", "--output", "log.csv");
    expect(over.status).toBe(2);
    expect(over.stderr).toMatch(/would be written over the log log\.csv\./);
    expect(readdirSync(folder).sort()).toEqual(["a.html", "a.svg", "log.csv"]);
  });

  it.each([
    [
      ["--at", "1:00:00"],
      2,
      /^homeleg: 1:00:00 \(3600 s\) is in no flight of .*\. Flight 1 from 00:16 \(16\.5 s\) to /,
    ],
    [["--at", "soon"], 2, /^homeleg: "soon" is no time of a log\. Seconds or a clock /],
    [
      ["--at", "251", "--format", "png"],
      2,
      /^homeleg: There is no format "png"\. There are text, json, svg, html\.\n$/,
    ],
    [["--at", "251", "--set", "wind.sped=3"], 2, /sped.*speed/],
    [[], 2, /required option '--at <time>' not specified/],
  ])("says in a line what is wrong with %j", (args, exit, message) => {
    const { status, stdout, stderr } = run(LOG, ...args);
    expect({ status, stdout }).toEqual({ status: exit, stdout: "" });
    expect(stderr).toMatch(message);
  });

  it("ends with 3 for a log that cannot be read", () => {
    expect(run("gone.csv", "--at", "1")).toMatchObject({ status: 3, stdout: "" });
  });
});
