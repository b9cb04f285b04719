import { describe, expect, it } from "vitest";
import { parseConfig } from "../../src/config/load-config.js";
import { linesOf } from "./lines-of.js";

/** @returns the mistakes in a homeleg.yaml, as `line:column  message` */
async function mistakesIn(text: string): Promise<string[]> {
  const lines = await linesOf(parseConfig(text, "homeleg.yaml"));
  return lines.map((line) => line.replace(/^homeleg\.yaml:/, ""));
}

describe("a mistake in a value", () => {
  it.each([
    ["settings: { recovery_height: 60 kg }", "1:30  `60 kg` is not a length. Write metres or feet, such as `60 m`."],
    ["settings: { recovery_height: -5 m }", "1:30  `settings.recovery_height` is `-5 m`. It must be at least 0 m."],
    [
      "settings: { recovery_height: [60] }",
      "1:30  `settings.recovery_height` is a list. Write metres or feet, such as `60 m`.",
    ],
    [
      "settings: { recovery_height: }",
      "1:13  `settings.recovery_height` has no value. Write metres or feet, such as `60 m`.",
    ],
    [
      "settings: { lost_link_action: retrun }",
      "1:31  `settings.lost_link_action` is `retrun`. Did you mean `return`? Write `return`, `land` or `hold`.",
    ],
    ["settings: { near: { radius: 10 m } }", "1:13  `settings.near` needs `action`. Write `land`, `level` or `climb`."],
    [
      "settings: [1]",
      "1:11  `settings` is a list. Write its keys: `recovery_height`, `recovery_height_above`, `lost_link_action`, `trigger_delay`, ….",
    ],
    ["aircraft: { speeds: { landing: 0 } }", "1:32  `aircraft.speeds.landing` is `0`. It must be more than 0 m/s."],
    [
      "aircraft: { battery: { cells: 3.5 } }",
      "1:31  `aircraft.battery.cells` is `3.5`. It must be a whole number, at least 1.",
    ],
    ["aircraft: { name: 5 }", "1:19  `aircraft.name` is `5`. Write a name."],
    [
      "aircraft: { endurance: { hover: 25 min }, body: { mass: 1, rotors: 4, rotor_diameter: 1 } }",
      "1:49  `aircraft.body` stands beside `aircraft.endurance`. Declare only one of `drain`, `power`, `endurance` and `body`.",
    ],
    [
      "aircraft: { drain: { hover: 4, climb: 6, cruise: 5 } }",
      "1:13  `aircraft.drain` needs `descent`. Write percent a minute, such as `5 %/min`.",
    ],
    [
      "recovery_point: { latitude: 90.1, longitude: 0 }",
      "1:29  `recovery_point.latitude` is `90.1`. It must be at least -90 deg and at most 90 deg.",
    ],
    [
      "recovery_point: 5",
      "1:17  `recovery_point` is `5`. Write `{ latitude, longitude }`, or a list of `{ at, latitude, longitude }`.",
    ],
    ["recovery_point: []", "1:17  `recovery_point` is a list. Write a point, or a list of points with their times."],
    [
      "recovery_point:\n  - { at: 6:52, latitude: 1, longitude: 2 }\n  - { at: 412, latitude: 1, longitude: 2 }",
      "3:11  `recovery_point.1.at` is `412`. It must be later than the point before, 412 s.",
    ],
    [
      "operator: { latitude: 1 }",
      "1:11  `operator` is neither a position nor a track. Write `at-takeoff`, `{ latitude, longitude }` or `{ track: file }`.",
    ],
    ["operator: 5", "1:11  `operator` is `5`. Write `at-takeoff`, `{ latitude, longitude }` or `{ track: file }`."],
    ["operator: at_takeoff", "1:11  The file `at_takeoff` does not exist. Did you mean `at-takeoff`?"],
    [
      "wind: calm",
      "1:7  The file `calm` does not exist. `wind` takes its keys, or the path of a file that holds them.",
    ],
    [
      "wind: { speed: 15 kt, from: 270, gust: 5 kt }",
      "1:40  `wind.gust` is `5 kt`. It must be at least the wind's speed, 7.72 m/s.",
    ],
    [
      "wind: { speed: 5, from: 270, gust: 4 m/s }",
      "1:36  `wind.gust` is `4 m/s`. It must be at least the wind's speed, 5 m/s.",
    ],
    [
      "wind: { speed: 5, from: 270, shear: 1.5 }",
      "1:37  `wind.shear` is `1.5`. It must be at least -0.2 and at most 1.",
    ],
    [
      "wind: { speed: 5, from: 270, roughness: 2 m }",
      "1:41  `wind.roughness` is `2 m`. It must be more than 0 m and at most 1.6 m.",
    ],
    [
      "wind: { speed: 5, from: 270, shear: 0.2, roughness: 0.1 m }",
      "1:53  `wind.roughness` stands beside `wind.shear`. Declare one of them: `shear` is the power law, `roughness` the log law.",
    ],
    [
      "site: { terrain: 5 }",
      "1:18  `site.terrain` is `5`. Write `flat`, a path, `{ file, surface, error, projection }`, or a list of those, finest first.",
    ],
    ["site: { terrain: [flat] }", "1:19  `site.terrain.0` is `flat`. `flat` stands alone, outside a list."],
    ["site: { terrain: [] }", "1:18  `site.terrain` is a list. Name at least one file."],
    [
      "site: { terrain: { file: a, surface: maybe } }",
      "1:38  `site.terrain.surface` is `maybe`. Write `true` or `false`.",
    ],
    [
      "site: { obstacles: none }",
      "1:20  `site.obstacles` is `none`. Write a list of paths, such as `[ masts.geojson ]`; `[]` declares that there are none.",
    ],
    [
      "site: { zones: ['  '] }",
      "1:17  `site.zones.0` is `  `. Write the path of a file, relative to the file that names it.",
    ],
    [
      "site: { zones: [''] }",
      "1:17  `site.zones.0` is empty. Write the path of a file, relative to the file that names it.",
    ],
    [
      "policy: { touchdown_reserve: 101 % }",
      "1:30  `policy.touchdown_reserve` is `101 %`. It must be at least 0 % and at most 100 %.",
    ],
    ["policy: { link: 0.3 }", "1:17  `0.3` may be meant as 30 % or as 0.3 %. Write `30 %` or `0.3 %`."],
    ["policy: { upper: 100 % }", "1:18  `policy.upper` is `100 %`. It must be at least 50 % and under 100 %."],
    ["policy: { upper: 49 % }", "1:18  `policy.upper` is `49 %`. It must be at least 50 % and under 100 %."],
    [
      "policy: { coverage_floor: 80 }",
      "1:27  `policy.coverage_floor` is `80`. It must be at least 0 and at most 1. A percentage takes its sign: `80 %`.",
    ],
    [
      "policy: { adrift: { thin: 40, fail: 35 ft } }",
      "1:27  `policy.adrift.thin` is `40`. It must be at most `policy.adrift.fail`, 10.668 m.",
    ],
    [
      "policy: { adrift: { fail: 5 m } }",
      "1:27  `policy.adrift.fail` is `5 m`. It must be at least `policy.adrift.thin`, 15 m by default.",
    ],
    [
      "policy: { conduct_points: { thin: 7 } }",
      "1:35  `policy.conduct_points.thin` is `7`. It must be at most `policy.conduct_points.fail`, 6 by default.",
    ],
    [
      "policy: { fix: { satellites: 3 } }",
      "1:30  `policy.fix.satellites` is `3`. It must be at least `policy.fix.least_satellites`, 4 by default.",
    ],
    [
      "policy: { adrift: { away: 181 } }",
      "1:27  `policy.adrift.away` is `181`. It must be at least 0 deg and at most 180 deg.",
    ],
    [
      "policy: { touchdown_reserve: 5 % }",
      "1:30  `policy.touchdown_reserve` is `5 %`. It must be at least `policy.touchdown_floor`, 10 % by default.",
    ],
    [
      "policy: { low_battery_floor: 5 % }",
      "1:30  `policy.low_battery_floor` is `5 %`. It must be at least `policy.touchdown_floor`, 10 % by default.",
    ],
    [
      "policy: { signoff: { must_be_clear: reserve-short } }",
      "1:37  `policy.signoff.must_be_clear` is `reserve-short`. Write a list of rules: `[ reserve-short ]`.",
    ],
    [
      "policy: { signoff: { must_be_clear: [reserve-shrt] } }",
      "1:38  `policy.signoff.must_be_clear.0` is `reserve-shrt`. Did you mean `reserve-short`? Write the id of a rule.",
    ],
    ["rules: { fix-weak: off }", '1:20  `rules.fix-weak` is `off`. Write `{ off: "the reason" }`.'],
    [
      "rules: { fix-weak: { off: '' } }",
      "1:27  `rules.fix-weak.off` is empty. Write the reason why it is off: it is repeated in every report.",
    ],
    ["columns: { time: 5 }", "1:18  `columns.time` is `5`. Write the name of a column, or `{ column, unit }`."],
    [
      "columns: { time: { unit: s } }",
      "1:12  `columns.time` needs `column`. Write the name of a column, in quotes where it is a number.",
    ],
  ])("%s", async (text, line) => {
    expect(await mistakesIn(text)).toEqual([line]);
  });

  it("that equals its bound is none", async () => {
    const text =
      "wind: { speed: 5, from: 360, gust: 5, shear: -0.2 }\nsettings: { recovery_height: 0 }\n" +
      "policy: { adrift: { thin: 30 }, upper: 50, touchdown_floor: 25 }\nrecovery_point: { latitude: -90, longitude: 180 }";
    expect(await mistakesIn(text)).toEqual([]);
  });
});

