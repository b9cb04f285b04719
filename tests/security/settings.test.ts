import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { parseConfig } from "../../src/config/load-config.js";
import { loadSetting } from "../../src/load-setting.js";
import { lineOf } from "./line-of.js";

const root = mkdtempSync(join(tmpdir(), "homeleg-settings-"));
const club = join(root, "club");
afterAll(() => rmSync(root, { recursive: true }));

const MAP = '{"type":"FeatureCollection","features":[]}';
beforeAll(() => {
  mkdirSync(join(club, "site"), { recursive: true });
  writeFileSync(join(club, "site", "near.geojson"), MAP);
  writeFileSync(join(root, "far.geojson"), MAP);
  writeFileSync(join(root, "wind.yaml"), "speed: 5\nfrom: 270\n");
  symlinkSync(join(root, "far.geojson"), join(club, "link.geojson"));
  symlinkSync("loop.geojson", join(club, "loop.geojson"));
  execFileSync("mkfifo", [join(club, "pipe")]);
});

/** Loads a homeleg.yaml of the club. */
function load(text: string): ReturnType<typeof loadSetting> {
  writeFileSync(join(club, "homeleg.yaml"), text);
  return loadSetting({ startFolder: "club", cwd: root });
}

describe("YAML that would grow", () => {
  it("aliases of aliases: one line, at once", async () => {
    const levels = Array.from({ length: 12 }, (_, k) => `l${k + 1}: &l${k + 1} [${`*l${k},`.repeat(9)}]`);
    const text = ["l0: &l0 [x]", ...levels].join("\n");
    expect(await lineOf(parseConfig(text, "homeleg.yaml"))).toMatch(/There are more than 100 aliases\./);
  });

  it("an alias of itself, and nesting without end: one line", async () => {
    expect(await lineOf(parseConfig("x: &x [*x]", "homeleg.yaml"))).toMatch(/nested too deeply/);
    const deep = `${"[".repeat(50_000)}${"]".repeat(50_000)}`;
    expect(await lineOf(parseConfig(`x: ${deep}`, "homeleg.yaml"))).toMatch(/nested too deeply/);
  });

  it("thousands of wrong keys: a line each, in a moment", async () => {
    const text = Array.from({ length: 4000 }, (_, k) => `key${k}: 1`).join("\n");
    const began = process.cpuUsage();
    expect((await lineOf(parseConfig(text, "homeleg.yaml"))).split("\n").length).toBeGreaterThan(0);
    expect(process.cpuUsage(began).user / 1e6).toBeLessThan(8);
  });

  it("a file of megabytes: one line, not read to its end", async () => {
    expect(await lineOf(load(`# ${"x".repeat(2_000_000)}\n`))).toBe(
      "The settings file club/homeleg.yaml cannot be read (over 1 MB).",
    );
  });
});

describe("YAML that would do more than say values", () => {
  it.each([
    "!!js/function 'x'",
    "!!binary aGk=",
    "!!set { a, b }",
    "!!omap [ a: 1 ]",
    "!include /etc/passwd",
    "!<tag:yaml.org,2002:python/object> x",
  ])("the tag of %s is not read", async (value) => {
    expect(await lineOf(parseConfig(`wind: ${value}`, "homeleg.yaml"))).toMatch(
      /^homeleg\.yaml:1:\d+ {2}.*(?:The tag .* is not read|cannot be read)/,
    );
  });

  it.each(["__proto__", "constructor", "prototype", "hasOwnProperty", "toString"])(
    "the key %s is an unknown key, and changes no object",
    async (key) => {
      const unknown = new RegExp(`\`(wind\\.)?${key}\` is not a known key`);
      for (const text of [`${key}: { polluted: 1 }`, `wind: { speed: 1, from: 2, ${key}: { polluted: 1 } }`]) {
        expect(await lineOf(parseConfig(text, "homeleg.yaml"))).toMatch(unknown);
      }
      expect(await lineOf(parseConfig("{}", "homeleg.yaml", { sets: [`${key}.polluted=1`] }))).toMatch(unknown);
      expect(Object.hasOwn(Object.prototype, "polluted")).toBe(false);
      expect(({} as Record<string, unknown>)["polluted"]).toBeUndefined();
    },
  );
});

