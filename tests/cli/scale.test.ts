import { spawn } from "node:child_process";
import { once } from "node:events";
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { beforeAll, describe, expect, it } from "vitest";
import { RUN_SCHEMA } from "../../src/reporters/schemas/result-schema.js";
import { homeleg, PROGRAM, temporaryFolder } from "../helpers/cli.js";
import { csvOf } from "../helpers/csv.js";
import { landed, outAndBack } from "../helpers/flights.js";
import { writeTiff } from "../site/tiff-writer.js";

const folder = temporaryFolder();
const run = (...args: string[]): ReturnType<typeof homeleg> => homeleg(args, { cwd: folder });
const read = (...parts: string[]): string => readFileSync(join(folder, ...parts), "utf8");
/** A flight whose length tells it from the others. */
const flight = (outFor_s: number): string =>
  csvOf(
    landed(
      outAndBack({
        course_deg: 0,
        out_ms: 10,
        outFor_s,
        back_ms: 10,
        height_m: 40,
        battery_pct: 100,
        rate_pctPerMin: 6,
        step_s: 1,
      }),
    ).map((row) => ({ ...row, satellites: 15 })),
  );
const YAML = "settings: { recovery_height: 50 m }\noperator: at-takeoff\nsite: { terrain: flat, obstacles: [] }\n";
/** Empty cells that make a log large, so that threads are worth it, without making it long. */
const SPACE = `,${" ".repeat(200_000)}`;
const large = (log: string): string => {
  const lines = log.trimEnd().split("\n");
  return lines.map((line, i) => (i === 0 ? `${line},remark` : i % 10 === 0 ? line + SPACE : `${line},`)).join("\n");
};

beforeAll(() => {
  mkdirSync(join(folder, "season"));
  writeFileSync(join(folder, "season/homeleg.yaml"), YAML);
  [30, 400, 50, 60, 70].forEach((outFor_s, i) => writeFileSync(join(folder, `season/${i}.csv`), flight(outFor_s)));
  writeFileSync(join(folder, "season/bad.csv"), "no,log\n1,2\n");
  mkdirSync(join(folder, "large"));
  // What reads a GeoTIFF has to work in a thread too.
  const cells = Array.from({ length: 60 }, (_, y) => Array.from({ length: 60 }, (_, x) => 400 + ((x * y) % 5)));
  const keys = { 1024: 2, 1025: 1, 2048: 4326 };
  const scale = [0.002, 0.002, 0];
  writeFileSync(join(folder, "large/hill.tif"), writeTiff(cells, { keys, scale, tiepoint: [0, 0, 0, 7.94, 47.06, 0] }));
  writeFileSync(join(folder, "large/homeleg.yaml"), YAML.replace("flat", "hill.tif"));
  [30, 400, 50, 60].forEach((outFor_s, i) => writeFileSync(join(folder, `large/${i}.csv`), large(flight(outFor_s))));
  writeFileSync(join(folder, "large/bad.csv"), "no,log\n1,2\n");
});