describe("an unknown key", () => {
  it.each([
    [
      "settings: { recovry_height: 60 }",
      "1:13  `settings.recovry_height` is not a known key. Did you mean `recovery_height`?",
    ],
    ["setings: {}", "1:1  `setings` is not a known key. Did you mean `settings`?"],
    ["trigger_delay: 3 s", "1:1  `trigger_delay` is not a known key. It belongs under `settings`."],
    ["recovery_height: 3 m", "1:1  `recovery_height` is not a known key. It belongs under `settings` or `columns`."],
    [
      "rules: { reserve-shrot: { off: x } }",
      "1:10  `rules.reserve-shrot` is not a known key. Did you mean `reserve-short`?",
    ],
    ["columns: { batery: x }", "1:12  `columns.batery` is not a known key. Did you mean `battery`?"],
    [
      "site: { terrain: [{ file: a, surfce: true }] }",
      "1:30  `site.terrain.0.surfce` is not a known key. Did you mean `surface`?",
    ],
    [
      "wind: { speed: 1, from: 2, __proto__: { a: 1 } }",
      "1:28  `wind.__proto__` is not a known key. Known here: `speed`, `from`, `gust`, `height`, `shear`, `roughness`.",
    ],
    [
      "wind: { speed: 1, from: 2, constructor: 3 }",
      "1:28  `wind.constructor` is not a known key. Known here: `speed`, `from`, `gust`, `height`, `shear`, `roughness`.",
    ],
    ["rules: { toString: { off: x } }", /^1:10 {2}`rules.toString` is not a known key. Known here: `reserve-short`, /],
    ["<<: { a: 1 }", /^1:1 {2}`<<` is not a known key. Known here: `aircraft`, /],
  ])("%s", async (text, line) => {
    const [first] = await mistakesIn(text);
    if (typeof line === "string") expect(first).toBe(line);
    else expect(first).toMatch(line);
  });
});

