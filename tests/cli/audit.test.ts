import { execFileSync } from "node:child_process";
import { chmodSync, lstatSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import { describe, expect, it } from "vitest";
import { RUN_SCHEMA } from "../../src/reporters/schemas/result-schema.js";
import { RULES } from "../../src/rules/index.js";
import { homeleg, PROGRAM, temporaryFolder } from "../helpers/cli.js";
import { csvOf } from "../helpers/csv.js";
import { landed, outAndBack } from "../helpers/flights.js";

const folder = temporaryFolder();
const plan = {
  course_deg: 0,
  out_ms: 10,
  outFor_s: 60,
  back_ms: 10,
  height_m: 40,
  battery_pct: 100,
  rate_pctPerMin: 6,
  step_s: 0.5,
};
const good = landed(outAndBack(plan)).map((row) => ({ ...row, satellites: 15 }));
const late = landed(outAndBack({ ...plan, outFor_s: 440 })).map((row) => ({ ...row, satellites: 15 }));
const YAML = `aircraft:
  speeds: { recovery: 10 m/s, climb: 3 m/s, descent: 3 m/s, landing: 0.8 m/s }
settings: { recovery_height: 50 m }
operator: at-takeoff
wind: { speed: 2 m/s, from: 270 deg }
site: { terrain: flat, obstacles: [] }
`;
const put = (name: string, text: string | Uint8Array): string => {
  const path = join(folder, name);
  mkdirSync(join(path, ".."), { recursive: true });
  writeFileSync(path, text);
  return path;
};
put("homeleg.yaml", YAML);
put("good.csv", csvOf(good));
put("late.csv", csvOf(late));

describe("homeleg audit", () => {
  it("passes a good flight with exit 0 and says so", () => {
    const { status, stdout, stderr } = homeleg(["audit", "good.csv"], { cwd: folder });
    expect(stderr).toBe("");
    expect(stdout).toMatch(/^CLEAR {2}score 100 of 100, coverage 100 %$/m);
    expect(stdout).toMatch(/Gate passed\./);
    expect(status).toBe(0);
  });

  it("fails a late flight with exit 1 and the findings", () => {
    const { status, stdout } = homeleg(["audit", "late.csv"], { cwd: folder });
    expect(status).toBe(1);
    expect(stdout).toMatch(/^FAIL {2}score \d+ of 100/m);
    expect(stdout).toMatch(/^FAIL {2}reserve-short/m);
  });

  it("writes JSON that its schema accepts, the same every time, and nothing else", () => {
    const run = homeleg(["audit", "--format", "json", "good.csv", "late.csv"], { cwd: folder });
    const parsed = RUN_SCHEMA.parse(JSON.parse(run.stdout));
    expect(parsed.logs.map(({ path }) => path)).toEqual(["good.csv", "late.csv"]);
    expect(parsed.config).toMatchObject([{ path: "homeleg.yaml" }]);
    expect(parsed.summary).toMatchObject({ logs: 2, flights: 2, gate: { passed: false } });
    expect(homeleg(["audit", "--format", "json", "good.csv", "late.csv"], { cwd: folder }).stdout).toBe(run.stdout);
    const lines = homeleg(["audit", "--format", "ndjson", "good.csv", "late.csv"], { cwd: folder })
      .stdout.trimEnd()
      .split("\n");
    expect(lines.map((line): unknown => JSON.parse(line))).toEqual(parsed.logs);
  });

  it("reads standard input", () => {
    const run = homeleg(["audit", "--format", "json", "-"], { cwd: folder, input: csvOf(good) });
    const fromFile = homeleg(["audit", "--format", "json", "good.csv"], { cwd: folder });
    const flights = (text: string): unknown => RUN_SCHEMA.parse(JSON.parse(text)).logs[0]?.flights;
    expect(run.status).toBe(0);
    expect(flights(run.stdout)).toEqual(flights(fromFile.stdout));
  });

  it("searches folders downward in the order of names, links that go round once", () => {
    const season = join(folder, "season");
    put("season/b/2.csv", csvOf(good));
    put("season/a.csv", csvOf(good));
    put("season/.hidden.csv", "no");
    put("season/notes.md", "no");
    symlinkSync(season, join(season, "b", "round"));
    const run = homeleg(["audit", "--format", "json", "season"], { cwd: folder });
    const { logs } = RUN_SCHEMA.parse(JSON.parse(run.stdout));
    expect(logs.map(({ path }) => path)).toEqual(["season/a.csv", "season/b/2.csv"]);
    expect(run.status).toBe(0);
  });

  it("goes on after a bad log: one line for it, exit 3", () => {
    put("bad.csv", "");
    const run = homeleg(["audit", "--format", "json", "bad.csv", "good.csv"], { cwd: folder });
    const { logs, summary } = RUN_SCHEMA.parse(JSON.parse(run.stdout));
    expect(run.status).toBe(3);
    expect(summary).toMatchObject({ logs: 2, logs_unreadable: 1, flights: 1 });
    expect(logs[0]).toMatchObject({ parser: null, bytes: 0, flights: [] });
    expect(logs[0]?.problems).toHaveLength(1);
    const text = homeleg(["audit", "bad.csv", "good.csv"], { cwd: folder });
    expect(text.stdout).toMatch(/^bad\.csv {2}not read$/m);
    expect(text.stdout).toMatch(/CLEAR {2}score 100/);
  });

  it.each([
    ["an empty file", "", /empty/],
    ["a header without rows", "time_s,latitude_deg,longitude_deg\n", /no (data )?rows|only a header/i],
    ["no position", "time_s,battery_pct\n0,100\n1,99\n", /latitude/],
    [
      "a picture",
      Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13, 0x49, 0x48, 0x44, 0x52]),
      /picture|image/i,
    ],
  ])("says in one line why not: %s", (name, content, message) => {
    const path = put("why.csv", content);
    const { status, stdout, stderr } = homeleg(["audit", path], { cwd: folder });
    expect(status, name).toBe(3);
    expect(stdout.replace(/\s+/g, " ")).toMatch(message);
    expect(stdout + stderr).not.toMatch(/ {4}at |node:internal/);
    const json = homeleg(["audit", "--format", "json", path], { cwd: folder });
    expect(
      RUN_SCHEMA.parse(JSON.parse(json.stdout)).logs[0]?.problems.filter(({ severity }) => severity === "error"),
    ).toHaveLength(1);
  });

  it("says in one line what a path did not lead to, and goes on with the others", () => {
    mkdirSync(join(folder, "no-logs"));
    const run = homeleg(["audit", "gone.csv", "no-logs", "good.csv"], { cwd: folder });
    expect(run.status).toBe(3);
    expect(run.stdout).toMatch(
      /^gone\.csv {2}not read\n {2}error: There is no file or folder gone\.csv\. Check the path\.$/m,
    );
    expect(run.stdout).toMatch(/^no-logs {2}not read\n {2}error: There is no log in the folder no-logs\./m);
    expect(run.stdout).toMatch(/^CLEAR {2}score 100/m);
    expect(run.stderr).toBe("");
    const nothing = homeleg(["audit", "--quiet", "gone.csv"], { cwd: folder });
    expect(nothing.status).toBe(3);
    expect(nothing.stdout).toMatch(/No moment of the run could be judged\./);
  });

  it("stops only the logs of a wrong settings file, and says its mistakes once", () => {
    put("broken/homeleg.yaml", "settings: { trigger_dely: 3 s }\n");
    put("broken/a.csv", csvOf(good));
    put("broken/b/b.csv", csvOf(good));
    const run = homeleg(["audit", "--format", "json", "broken", "good.csv"], { cwd: folder });
    expect(run.status).toBe(2);
    expect(run.stderr.trimEnd().split("\n")).toHaveLength(1);
    const { logs } = RUN_SCHEMA.parse(JSON.parse(run.stdout));
    expect(logs.map(({ flights, problems }) => [flights.length, problems[0]?.code])).toEqual([
      [0, "settings-wrong"],
      [0, "settings-wrong"],
      [1, undefined],
    ]);
  });

  it("does not take the operator's own track in the folder for a flight", () => {
    const walk = `<gpx version="1.1" creator="t"><trk><trkseg><trkpt lat="47" lon="8"><time>2026-01-01T00:00:00Z</time></trkpt><trkpt lat="47" lon="8"><time>2026-01-01T01:00:00Z</time></trkpt></trkseg></trk></gpx>`;
    put("walked/phone.gpx", walk);
    put("walked/homeleg.yaml", "operator: { track: phone.gpx }\n");
    put("walked/a.csv", csvOf(good));
    const { logs } = RUN_SCHEMA.parse(
      JSON.parse(homeleg(["audit", "--format", "json", "walked"], { cwd: folder }).stdout),
    );
    expect(logs.map(({ path }) => path)).toEqual(["walked/a.csv"]);
    const alone = homeleg(["audit", "--format", "json", "walked/phone.gpx"], { cwd: folder });
    expect(alone.status).toBe(3);
    expect(alone.stderr).toBe("homeleg: walked/phone.gpx is the operator's own track, and was left out.\n");
    expect(RUN_SCHEMA.parse(JSON.parse(alone.stdout)).logs).toEqual([]);
  });

  it.runIf(process.getuid?.() !== 0)("says so for a file it may not read", () => {
    chmodSync(put("secret.csv", csvOf(good)), 0);
    expect(homeleg(["audit", "secret.csv"], { cwd: folder }).stdout).toMatch(/cannot be read \(EACCES\)/);
  });

  it("says all mistakes of a settings file at once, each with its place", () => {
    put("wrong/homeleg.yaml", "settings:\n  recovery_hight: 50 m\n  trigger_delay: 3 kg\n");
    put("wrong/a.csv", csvOf(good));
    const { status, stdout, stderr } = homeleg(["audit", "wrong/a.csv"], { cwd: folder });
    expect(status).toBe(2);
    expect(stdout).toBe("");
    const lines = stderr.trimEnd().split("\n");
    expect(lines).toHaveLength(2);
    expect(stderr).toMatch(/wrong\/homeleg\.yaml:2:3 .*recovery_height/);
    expect(stderr).toMatch(/wrong\/homeleg\.yaml:3:18 .*3 kg/);
  });

  it("says so for --set of an unknown key or a wrong unit", () => {
    const unknown = homeleg(["audit", "--set", "policy.clearence=15 m", "good.csv"], { cwd: folder });
    expect(unknown.status).toBe(2);
    expect(unknown.stderr).toMatch(/^homeleg: .*clearence.*clearance/);
    const unit = homeleg(["audit", "--set", "policy.clearance=15 s", "good.csv"], { cwd: folder });
    expect(unit.status).toBe(2);
    expect(unit.stderr).toMatch(/^homeleg: .*15 s/);
  });

  it("takes --set over the file, and --config instead of the one found", () => {
    const high = homeleg(["audit", "--format", "json", "--set", "settings.recovery_height=200 ft", "good.csv"], {
      cwd: folder,
    });
    const input = RUN_SCHEMA.parse(JSON.parse(high.stdout)).logs[0]?.flights[0]?.inputs["settings.recovery_height"];
    expect(input).toMatchObject({ value: 60.96, unit: "m", basis: "declared", from: "--set" });
    put("other.yaml", "settings: { recovery_height: 70 m }\n");
    const other = homeleg(["audit", "--format", "json", "--config", "other.yaml", "good.csv"], { cwd: folder });
    const { logs, config } = RUN_SCHEMA.parse(JSON.parse(other.stdout));
    expect(config).toMatchObject([{ path: "other.yaml" }]);
    expect(logs[0]?.flights[0]?.inputs["settings.recovery_height"]).toMatchObject({ value: 70 });
    expect(logs[0]?.flights[0]?.score).toBeNull();
    expect(other.status).toBe(1);
    expect(
      homeleg(["audit", "--min-coverage", "0", "--config", "other.yaml", "good.csv"], { cwd: folder }).status,
    ).toBe(0);
  });

  it("gates by score, coverage and thin findings", () => {
    expect(homeleg(["audit", "--min-score", "100", "good.csv"], { cwd: folder }).status).toBe(0);
    expect(homeleg(["audit", "--min-coverage", "100%", "good.csv"], { cwd: folder }).status).toBe(0);
    const thin = homeleg(["audit", "--set", "policy.touchdown_reserve=90 %", "good.csv"], { cwd: folder });
    expect(thin.status).toBe(0);
    const strict = homeleg(["audit", "--gate", "thin", "--set", "policy.touchdown_reserve=90 %", "good.csv"], {
      cwd: folder,
    });
    expect(strict.status).toBe(1);
    expect(
      homeleg(["audit", "--min-score", "100", "--set", "policy.touchdown_reserve=90 %", "good.csv"], { cwd: folder })
        .status,
    ).toBe(1);
  });

  it("writes files whole: the report and every moment", () => {
    const run = homeleg(
      ["audit", "--output", "report.json", "--format", "json", "--moments", "moments.csv", "good.csv"],
      { cwd: folder },
    );
    expect(run).toMatchObject({ status: 0, stdout: "" });
    const { logs } = RUN_SCHEMA.parse(JSON.parse(readFileSync(join(folder, "report.json"), "utf8")));
    const rows: Record<string, string>[] = parse(readFileSync(join(folder, "moments.csv")), { columns: true });
    const flight = logs[0]?.flights[0];
    expect(rows).toHaveLength(Math.round(((flight?.end_s ?? 0) - (flight?.start_s ?? 0)) / 0.5) + 1);
    expect(Object.keys(rows[0] ?? {}).slice(0, 14)).toEqual([
      "at_s",
      "weight_s",
      "latitude_deg",
      "longitude_deg",
      "height_m",
      "distance_m",
      "battery_pct",
      "need_middle_pct",
      "need_upper_pct",
      "touchdown_middle_pct",
      "touchdown_upper_pct",
      "ground_speed_ms",
      "clearance_centre_m",
      "clearance_corridor_m",
    ]);
    for (const row of rows.slice(10, 20)) {
      const left = Number(row["battery_pct"]) - Number(row["need_middle_pct"]);
      expect(left).toBeCloseTo(Number(row["touchdown_middle_pct"]), 5);
      expect(row["reserve-short"]).toBe("clear");
    }
    homeleg(["audit", "--moments", "moments.ndjson", "--quiet", "good.csv"], { cwd: folder });
    const first: unknown = JSON.parse(readFileSync(join(folder, "moments.ndjson"), "utf8").split("\n")[10] ?? "");
    expect(first).toMatchObject({ at_s: 5, weight_s: 0.5, flight: 1, log: "good.csv", "reserve-short": "clear" });
    expect(readdirSync(folder).filter((name) => name.endsWith(".part"))).toEqual([]);
  });

  it("writes over no log, nor one output over the other", () => {
    const before = readFileSync(join(folder, "good.csv"));
    for (const args of [
      ["--output", "good.csv"],
      ["--moments", "./good.csv"],
      ["--output", "x.csv", "--moments", "x.csv"],
    ]) {
      const run = homeleg(["audit", ...args, "good.csv"], { cwd: folder });
      expect(run.status).toBe(2);
      expect(run.stderr).toMatch(/would be written over/);
    }
    expect(readFileSync(join(folder, "good.csv"))).toEqual(before);
    expect(readdirSync(folder)).not.toContain("x.csv");
  });

  it("writes through a link, into a pipe, and to standard output for -", () => {
    put("real.txt", "old");
    symlinkSync(join(folder, "real.txt"), join(folder, "link.txt"));
    homeleg(["audit", "--quiet", "--output", "link.txt", "good.csv"], { cwd: folder });
    expect(readFileSync(join(folder, "real.txt"), "utf8")).toMatch(/^CLEAR/);
    expect(lstatSync(join(folder, "link.txt")).isSymbolicLink()).toBe(true);
    expect(homeleg(["audit", "--quiet", "--output", "-", "good.csv"], { cwd: folder }).stdout).toMatch(/^CLEAR/);
    expect(readdirSync(folder)).not.toContain("-");
    const pipe = join(folder, "pipe.fifo");
    execFileSync("mkfifo", [pipe]);
    const piped = execFileSync(
      "sh",
      ["-c", `cat pipe.fifo & "$0" "$1" audit --quiet --output pipe.fifo good.csv; wait`, process.execPath, PROGRAM],
      {
        cwd: folder,
        encoding: "utf8",
      },
    );
    expect(piped).toMatch(/^CLEAR/);
    expect(lstatSync(pipe).isFIFO()).toBe(true);
  });

  it("leaves nothing behind where it cannot write", () => {
    const run = homeleg(["audit", "--output", "nowhere/report.txt", "good.csv"], { cwd: folder });
    expect(run.status).toBe(2);
    expect(run.stderr).toMatch(/^homeleg: Cannot write nowhere\/report\.txt \(ENOENT\)/);
    expect(homeleg(["audit", "--moments", "moments.txt", "good.csv"], { cwd: folder }).stderr).toMatch(
      /neither in \.csv nor in \.ndjson/,
    );
  });

  it("is quiet, imperial and plain where asked", () => {
    expect(homeleg(["audit", "--quiet", "good.csv"], { cwd: folder }).stdout).toMatch(
      /^CLEAR +score 100 {2}coverage 100 % {2}good\.csv\n/,
    );
    expect(homeleg(["audit", "--units", "imperial", "good.csv"], { cwd: folder }).stdout).toMatch(/ft flown/);
    expect(homeleg(["audit", "--ascii", "late.csv"], { cwd: folder }).stdout).toMatch(/^[\n -~]*$/);
    // oxlint-disable-next-line no-control-regex
    expect(homeleg(["audit", "--color", "always", "late.csv"], { cwd: folder }).stdout).toMatch(/\u001b\[/);
    expect(homeleg(["audit", "--explain-score", "late.csv"], { cwd: folder }).stdout).toMatch(/How the score adds up/);
  });
});