describe("audit --jobs", () => {
  it("gives in threads what it gives in one, to the byte: result, moments, pages, map and messages", () => {
    const sizes = readdirSync(join(folder, "large")).map((name) => statSync(join(folder, "large", name)).size);
    // Enough for threads to be used: see WORTH_A_THREAD_BYTES.
    expect(sizes.reduce((sum, size) => sum + size, 0)).toBeGreaterThan(16e6);
    const formats = ["--format", "text,json,geojson,html"];
    const outputs = [1, 2].map((jobs) => {
      const place = `out${jobs}`;
      const given = ["--jobs", String(jobs), "--output", `${place}/`, "--moments", `moments${jobs}.csv`];
      const { status, stdout, stderr } = run("audit", "large", "gone.csv", ...formats, ...given);
      const files = readdirSync(join(folder, place)).sort();
      return {
        status,
        stdout,
        stderr,
        moments: read(`moments${jobs}.csv`),
        files: files.map((name) => [name, read(place, name)]),
      };
    });
    expect(outputs[0]?.status).toBe(3);
    const { logs } = RUN_SCHEMA.parse(JSON.parse(read("out2/result.json")));
    expect(logs.flatMap(({ flights }) => flights.map(({ coverage }) => coverage.rules["ceiling-low"]))).toEqual([
      1, 1, 1, 1,
    ]);
    expect(outputs[0]?.moments.split("\n").length).toBeGreaterThan(500);
    expect(outputs[1]).toEqual(outputs[0]);
    expect(readdirSync(folder).filter((name) => name.endsWith(".part"))).toEqual([]);
  });

  it("says once what is wrong with settings, and what stops the run", () => {
    writeFileSync(join(folder, "wrong.yaml"), "settings: { recovery_height: high }\n");
    const { status, stderr } = run("audit", "large", "--jobs", "2", "--config", "wrong.yaml");
    expect(status).toBe(2);
    expect(stderr.match(/wrong\.yaml:1/g)).toHaveLength(1);
    const unwritable = run("audit", "large", "--jobs", "2", "--moments", "nowhere/moments.csv");
    expect(unwritable.status).toBe(2);
    expect(unwritable.stderr).toMatch(/^homeleg: Cannot write nowhere\/moments\.csv.*\(ENOENT\)\..*\n$/);
  });
});

describe("audit --shard and merge", () => {
  const formats = ["text", "json", "ndjson", "csv", "junit", "markdown"];

  it("gives in parts what one run gives, to the byte and in every format, with the same exit code", () => {
    for (const part of [1, 2, 3]) {
      const place = `parts/${part}.json`;
      mkdirSync(join(folder, "parts"), { recursive: true });
      run(
        "audit",
        "season",
        "gone.csv",
        "--min-score",
        "80",
        "--shard",
        `${part}/3`,
        "--format",
        "json",
        "--output",
        place,
      );
    }
    const parts = ["parts/2.json", "parts/3.json", "parts/1.json"];
    const paths = parts.flatMap((part) => RUN_SCHEMA.parse(JSON.parse(read(part))).logs.map(({ path }) => path));
    expect([...paths].sort()).toEqual([
      "gone.csv",
      ...["0", "1", "2", "3", "4", "bad"].map((name) => `season/${name}.csv`),
    ]);
    const all = formats.join();
    const one = run("audit", "season", "gone.csv", "--min-score", "80", "--format", all, "--output", "one/");
    const merged = run("merge", ...parts, "--format", all, "--output", "merged/");
    expect({ status: merged.status, stdout: merged.stdout }).toEqual({ status: one.status, stdout: one.stdout });
    expect(one.status).toBe(3);
    const names = readdirSync(join(folder, "one"));
    expect(names.length).toBeGreaterThan(5);
    for (const name of names) expect(read("merged", name)).toBe(read("one", name));
  });

  it("writes the index of pages that the parts wrote", () => {
    for (const part of ["1/2", "2/2"]) {
      const file = `pages-${part[0]}.json`;
      const args = ["season/0.csv", "season/1.csv", "season/bad.csv", "--shard", part];
      run("audit", ...args, "--format", "html,json", "--output", "pages/");
      renameSync(join(folder, "pages/result.json"), join(folder, file));
    }
    expect(existsSync(join(folder, "pages/index.html"))).toBe(false);
    expect(run("merge", "pages-1.json", "pages-2.json", "--format", "html").stderr).toMatch(/Name their folder/);
    run("merge", "pages-1.json", "pages-2.json", "--format", "html", "--output", "pages/");
    run("audit", "season/0.csv", "season/1.csv", "season/bad.csv", "--format", "html", "--output", "allpages/");
    const names = readdirSync(join(folder, "allpages"));
    expect(readdirSync(join(folder, "pages")).sort()).toEqual(names.sort());
    for (const name of names) expect(read("pages", name)).toBe(read("allpages", name));
  });

  it("passes a part without logs", () => {
    const parts = [1, 2].map((part) => run("audit", "season/0.csv", "--shard", `${part}/2`, "--format", "json"));
    expect(parts.map(({ status }) => status)).toEqual([0, 0]);
    expect(parts.filter(({ stdout }) => JSON.parse(stdout).logs.length === 0)).toHaveLength(1);
  });

  it("does not write over a result that it reads", () => {
    const { status, stderr } = run("merge", "parts/1.json", "--output", "parts/1.json");
    expect(status).toBe(2);
    expect(stderr).toMatch(/would be written over the result parts\/1\.json/);
  });
});

