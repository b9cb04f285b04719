import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { parse } from "yaml";
import { describe, expect, it } from "vitest";
import { homeleg, temporaryFolder } from "../helpers/cli.js";
import { random } from "../helpers/fit-logs.js";

const root = temporaryFolder();
let count = 0;

function folderWith(files: Readonly<Record<string, string>> = {}): string {
  const folder = join(root, String((count += 1)));
  mkdirSync(folder);
  for (const [name, text] of Object.entries(files)) {
    mkdirSync(join(folder, name, ".."), { recursive: true });
    writeFileSync(join(folder, name), text);
  }
  return folder;
}

/** A log of an invented flight: hover and cruise by turns, the reading in whole percents. */
function log(seed: number, factor = 1): string {
  const source = random(seed);
  const lines = ["time_s,latitude_deg,longitude_deg,height_above_takeoff_m,ground_speed_ms,battery_pct,airborne"];
  let charge_pct = 98 + source.uniform();
  let north_m = 0;
  for (let s = 0; s < 420; s += 1) {
    const isUp = s >= 5 && s < 415;
    const speed_ms = isUp && Math.floor(s / 60) % 2 === 0 ? 8 : 0;
    north_m += Math.floor(s / 120) % 2 === 0 ? speed_ms : -speed_ms;
    charge_pct -= (isUp ? (speed_ms > 0 ? 5 : 4) * factor : 0.1) / 60;
    const latitude_deg = 47 + north_m / 111_200;
    lines.push(
      [s, latitude_deg.toFixed(7), "8.0", isUp ? 30 : 0, speed_ms, Math.floor(charge_pct), isUp ? 1 : 0].join(","),
    );
  }
  return `${lines.join("\n")}\n`;
}

const LOGS = { "logs/a.csv": log(1), "logs/b.csv": log(2, 1.03), "logs/c.csv": log(3, 0.97) };

