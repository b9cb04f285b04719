import { linkSync, mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { parse } from "csv-parse/sync";
import { beforeAll, describe, expect, it } from "vitest";
import { RUN_SCHEMA } from "../../src/reporters/schemas/result-schema.js";
import { homeleg, temporaryFolder } from "../helpers/cli.js";
import { csvOf } from "../helpers/csv.js";
import { UNSAFE } from "../helpers/hostile.js";
import { landed, outAndBack } from "../helpers/flights.js";

const folder = temporaryFolder();
const LOG = csvOf(
  landed(
    outAndBack({
      course_deg: 0,
      out_ms: 10,
      outFor_s: 60,
      back_ms: 10,
      height_m: 40,
      battery_pct: 100,
      rate_pctPerMin: 6,
      step_s: 1,
    }),
  ).map((row) => ({ ...row, satellites: 15 })),
);
const run = (...args: string[]): ReturnType<typeof homeleg> => homeleg(["audit", ...args], { cwd: folder });
const read = (...parts: string[]): string => readFileSync(join(folder, ...parts), "utf8");

beforeAll(() => {
  writeFileSync(join(folder, "a.csv"), LOG);
  writeFileSync(
    join(folder, "homeleg.yaml"),
    "settings: { recovery_height: 50 m }\noperator: at-takeoff\nwind: { speed: 2 m/s, from: 270 deg }\nsite: { terrain: flat, obstacles: [] }\n",
  );
});

describe("audit --format and --output", () => {
  it("writes one format to standard output, and nothing else", () => {
    expect(parse(run("--format", "csv", "a.csv").stdout, { columns: true })).toHaveLength(1);
    expect(run("--format", "junit", "a.csv").stdout).toMatch(/^<\?xml/);
    expect(run("--format", "geojson", "a.csv").stdout).toMatch(/^\{"type":"FeatureCollection"/);
    expect(run("--format", "markdown", "a.csv").stdout).toMatch(/^# Recovery audit\n/);
    expect(run("--format", "json", "--output", "-", "a.csv").stdout).toBe(run("--format", "json", "a.csv").stdout);
  });

  it("writes several formats into a folder that it makes, and text to standard output", () => {
    const formats = ["--format", "text,json", "--format", "csv,junit", "--format", "geojson,markdown,ndjson"];
    const { status, stdout, stderr } = run(...formats, "--output", "new/results/", "a.csv");
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
    expect(stdout).toBe(run("a.csv").stdout);
    expect(readdirSync(join(folder, "new/results")).sort()).toEqual([
      "findings.csv",
      "flights.csv",
      "flights.geojson",
      "junit.xml",
      "record.md",
      "result.json",
      "result.ndjson",
    ]);
    expect(read("new/results/result.json")).toBe(run("--format", "json", "a.csv").stdout);
    const [row] = parse<Record<string, string>>(read("new/results/flights.csv"), { columns: true });
    const flight = RUN_SCHEMA.parse(JSON.parse(read("new/results/result.json"))).logs[0]?.flights[0];
    expect(row).toMatchObject({ score: String(flight?.score), farthest_m: String(flight?.farthest_m) });
  });

  it("writes the same bytes every time", () => {
    for (const name of ["one", "two"])
      run("--format", "json,csv,junit,geojson,markdown", "--output", `${name}/`, "a.csv");
    for (const file of readdirSync(join(folder, "one"))) expect(read("one", file)).toBe(read("two", file));
  });

  it("takes a folder that is there without the slash, and writes even a lone text into it", () => {
    mkdirSync(join(folder, "there"));
    expect(run("--output", "there", "a.csv")).toMatchObject({ status: 0, stdout: "" });
    expect(readdirSync(join(folder, "there"))).toEqual(["report.txt"]);
  });

  it("writes text to standard output beside one file", () => {
    const { stdout } = run("--format", "text,json", "--output", "beside.json", "a.csv");
    expect(stdout).toMatch(/^CLEAR/m);
    expect(read("beside.json")).toBe(run("--format", "json", "a.csv").stdout);
  });

  it.each([
    [["--format", "xml"], /^homeleg: There is no format "xml"\. There are text, json, ndjson, csv, .*\.\n$/],
    [["--format", "json,,csv", "--output", "x/"], /^homeleg: There is no format ""\. There are .*\n$/],
    [["--format", "json,csv"], /^homeleg: Several formats \(json, csv\) cannot share standard output\. Name a folder/],
    [["--format", "json,csv", "--output", "x.json"], /^homeleg: Several formats .* cannot share the file x\.json\. /],
  ])("says in one line what is wrong with %j", (args, message) => {
    const { status, stdout, stderr } = run(...args, "a.csv");
    expect({ status, stdout }).toEqual({ status: 2, stdout: "" });
    expect(stderr).toMatch(message);
    expect(stderr.trimEnd().split("\n")).toHaveLength(1);
  });

  it("never writes over a log, whatever it is called", () => {
    mkdirSync(join(folder, "logs"), { recursive: true });
    writeFileSync(join(folder, "logs/flights.csv"), LOG);
    symlinkSync("logs/flights.csv", join(folder, "soft.csv"));
    linkSync(join(folder, "logs/flights.csv"), join(folder, "hard.csv"));
    for (const [args, target] of [
      [["--output", "logs/flights.csv"], "logs/flights.csv"],
      [["--format", "csv", "--output", "logs/"], "logs/flights.csv"],
      [["--output", "soft.csv"], "soft.csv"],
      [["--output", "hard.csv"], "hard.csv"],
      [["--moments", "hard.csv"], "hard.csv"],
    ] as const) {
      const { status, stderr } = run(...args, "logs/flights.csv");
      expect(status).toBe(2);
      expect(stderr).toBe(
        `homeleg: ${args[0] === "--moments" ? "--moments" : "--output"} ${target} would be written over the log logs/flights.csv. Nothing was written there; choose another name.\n`,
      );
    }
    expect(read("logs/flights.csv")).toBe(LOG);
  });

  it("lets no output write over another", () => {
    const { status, stderr } = run("--format", "csv", "--output", "same/", "--moments", "same/flights.csv", "a.csv");
    expect(status).toBe(2);
    expect(stderr).toMatch(/^homeleg: --moments same\/flights\.csv would be written over what --output writes\./);
  });

  it("says so where the folder cannot be made", () => {
    const { status, stderr } = run("--format", "json", "--output", "a.csv/x/", "a.csv");
    expect(status).toBe(2);
    expect(stderr).toMatch(/^homeleg: Cannot make the folder a\.csv\/x\/ \(ENOTDIR\)\./);
  });

  it("audits a log that is reached twice once, and says so", () => {
    writeFileSync(join(folder, "b.csv"), LOG);
    symlinkSync("b.csv", join(folder, "link.csv"));
    const { status, stdout, stderr } = run("--format", "json", "b.csv", "./b.csv", "link.csv", "b.csv");
    expect(status).toBe(0);
    expect(RUN_SCHEMA.parse(JSON.parse(stdout)).summary).toMatchObject({ logs: 1, flights: 1 });
    expect(stderr.split("\n")).toEqual([
      "homeleg: ./b.csv is the same file as b.csv, and is taken once.",
      "homeleg: link.csv is the same file as b.csv, and is taken once.",
      "homeleg: b.csv is given twice, and is taken once.",
      "",
    ]);
  });

  it("keeps the names of files and obstacles harmless in every format, and on standard error", () => {
    const name = "=1\u001b[31m<b>\u202e.csv";
    const wall = {
      type: "Polygon",
      coordinates: [
        [
          [7.99, 47.001],
          [8.01, 47.001],
          [8.01, 47.002],
          [7.99, 47.002],
          [7.99, 47.001],
        ],
      ],
    };
    const properties = { name: '<script>alert("x")</script>\u001b[2J\u202e|`', height: 200 };
    mkdirSync(join(folder, "bad"));
    writeFileSync(join(folder, "bad", name), LOG);
    writeFileSync(
      join(folder, "bad/site.geojson"),
      JSON.stringify({ type: "FeatureCollection", features: [{ type: "Feature", geometry: wall, properties }] }),
    );
    writeFileSync(
      join(folder, "bad/homeleg.yaml"),
      "settings: { recovery_height: 50 m }\nsite: { terrain: flat, obstacles: [site.geojson] }\n",
    );
    const formats = ["text", "csv", "junit", "geojson", "markdown"];
    for (const format of formats) {
      const { status, stdout } = run("--format", format, "bad");
      expect(status).toBe(1);
      expect(stdout, format).not.toMatch(UNSAFE);
      if (format !== "csv") expect(stdout, format).toContain("script");
      if (format !== "text" && format !== "geojson") expect(stdout, format).not.toContain("<script>");
    }
    const { stderr } = run("bad", join("bad", name));
    expect(stderr).toMatch(/^homeleg: bad\/=1\\u\{1b\}/);
    expect(stderr).not.toMatch(UNSAFE);
  });

  it("shows no progress where standard error is no terminal", () => {
    const { stderr } = run(...Array.from({ length: 3 }, (_, i) => (i === 0 ? "a.csv" : i === 1 ? "b.csv" : "new")));
    for (const sign of ["MB/s", "\r", "\u001b"]) expect(stderr).not.toContain(sign);
  });
});