describe("audit --files-from", () => {
  it("takes a path a line, or between NUL bytes, from a file or standard input", () => {
    const expected = run("audit", "season/0.csv", "season/2.csv", "--format", "json").stdout;
    writeFileSync(join(folder, "list.txt"), "season/0.csv\nseason/2.csv\n");
    expect(run("audit", "--files-from", "list.txt", "--format", "json").stdout).toBe(expected);
    const input = "season/0.csv\0season/2.csv\0";
    const piped = homeleg(["audit", "--files-from", "-", "--format", "json"], { cwd: folder, input });
    expect(piped.stdout).toBe(expected);
    expect(run("audit", "--files-from", "gone.txt").stderr).toMatch(
      /^homeleg: The list gone\.txt cannot be read \(ENOENT\)/,
    );
    expect(homeleg(["audit", "--files-from", "-"], { cwd: folder }).stderr).toMatch(/names no log/);
    const twice = homeleg(["audit", "-", "--files-from", "-"], { cwd: folder, input });
    expect(twice).toMatchObject({ status: 2, stdout: "" });
    expect(twice.stderr).toMatch(/^homeleg: Standard input cannot be both .*\n$/);
  });
});

describe("audit --cache", () => {
  const cached = (...args: string[]): ReturnType<typeof homeleg> => run("audit", ...args, "--cache", "cache");
  const entries = (): string[] =>
    readdirSync(join(folder, "cache"), { recursive: true, encoding: "utf8" })
      .filter((name) => name.endsWith(".json"))
      .sort();

  it("gives what it gave without, and makes nothing twice", () => {
    const args = ["season", "--format", "json,geojson,text", "--output"];
    const plain = run("audit", ...args, "plain/");
    const [first, second] = [cached(...args, "first/"), cached(...args, "second/")];
    expect(first).toEqual(plain);
    expect(second).toEqual(plain);
    for (const name of readdirSync(join(folder, "plain"))) {
      expect(read("first", name)).toBe(read("plain", name));
      expect(read("second", name)).toBe(read("plain", name));
    }
    expect(entries()).toHaveLength(6);
  });

  it("takes what is there without looking again, unless it is damaged", () => {
    const [entry = ""] = entries();
    const whole = read("cache", entry);
    const before = statSync(join(folder, "cache", entry)).mtimeMs;
    cached("season", "--format", "json,geojson,text", "--output", "again/");
    expect(statSync(join(folder, "cache", entry)).mtimeMs).toBe(before);
    for (const damaged of [whole.slice(0, -5), whole.replace(/"rows":\d+/, '"rows":7'), ""]) {
      writeFileSync(join(folder, "cache", entry), damaged);
      const { status, stderr } = cached("season", "--format", "json,geojson,text", "--output", "again/");
      expect({ status, stderr }).toEqual({ status: 3, stderr: "" });
      expect(read("again/result.json")).toBe(read("plain/result.json"));
      expect(read("cache", entry)).toBe(whole);
    }
  });

  it("makes an audit again when its log, its name, its settings, a site file or the formats have changed", () => {
    mkdirSync(join(folder, "changing"));
    writeFileSync(join(folder, "changing/obstacles.geojson"), '{"type":"FeatureCollection","features":[]}');
    writeFileSync(join(folder, "changing/homeleg.yaml"), YAML.replace("[]", "[obstacles.geojson]"));
    writeFileSync(join(folder, "changing/a.csv"), flight(30));
    const grows = (...args: string[]): boolean => {
      const before = entries().length;
      cached(...args);
      return entries().length > before;
    };
    expect(grows("changing")).toBe(true);
    expect(grows("changing")).toBe(false);
    expect(grows("changing", "--set", "wind.speed=3 m/s", "--set", "wind.from=90 deg")).toBe(true);
    expect(grows("changing", "--units", "imperial")).toBe(true);
    expect(grows("changing", "--format", "geojson")).toBe(true);
    expect(grows("changing", "--format", "geojson")).toBe(false);
    writeFileSync(join(folder, "changing/obstacles.geojson"), '{"type":"FeatureCollection","features":[ ]}');
    expect(grows("changing")).toBe(true);
    writeFileSync(join(folder, "changing/homeleg.yaml"), read("changing/homeleg.yaml").replace("50 m", "60 m"));
    expect(grows("changing")).toBe(true);
    writeFileSync(join(folder, "changing/a.csv"), flight(31));
    expect(grows("changing")).toBe(true);
    writeFileSync(join(folder, "changing/b.csv"), flight(31));
    expect(grows("changing")).toBe(true);
    expect(grows("changing")).toBe(false);
  });

  it("goes on without a cache that cannot be written to, and says so once", () => {
    writeFileSync(join(folder, "file"), "");
    const { status, stdout, stderr } = run("audit", "season/0.csv", "season/2.csv", "--cache", "file");
    expect(stdout).toBe(run("audit", "season/0.csv", "season/2.csv").stdout);
    expect(status).toBe(0);
    expect(stderr).toMatch(/^homeleg: Cannot write to the cache file \(E[A-Z]+\): .*\n$/);
  });

  it("reads standard input anew", () => {
    const input = flight(30);
    const first = homeleg(["audit", "-", "--cache", "piped"], { cwd: folder, input });
    expect(first.stdout).toMatch(/standard input/);
    expect(existsSync(join(folder, "piped"))).toBe(false);
  });
});