describe("wrong usage", () => {
  it.each([
    [["audit"], /^homeleg: There is no log to audit\./],
    [["audit", "--format", "pdf", "x.csv"], /^homeleg: There is no format "pdf"\. There are text, json, ndjson, /],
    [["audit", "--min-score", "abc", "x.csv"], /It must be a number from 0 to 100/],
    [["audit", "--min-coverage", "2", "x.csv"], /It must be a share from 0 to 1/],
    [["audti"], /Did you mean audit\?/],
    [["audit", "--gaet", "thin", "x.csv"], /Did you mean --gate\?/],
  ] as const)("%j: one clear line and exit 2", (args, message) => {
    const { status, stdout, stderr } = homeleg(args, { cwd: folder });
    expect(status).toBe(2);
    expect(stdout).toBe("");
    expect(stderr).toMatch(message);
  });

  it("helps on a screen, with examples and exit codes", () => {
    const { status, stdout } = homeleg(["--help"]);
    expect(status).toBe(0);
    expect(stdout.split("\n").length).toBeLessThanOrEqual(42);
    for (const line of stdout.split("\n")) expect(line.length, line).toBeLessThanOrEqual(80);
    expect(stdout).toMatch(/Examples:/);
    expect(stdout).toMatch(/Exit codes:/);
    expect(homeleg(["audit", "--help"]).stdout).toMatch(/--moments <file>/);
  });
});

describe("homeleg rules", () => {
  it("lists every rule, and explains one with its limits and sources", () => {
    const list = homeleg(["rules"]);
    expect(list.stdout.match(/^[a-z]+(-[a-z]+)+$/gm)).toHaveLength(RULES.length);
    const one = homeleg(["rules", "reserve-short"]).stdout;
    expect(one).toMatch(/policy\.touchdown_floor = 10 % {2}\(project default\)/);
    expect(one).toMatch(/policy\.touchdown_reserve = 25 % {2}\(common practice, no source\)/);
    expect(JSON.parse(homeleg(["rules", "--format", "json"]).stdout)).toHaveLength(RULES.length);
  });

  it("suggests the nearest rule for a mistyped one", () => {
    expect(homeleg(["rules", "cieling-low"])).toMatchObject({
      status: 2,
      stderr: "homeleg: There is no rule cieling-low. Did you mean ceiling-low? `homeleg rules` lists all.\n",
    });
  });
});