describe("homeleg fit", () => {
  it("pools logs, writes a file that homeleg.yaml can point to, and an audit declares it", () => {
    const folder = folderWith(LOGS);
    const run = homeleg(["fit", "logs", "-o", "aircraft.yaml"], { cwd: folder });
    expect(run.status, run.stderr).toBe(0);
    expect(run.stdout).toContain("Fitted from 3 of 3 logs, 3 flights");
    expect(run.stderr).toBe(
      "homeleg: aircraft.yaml is written; homeleg.yaml can point to it (aircraft: and its path from there).\n",
    );
    const { drain } = parse(readFileSync(join(folder, "aircraft.yaml"), "utf8")) as { drain: Record<string, string> };
    expect(Math.abs(Number.parseFloat(drain["hover"] ?? "") - 4)).toBeLessThan(0.2);
    expect(Math.abs(Number.parseFloat(drain["cruise"] ?? "") - 5)).toBeLessThan(0.2);
    writeFileSync(join(folder, "homeleg.yaml"), "aircraft: aircraft.yaml\n");
    const audit = homeleg(["audit", "--format", "json", "logs/a.csv"], { cwd: folder });
    const { logs } = JSON.parse(audit.stdout) as {
      logs: { flights: { drain: unknown }[]; declared_not_used: string[] }[];
    };
    expect(logs[0]?.flights[0]?.drain).toMatchObject({
      basis: "declared",
      hover_pct_per_min: Number.parseFloat(drain["hover"] ?? ""),
    });
    expect(logs[0]?.declared_not_used).toEqual([]);
  });

  it("never overwrites without --force, and never a log", () => {
    const folder = folderWith({ ...LOGS, "aircraft.yaml": "mine\n" });
    const kept = homeleg(["fit", "logs", "-o", "aircraft.yaml"], { cwd: folder });
    expect([kept.status, kept.stdout]).toEqual([2, ""]);
    expect(kept.stderr).toMatch(/aircraft\.yaml is there already, and was left as it is\. --force overwrites it/);
    expect(readFileSync(join(folder, "aircraft.yaml"), "utf8")).toBe("mine\n");
    expect(homeleg(["fit", "logs", "-o", "aircraft.yaml", "--force"], { cwd: folder }).status).toBe(0);
    expect(readFileSync(join(folder, "aircraft.yaml"), "utf8")).toContain("drain:");
    const onLog = homeleg(["fit", "logs", "-o", "logs/a.csv", "--force"], { cwd: folder });
    expect([onLog.status, onLog.stderr]).toEqual([
      2,
      expect.stringMatching(/--output logs\/a\.csv would be written over a log/),
    ]);
    expect(readFileSync(join(folder, "logs/a.csv"), "utf8")).toBe(LOGS["logs/a.csv"]);
    symlinkSync(resolve(folder, "nowhere"), join(folder, "link.yaml"));
    expect(homeleg(["fit", "logs", "-o", "link.yaml"], { cwd: folder }).status).toBe(2);
    expect(readdirSync(folder).filter((name) => name.endsWith(".part"))).toEqual([]);
  });

  it("refuses logs that do not agree, names the stranger, writes nothing, and ends with 1", () => {
    const folder = folderWith({ ...LOGS, "logs/d.csv": log(4), "logs/other.csv": log(5, 1.9) });
    const { status, stdout, stderr } = homeleg(["fit", "logs", "-o", "aircraft.yaml"], { cwd: folder });
    expect(status).toBe(1);
    expect(stdout.replaceAll(/\s+/g, " ")).toMatch(
      /These logs do not agree, and were not averaged\. logs\/other\.csv uses 1\.\d+ times/,
    );
    expect(stderr).toBe("homeleg: aircraft.yaml was not written.\n");
    expect(existsSync(join(folder, "aircraft.yaml"))).toBe(false);
  });

  it("is stopped by no bad log: it is named, the rest is fitted and written, and the run ends with 3", () => {
    const folder = folderWith({ ...LOGS, "logs/broken.csv": "this is, no\nlog at, all\n", "logs/empty.gpx": "" });
    const args = ["fit", "logs", "nowhere", "--format", "json", "-o", "a.yaml"];
    const { status, stdout } = homeleg(args, { cwd: folder });
    expect(status).toBe(3);
    const fit = JSON.parse(stdout) as {
      format: string;
      flights: number;
      logs: { path: string; problem: { code: string } | null }[];
    };
    expect([fit.format, fit.flights]).toEqual(["homeleg-fit", 3]);
    expect(fit.logs.filter(({ problem }) => problem !== null).map(({ path }) => path)).toEqual([
      "logs/broken.csv",
      "logs/empty.gpx",
      "nowhere",
    ]);
    expect(existsSync(join(folder, "a.yaml"))).toBe(true);
  });

  it("counts a copy once, and takes one log from standard input", () => {
    const folder = folderWith(LOGS);
    copyFileSync(join(folder, "logs/a.csv"), join(folder, "logs/z.csv"));
    const { stdout } = homeleg(["fit", "logs"], { cwd: folder });
    expect(stdout).toContain("Fitted from 3 of 4 logs");
    expect(stdout).toContain("logs/z.csv: It is the same log as logs/a.csv.");
    expect(homeleg(["fit", "-"], { cwd: folder, input: log(9) }).stdout).toContain("standard input");
  });

  it("predicts each log from the others with --check", () => {
    const folder = folderWith(LOGS);
    const { status, stdout } = homeleg(["fit", "--check", "--format", "json", "logs"], { cwd: folder });
    expect(status).toBe(0);
    const { check } = JSON.parse(stdout) as { check: { logs: unknown[]; within_upper: number; level_pct: number } };
    expect([check.logs.length, check.within_upper, check.level_pct]).toEqual([3, 3, 90]);
    const text = homeleg(["fit", "--check", "--set", "policy.upper=95%", "logs"], { cwd: folder }).stdout;
    expect(text).toMatch(/within {2}logs\/a\.csv/);
    expect(text.replaceAll(/\s+/g, " ")).toContain(
      "3 of 3 used no more than the upper prediction, which promises 95 %.",
    );
  });

  it("writes the rates alone to standard output where asked, and ends with 3 where there are none", () => {
    const folder = folderWith(LOGS);
    const { stdout } = homeleg(["fit", "logs", "-o", "-"], { cwd: folder });
    expect(Object.keys(parse(stdout) as object)).toContain("drain");
    const short = folderWith({ "a.csv": log(1).split("\n").slice(0, 60).join("\n") });
    const none = homeleg(["fit", "a.csv", "-o", "aircraft.yaml"], { cwd: short });
    expect([none.status, existsSync(join(short, "aircraft.yaml"))]).toEqual([3, false]);
    expect(none.stdout).toContain("No drain rate could be fitted");
  });

  it("reads the columns and the wind of homeleg.yaml, ends with 2 for a wrong one, and leaves the operator's track out", () => {
    const named = LOGS["logs/a.csv"].replace("battery_pct", "Pack");
    const yaml = 'columns: { battery: { column: "Pack", unit: "%" } }\noperator: { track: walk.csv }\n';
    const walk = log(8)
      .replace("time_s", "time_utc")
      .replaceAll(/^(\d+),/gm, (_, s: string) => `${new Date(1.75e12 + Number(s) * 1000).toISOString()},`);
    const folder = folderWith({ "logs/a.csv": named, "logs/walk.csv": walk, "logs/homeleg.yaml": yaml });
    const { status, stdout, stderr } = homeleg(["fit", "logs"], { cwd: folder });
    expect([status, stderr]).toEqual([0, "homeleg: logs/walk.csv is the operator's own track, and was left out.\n"]);
    expect(stdout).toContain("Fitted from 1 of 1 logs");
    writeFileSync(join(folder, "logs/homeleg.yaml"), "colums: {}\n");
    const wrong = homeleg(["fit", "logs", "-o", "a.yaml"], { cwd: folder });
    expect([wrong.status, wrong.stdout]).toEqual([2, ""]);
    expect(wrong.stderr).toMatch(/homeleg\.yaml:1:1 {2}`colums` is not a known key/);
  });
});