it("tells an unknown key beside what its absence leads to", async () => {
  expect(await mistakesIn("operator: { trak: a }")).toEqual([
    "1:11  `operator` is neither a position nor a track. Write `at-takeoff`, `{ latitude, longitude }` or `{ track: file }`.",
    "1:13  `operator.trak` is not a known key. Did you mean `track`?",
  ]);
});

it("tells all mistakes at once, in the order of lines", async () => {
  const text = `settings:
  recovry_height: 50 m
  trigger_delay: 3 kg
wind: { speed: 5, gust: 4 }
policy:
  upper: 100
  adrift: { thin: 40 }
rules: { fix-week: { off: x } }
`;
  expect(await mistakesIn(text)).toEqual([
    "2:3  `settings.recovry_height` is not a known key. Did you mean `recovery_height`?",
    "3:18  `3 kg` is not a time. Write ms, s, min, h, d or hh:mm:ss, such as `3 s`.",
    "4:1  `wind` needs `from`. Write degrees or radians, such as `270 deg`.",
    "4:25  `wind.gust` is `4`. It must be at least the wind's speed, 5 m/s.",
    "6:10  `policy.upper` is `100`. It must be at least 50 % and under 100 %.",
    "7:19  `policy.adrift.thin` is `40`. It must be at most `policy.adrift.fail`, 30 m by default.",
    "8:10  `rules.fix-week` is not a known key. Did you mean `fix-weak`?",
  ]);
});

it("does not complain of an order when one of the two could not be read", async () => {
  expect(
    await mistakesIn("policy: { touchdown_floor: 30 %, touchdown_reserve: 60 kg, low_battery_floor: 40 % }"),
  ).toEqual(["1:53  `60 kg` is not a percentage. Write percent, such as `60 %`."]);
});