describe("an audit that is interrupted", () => {
  const many = join(folder, "many");
  beforeAll(() => {
    mkdirSync(many);
    const log = flight(60);
    for (let i = 0; i < 400; i += 1) writeFileSync(join(many, `${i}.csv`), log);
  });

  it("reports what was finished, says how much that is, and leaves nothing half", async () => {
    const args = [
      "audit",
      "many",
      "--format",
      "json",
      "--output",
      "early.json",
      "--cache",
      "early",
      "--moments",
      "early.csv",
    ];
    const child = spawn(process.execPath, [PROGRAM, ...args.slice(0, -2)], { cwd: folder });
    let stderr = "";
    child.stderr.on("data", (text: Buffer) => (stderr += text.toString()));
    const ended = once(child, "exit");
    while (!existsSync(join(folder, "early"))) await wait(10);
    child.kill("SIGINT");
    expect(await ended).toEqual([130, null]);
    const result = RUN_SCHEMA.parse(JSON.parse(read("early.json")));
    expect(result.logs.length).toBeGreaterThan(0);
    expect(result.logs.length).toBeLessThan(400);
    expect(result.summary.gate.reasons[0]).toEqual({
      code: "interrupted",
      message: `The run was interrupted after ${result.logs.length} of 400 logs.`,
    });
    expect(stderr).toBe(`homeleg: Interrupted: ${result.logs.length} of 400 logs were finished, and are reported.\n`);
    const left = readdirSync(folder, { recursive: true, encoding: "utf8" }).filter((name) => name.endsWith(".part"));
    expect(left).toEqual([]);
  });

  it("ends at once, and leaves nothing half, when it is told to end", async () => {
    const child = spawn(
      process.execPath,
      [PROGRAM, "audit", "many", "--moments", "ended.csv", "--output", "ended.txt"],
      {
        cwd: folder,
      },
    );
    const ended = once(child, "exit");
    const part = (): string | undefined => readdirSync(folder).find((name) => name.endsWith(".part"));
    while (part() === undefined) await wait(10);
    child.kill("SIGTERM");
    expect(await ended).toEqual([null, "SIGTERM"]);
    expect(part()).toBeUndefined();
    expect(existsSync(join(folder, "ended.txt"))).toBe(false);
    expect(existsSync(join(folder, "ended.csv"))).toBe(false);
  });
});
