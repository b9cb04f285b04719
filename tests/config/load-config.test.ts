import { createHash } from "node:crypto";
import { mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { loadConfig, NOTHING_DECLARED, parseConfig, type ConfigOptions } from "../../src/config/load-config.js";
import { UserError } from "../../src/user-error.js";
import { linesOf } from "./lines-of.js";

let cwd = "";

beforeEach(async () => {
  cwd = await mkdtemp(join(tmpdir(), "homeleg-config-"));
});

afterEach(async () => {
  await rm(cwd, { recursive: true });
});

async function write(path: string, text: string): Promise<void> {
  await mkdir(dirname(join(cwd, path)), { recursive: true });
  await writeFile(join(cwd, path), text);
}

const load = (options: Partial<ConfigOptions> = {}) => loadConfig({ sets: [], cwd, ...options });

describe("discovery", () => {
  it("takes the nearest homeleg.yaml upward, named relative to the working folder", async () => {
    await write("homeleg.yaml", "wind: { speed: 1, from: 0 }");
    await write("flights/homeleg.yaml", "\nwind: { speed: 2, from: 0 }");
    await mkdir(join(cwd, "flights/may/3rd"), { recursive: true });
    await mkdir(join(cwd, "other"));
    const near = await load({ startFolder: "flights/may/3rd" });
    expect(near.declared.wind?.speed_ms).toBe(2);
    expect(near.places.get("wind.speed")).toBe("flights/homeleg.yaml:2");
    const far = await load({ startFolder: "other" });
    expect(far.places.get("wind.speed")).toBe("homeleg.yaml:1");
    const above = await load({ startFolder: "may", cwd: join(cwd, "flights") });
    expect(above.files.map(({ path }) => path)).toEqual(["homeleg.yaml"]);
  });

  it("names it absolutely where the folder was given so", async () => {
    await write("a/homeleg.yaml", "site: { obstacles: [m.geojson] }");
    const { declared, files } = await load({ startFolder: join(cwd, "a") });
    expect(files[0]?.path).toBe(join(cwd, "a/homeleg.yaml"));
    expect(declared.site.obstacles).toEqual([join(cwd, "a/m.geojson")]);
  });

  it("records the file's digest", async () => {
    await write("homeleg.yaml", "# nothing\n");
    const { files } = await load({ startFolder: "." });
    expect(files).toEqual([{ path: "homeleg.yaml", sha256: createHash("sha256").update("# nothing\n").digest("hex") }]);
  });

  it("declares nothing where there is no file, or where none is looked for", async () => {
    await write("homeleg.yaml", "wind: { speed: 1, from: 0 }");
    const config = await load();
    expect(config.declared).toBe(NOTHING_DECLARED);
    expect([config.places.size, config.written.size, config.files.length]).toEqual([0, 0, 0]);
    await rm(join(cwd, "homeleg.yaml"));
    expect((await load({ startFolder: "." })).declared).toBe(NOTHING_DECLARED);
  });

  it("stops at a homeleg.yml, unless the right one lies beside it", async () => {
    await write("a/homeleg.yml", "");
    await mkdir(join(cwd, "a/b"));
    await expect(load({ startFolder: "a/b" })).rejects.toThrow(UserError);
    await expect(load({ startFolder: "a/b" })).rejects.toMatchObject({
      line: "a/homeleg.yml  Settings are looked for in homeleg.yaml only. Rename it to homeleg.yaml, or name it with --config.",
    });
    await write("a/homeleg.yaml", "");
    expect((await load({ startFolder: "a/b" })).files).toHaveLength(1);
  });

  it("reads the file that is named instead", async () => {
    await write("homeleg.yaml", "wind: { speed: 1, from: 0 }");
    await write("mine/club.yml", "wind: { speed: 3, from: 0 }");
    const { places } = await load({ startFolder: ".", configPath: "mine/club.yml" });
    expect(places.get("wind")).toBe("mine/club.yml:1");
  });

  it("says so when that cannot be read", async () => {
    expect(await linesOf(load({ configPath: "no.yaml" }))).toEqual(["The settings file no.yaml does not exist."]);
    expect(await linesOf(load({ configPath: "." }))).toEqual(["The settings file . cannot be read (a folder)."]);
  });
});

describe("a section in a file of its own", () => {
  it("is read relative to the file that names it, and so are the paths in it", async () => {
    await write(
      "a/homeleg.yaml",
      "aircraft: fleet/trainer.yaml\nsite: ../sites/hill/site.yaml\nrecovery_point: r.yaml\n",
    );
    await write("a/fleet/trainer.yaml", "name: trainer\nspeeds:\n  climb: 400 ft/min\n");
    await write(
      "sites/hill/site.yaml",
      "terrain: [fine.asc, { file: dem/coarse.asc }]\nobstacles: [../masts.geojson]\n",
    );
    await write("a/r.yaml", "- { at: 0, latitude: 1, longitude: 2 }\n- { at: 5, latitude: 1, longitude: 2 }\n");
    const { declared, places, written, files } = await load({ startFolder: "a" });
    expect(declared.aircraft).toMatchObject({ name: "trainer", speeds_ms: { climb: 2.032 } });
    expect(declared.site).toMatchObject({
      terrain: { files: [{ path: "sites/hill/fine.asc" }, { path: "sites/hill/dem/coarse.asc" }] },
      obstacles: ["sites/masts.geojson"],
    });
    expect(declared.recoveryPoints).toHaveLength(2);
    expect(places.get("aircraft")).toBe("a/homeleg.yaml:1");
    expect(places.get("aircraft.speeds.climb")).toBe("a/fleet/trainer.yaml:3");
    expect(written.get("aircraft.speeds.climb")).toBe("400 ft/min");
    expect(files.map(({ path }) => path)).toEqual([
      "a/homeleg.yaml",
      "a/fleet/trainer.yaml",
      "a/r.yaml",
      "sites/hill/site.yaml",
    ]);
    expect(files.every(({ sha256 }) => /^[0-9a-f]{64}$/.test(sha256))).toBe(true);
  });

  it("has its own places in mistakes, told with those of the other files", async () => {
    await write(
      "homeleg.yaml",
      "aircraft: a.yaml\nsite: s.yaml\nwind: w.yaml\nrules: r.yaml\npolicy: no.yaml\nsettings: { nea: 1 }\n",
    );
    await write("a.yaml", "name: x\nspeeds: { climb: 3 kg }\nspeed: {}\n");
    await write("s.yaml", "- masts.geojson\n");
    await write("w.yaml", "speed: [\n");
    await write("r.yaml", "");
    expect(await linesOf(load({ startFolder: "." }))).toEqual([
      "homeleg.yaml:5:9  The file `no.yaml` does not exist. `policy` takes its keys, or the path of a file that holds them.",
      "homeleg.yaml:6:13  `settings.nea` is not a known key. Did you mean `near`?",
      "a.yaml:2:18  `3 kg` is not a speed. Write m/s, km/h, mph, kt or ft/min, such as `3 m/s`.",
      "a.yaml:3:1  `aircraft.speed` is not a known key. Did you mean `speeds`?",
      "w.yaml:2:1  This cannot be read as YAML: Flow sequence in block collection must be sufficiently indented and end with a ].",
      "s.yaml:1:1  This file must hold the keys of `site`.",
    ]);
  });

  it("may be empty, and may serve twice", async () => {
    await write("homeleg.yaml", "wind: e.yaml\naircraft: e.yaml");
    await write("e.yaml", "");
    const { declared, files } = await load({ startFolder: "." });
    expect(declared).toStrictEqual(NOTHING_DECLARED);
    expect(files).toHaveLength(2);
  });

  it("is not an empty word, nor anything but text", async () => {
    expect(await linesOf(parseConfig("wind: ''\nsite: 5", "homeleg.yaml"))).toEqual([
      "homeleg.yaml:1:7  `wind` is empty. Write its keys: `speed`, `from`, `gust`, `height`, ….",
      "homeleg.yaml:2:7  `site` is `5`. Write its keys: `terrain`, `obstacles`, `zones`, `default_heights`.",
    ]);
  });
});

describe("--set", () => {
  it("goes over the file, creates what is missing, and takes YAML", async () => {
    await write("a/homeleg.yaml", "settings: { recovery_height: 200 ft, turn_time: 4 }\noperator: at-takeoff\n");
    const { declared, places, written } = await load({
      startFolder: "a",
      sets: [
        "settings.recovery_height=60 m",
        "settings.recovery_height = 70 m",
        "site.obstacles=[ masts.geojson ]",
        "wind={ speed: 5 m/s, from: 270 }",
        "policy.touchdown_reserve=30 %",
        "policy.adrift.fail=40",
        "policy.adrift.away=60 deg",
        "policy.fix.jump=72 km/h",
        "policy.action_signs.still=0.5",
        "policy.cell_sag.margin=50 mV",
        "policy.cell_sag.known=80 %",
        "operator.track=phone.gpx",
        "rules.link-fading.off=no link column",
      ],
    });
    expect(declared.settings).toMatchObject({ recoveryHeight_m: 70, turnTime_s: 4 });
    expect(declared.site.obstacles).toEqual(["masts.geojson"]);
    expect(declared.wind).toMatchObject({ speed_ms: 5, from_deg: 270 });
    expect(declared.policy).toEqual({
      touchdown_reserve: 30,
      "adrift.fail": 40,
      "adrift.away": 60,
      "fix.jump": 20,
      "action_signs.still": 0.5,
      "cell_sag.margin": 0.05,
      "cell_sag.known": 0.8,
    });
    expect(declared.operator).toEqual({ kind: "track", path: "phone.gpx" });
    expect(places.get("settings.recovery_height")).toBe("--set");
    expect(places.get("policy")).toBe("--set");
    expect(places.get("settings.turn_time")).toBe("a/homeleg.yaml:1");
    expect(written.get("settings.recovery_height")).toBe("70 m");
    expect(written.get("settings.turn_time")).toBe("4");
  });

  it("needs no file", async () => {
    const { declared, files } = await load({ sets: ["site.obstacles=[]"] });
    expect(declared.site.obstacles).toEqual([]);
    expect(files).toEqual([]);
  });

  it("reaches into a section that is a file, or names one in the working folder", async () => {
    await write("a/homeleg.yaml", "aircraft: trainer.yaml\nsite: missing.yaml");
    await write("a/trainer.yaml", "name: trainer\nspeeds: { climb: 3 }");
    await write("site.yaml", "terrain: hill.asc");
    const { declared, places } = await load({ startFolder: "a", sets: ["aircraft.speeds.climb=2", "site=site.yaml"] });
    expect(declared.aircraft).toMatchObject({ name: "trainer", speeds_ms: { climb: 2 } });
    expect(declared.site.terrain).toMatchObject({ files: [{ path: "hill.asc" }] });
    expect(places.get("site.terrain")).toBe("site.yaml:1");
  });

  it("without a value takes a section away", async () => {
    const { declared } = await parseConfig("wind: { speed: 5, from: 0 }", "homeleg.yaml", { sets: ["wind="] });
    expect(declared.wind).toBeUndefined();
  });

  it.each([
    [
      "settings.recovry_height=5",
      "--set  `settings.recovry_height` is not a known key. Did you mean `recovery_height`?",
    ],
    ["setings.recovery_height=5", "--set  `setings` is not a known key. Did you mean `settings`?"],
    ["__proto__.polluted=5", /^--set {2}`__proto__` is not a known key\. Known here: /],
    ["settings.recovery_height=60 kg", "--set  `60 kg` is not a length. Write metres or feet, such as `60 m`."],
    [
      "settings.recovery_height=",
      "--set  `settings.recovery_height` has no value. Write metres or feet, such as `60 m`.",
    ],
    [
      "settings.recovery_height",
      "--set  `settings.recovery_height` is not an assignment. Write `key=value`, such as `settings.recovery_height=50 m`.",
    ],
    ["=5", "--set  `=5` is not an assignment. Write `key=value`, such as `settings.recovery_height=50 m`."],
    [
      "wind..speed=5",
      "--set  `wind..speed=5` is not an assignment. Write `key=value`, such as `settings.recovery_height=50 m`.",
    ],
    ["wind={ speed: 5", "--set  This cannot be read as YAML: Flow map must end with a }."],
    ["wind={ speed: 5, from: 0, from: 1 }", "--set  `from` is given twice. Keep one of them."],
    ["recovery_point.0.at=5", "--set  `recovery_point.0.at` is inside a list. Set the whole list."],
    [
      "aircraft=no.yaml",
      "--set  The file `no.yaml` does not exist. `aircraft` takes its keys, or the path of a file that holds them.",
    ],
  ])("%s", async (set, line) => {
    const run = parseConfig("recovery_point: [ { at: 0, latitude: 1, longitude: 2 } ]", "homeleg.yaml", {
      sets: [set],
    });
    const [first, ...others] = await linesOf(run);
    if (typeof line === "string") expect(first).toBe(line);
    else expect(first).toMatch(line);
    expect(others).toEqual([]);
    expect(Object.hasOwn(Object.prototype, "polluted")).toBe(false);
  });

  it("has its mistakes told after those of the files", async () => {
    const run = parseConfig("wind: { sped: 5 }", "homeleg.yaml", { sets: ["nope", "policy.upper=5"] });
    expect(await linesOf(run)).toEqual([
      "homeleg.yaml:1:1  `wind` needs `speed`. Write m/s, km/h, mph, kt or ft/min, such as `5 m/s`.",
      "homeleg.yaml:1:1  `wind` needs `from`. Write degrees or radians, such as `270 deg`.",
      "homeleg.yaml:1:9  `wind.sped` is not a known key. Did you mean `speed`?",
      "--set  `nope` is not an assignment. Write `key=value`, such as `settings.recovery_height=50 m`.",
      "--set  `policy.upper` is `5`. It must be at least 50 % and under 100 %.",
    ]);
  });
});

it("lets what is no mistake of the user's through as it is", async () => {
  const readFile = () => Promise.reject(new Error("disk on fire"));
  await expect(parseConfig("wind: a.yaml", "homeleg.yaml", { readFile })).rejects.toThrow("disk on fire");
});
