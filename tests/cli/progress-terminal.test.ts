import { spawnSync } from "node:child_process";
import { copyFileSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { homeleg, PROGRAM, temporaryFolder } from "../helpers/cli.js";

/** The one of util-linux gives a command a terminal of its own; others of that name have other options. */
const HAS_TERMINAL = spawnSync("script", ["--version"], { encoding: "utf8" }).stdout?.includes("util-linux") ?? false;
if (!HAS_TERMINAL) console.warn("No script of util-linux: progress is not tested on a terminal.");

const LOGS = 3;
const WIPE = "\r\u001b[2K";
const SITE = ["homeleg.yaml", "hill.asc", "obstacles.geojson"];

/** A folder with enough logs for the work to last longer than what shows no progress. */
function folderOfLogs(): string {
  const folder = temporaryFolder();
  for (const name of SITE) copyFileSync(join("fixtures/demo", name), join(folder, name));
  for (let i = 1; i <= LOGS; i += 1) {
    copyFileSync("fixtures/demo/4-late-into-wind.csv", join(folder, `flight-${i}.csv`));
  }
  return folder;
}

describe.skipIf(!HAS_TERMINAL)("progress on a terminal", () => {
  const cwd = folderOfLogs();
  const report = join(temporaryFolder(), "report.txt");

  /** What a terminal of so many columns gets of standard error, standard output going into a file. */
  const onTerminal = (args: string, columns = 80): string => {
    const command = `stty cols ${columns}; '${process.execPath}' '${PROGRAM}' audit . ${args} > '${report}'`;
    const { stdout } = spawnSync("script", ["-qec", command, "/dev/null"], { cwd, encoding: "utf8", input: "" });
    return stdout;
  };

  it("tells which log of how many, the rate and the time left, and wipes it at the end", () => {
    const seen = onTerminal("--jobs 1");
    const lines = seen.split(WIPE).slice(1);
    expect(lines.length).toBeGreaterThan(1);
    // The last thing is the wiping itself.
    expect(lines.pop()).toBe("");
    const logs = lines.map((line) => {
      const shown = /^log (\d) of 3, (\d+\.\d) MB\/s, (?:\d+ s|\d+ min \d\d s) left {2}(?:\.\.\.)?\S*$/.exec(line);
      expect(shown, line).not.toBeNull();
      expect(line.length).toBeLessThan(80);
      return Number(shown?.[1]);
    });
    expect(logs).toEqual(logs.toSorted((a, b) => a - b));
    expect(readFileSync(report, "utf8")).toMatch(/^3 logs, 3 flights/m);
  });

  it("shows on a terminal that does not know its width", () => {
    expect(onTerminal("--jobs 1", 0)).toMatch(/log 3 of 3, \d/);
  });

  it("shows nothing where it is quiet, nor where standard error is no terminal", () => {
    expect(onTerminal("--quiet --jobs 1")).toBe("");
    expect(homeleg(["audit", ".", "--jobs", "1"], { cwd }).stderr).toBe("");
  });
});