describe("files that settings name", () => {
  it("inside of their folder: nothing is said", async () => {
    const { problems } = await load("site: { obstacles: [ site/near.geojson ] }");
    expect(problems).toEqual([]);
  });

  it.each([
    ["by a path upward", "site: { obstacles: [ site/near.geojson, ../far.geojson ] }", "far.geojson"],
    ["by an absolute path", `site: { zones: [ ${join(root, "far.geojson")} ] }`, join(root, "far.geojson")],
    ["by a link", "site: { obstacles: [ link.geojson ] }", "club/link.geojson"],
    ["as a section", "wind: ../wind.yaml", "wind.yaml"],
  ])("outside of it %s: allowed, and noted", async (_label, text, path) => {
    const { problems } = await load(text);
    expect(problems).toEqual([
      {
        severity: "note",
        code: "settings-outside",
        message: `The settings rest on files outside their folder: ${path}.`,
        line: undefined,
      },
    ]);
  });

  it("by --set: the pilot has said so, and it is not noted", async () => {
    writeFileSync(join(club, "homeleg.yaml"), "wind: { speed: 1, from: 2 }");
    const { problems } = await loadSetting({ startFolder: "club", cwd: root, sets: ["site.obstacles=[far.geojson]"] });
    expect(problems).toEqual([]);
  });

  it.each([
    [
      "a device without end",
      "site: { obstacles: [ /dev/zero ] }",
      /The file \/dev\/zero cannot be read \(a device\)\./,
    ],
    ["the same as terrain", "site: { terrain: /dev/zero }", /The file \/dev\/zero cannot be read \(a device\)\./],
    ["the same as a section", "aircraft: /dev/zero", /The file `\/dev\/zero` cannot be read \(a device\)\./],
    ["the same as a track", "operator: { track: /dev/zero }", /The file \/dev\/zero cannot be read \(a device\)\./],
    [
      "a pipe",
      "site: { obstacles: [ pipe ] }",
      /The file club\/pipe cannot be read \(a pipe that nothing writes to\)\./,
    ],
    ["a pipe as terrain", "site: { terrain: pipe }", /The file club\/pipe cannot be read \(a pipe, and/],
    ["a folder", "site: { obstacles: [ site ] }", /The file club\/site cannot be read \(a folder\)\./],
    [
      "a link to itself",
      "site: { obstacles: [ loop.geojson ] }",
      /The file club\/loop\.geojson cannot be read \(ELOOP\)\./,
    ],
  ])("%s: one line, and no waiting", async (_label, text, line) => {
    expect(await lineOf(load(text))).toMatch(line);
  });

  it("a map larger than one is read: one line, with what raises it", async () => {
    writeFileSync(join(club, "large.geojson"), MAP.padEnd(5000));
    expect(await lineOf(load("{ site: { obstacles: [ large.geojson ] }, reading: { map: 4 kB } }"))).toBe(
      "club/large.geojson  This map is larger than 4 kB. If it is to be read all the same, raise `reading.map` (--set reading.map=…).",
    );
  });
});

describe("a homeleg.yaml that cannot be read", () => {
  it("is not passed over: a link that leads nowhere, or round in a circle", async () => {
    for (const [name, to] of [
      ["gone", "nowhere.yaml"],
      ["round", "homeleg.yaml"],
    ] as const) {
      mkdirSync(join(root, name));
      symlinkSync(to, join(root, name, "homeleg.yaml"));
      const line = await lineOf(loadSetting({ startFolder: name, cwd: root }));
      expect(line).toMatch(new RegExp(`^The settings file ${name}/homeleg\\.yaml (does not exist|cannot be read)`));
    }
  });
});
