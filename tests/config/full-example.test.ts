import { describe, expect, it } from "vitest";
import type { Declared } from "../../src/config/declared.js";
import { NOTHING_DECLARED, parseConfig } from "../../src/config/load-config.js";
import { declaredNotUsedYet } from "../../src/config/not-used-yet.js";
import { POLICY } from "../../src/config/policy.js";
import { FULL_EXAMPLE } from "./full-example.js";

const EXPECTED: Declared = {
  aircraft: {
    name: "trainer",
    capacity_mAh: 5200,
    nominalVoltage_V: 14.8,
    cells: 4,
    cellFloor_V: 3.4,
    speeds_ms: { recovery: 10, climb: 3, descent: 3, landing: 0.8 },
    drain_pctPerMin: { hover: 4, climb: 6, cruise: 5, descent: 3.5 },
    drainSpread_pct: 10,
    drainTied: [],
    power_W: undefined,
    endurance_s: undefined,
    body: undefined,
  },
  settings: {
    recoveryHeight_m: 50,
    recoveryHeightAbove: "recovery-point",
    lostLinkAction: "return",
    triggerDelay_s: 3,
    turnTime_s: 3,
    slowHeight_m: 5,
    recoveryModes: undefined,
    near: { radius_m: 10, action: "land" },
  },
  recoveryPoints: [{ at_s: 0, latitude_deg: 47.1, longitude_deg: 8.2 }],
  operator: { kind: "at-takeoff" },
  wind: { speed_ms: 5, from_deg: 270, gust_ms: 8, height_m: 10, shear: 0.143, roughness_m: undefined },
  site: {
    terrain: { kind: "files", files: [{ path: "club/hill.tif", surface: false, error_m: 0, projection: undefined }] },
    obstacles: ["club/masts.geojson"],
    zones: ["club/zones.geojson"],
    defaultHeights_m: { trees: 20, woods: 25, powerLine: 30, level: 3.5 },
  },
  policy: Object.fromEntries(Object.entries(POLICY).map(([key, { value }]) => [key, value])),
  signoff: {
    flights: 5,
    minutes: 60,
    score: 80,
    coverage: 0.8,
    mustBeClear: ["reserve-short", "ceiling-low"],
    within_s: 90 * 86_400,
    sites: undefined,
    siteMinutes: undefined,
  },
  rulesOff: { "link-fading": "no link column in this fleet" },
  columns: { battery: { column: "Pack", unit: "%" }, time: { column: "T", unit: undefined } },
  reading: { rows: 3_000_000, log: 2e9, map: 200_000_000, terrain: 1e9, heights: 60_000_000 },
};

describe("the example of the design", () => {
  it("is accepted, every value of it", async () => {
    const { declared } = await parseConfig(FULL_EXAMPLE, "club/homeleg.yaml");
    expect(declared).toStrictEqual(EXPECTED);
  });

  it("keeps each key's place and its value as written", async () => {
    const { places, written } = await parseConfig(FULL_EXAMPLE, "club/homeleg.yaml");
    const seen = ["settings", "settings.recovery_height", "policy.adrift.thin", "site.obstacles.0", "operator"];
    expect(seen.map((path) => [path, places.get(path), written.get(path)])).toEqual([
      ["settings", "club/homeleg.yaml:6", undefined],
      ["settings.recovery_height", "club/homeleg.yaml:7", "50 m"],
      ["policy.adrift.thin", "club/homeleg.yaml:29", "15 m"],
      ["site.obstacles.0", "club/homeleg.yaml:19", "masts.geojson"],
      ["operator", "club/homeleg.yaml:15", "at-takeoff"],
    ]);
    expect(written.get("rules.link-fading.off")).toBe("no link column in this fleet");
  });

  it("says which of its keys this version does not use", async () => {
    const config = await parseConfig(FULL_EXAMPLE, "homeleg.yaml");
    expect(declaredNotUsedYet(config)).toEqual([]);
  });
});

describe("other forms of a value", () => {
  const declared = async (text: string): Promise<Declared> => (await parseConfig(text, "homeleg.yaml")).declared;

  it.each(["", "# nothing yet\n", "---\n", "settings:\nwind: ~\nrules:\n"])(
    "takes %j as nothing declared",
    async (text) => {
      expect(await declared(text)).toStrictEqual(NOTHING_DECLARED);
    },
  );

  it("takes power, endurance and a body in place of drain", async () => {
    const { aircraft: power } = await declared(
      "aircraft: { power: { hover: 180 W, climb: 0.24 kW, cruise: 190, descent: 160 W } }",
    );
    expect(power.power_W).toEqual({ hover: 180, climb: 240, cruise: 190, descent: 160 });
    const { aircraft: endurance } = await declared("aircraft: { endurance: { hover: 25 min } }");
    expect(endurance.endurance_s).toEqual({ hover: 1500, cruise: undefined });
    const { aircraft: body } = await declared(
      "aircraft: { body: { mass: 1400 g, rotors: 4, rotor_diameter: 24 cm, efficiency: 60 % } }",
    );
    expect(body.body).toEqual({ mass_kg: 1.4, rotors: 4, rotorDiameter_m: 0.24, efficiency: 0.6 });
  });

  it("takes a list of recovery points", async () => {
    const { recoveryPoints } = await declared(
      "recovery_point:\n  - { at: 0, latitude: 1, longitude: 2 }\n  - { at: 6:52, latitude: 3 deg, longitude: -4 }\n" +
        "  - { at: 00:06:52.5, latitude: 5, longitude: 6 }\n",
    );
    expect(recoveryPoints?.map(({ at_s }) => at_s)).toEqual([0, 412, 412.5]);
    expect(recoveryPoints?.[1]).toEqual({ at_s: 412, latitude_deg: 3, longitude_deg: -4 });
  });

  it("takes the operator's position or track", async () => {
    expect((await declared("operator: { latitude: 1, longitude: 2 }")).operator).toEqual({
      kind: "position",
      latitude_deg: 1,
      longitude_deg: 2,
    });
    expect((await declared("operator: { track: a/phone.gpx }")).operator).toEqual({
      kind: "track",
      path: "a/phone.gpx",
    });
  });

  it.each([
    ["flat", { kind: "flat" }],
    ["hill.asc", { kind: "files", files: [{ path: "hill.asc", surface: false, error_m: 0 }] }],
    ["{ file: /dem/a.asc }", { kind: "files", files: [{ path: "/dem/a.asc", surface: false, error_m: 0 }] }],
    [
      "[ { file: fine.asc, surface: true, error: 3 ft }, ../coarse.asc ]",
      {
        kind: "files",
        files: [
          { path: "fine.asc", surface: true, error_m: 0.9144 },
          { path: "../coarse.asc", surface: false, error_m: 0 },
        ],
      },
    ],
  ])("takes terrain as %s", async (text, expected) => {
    expect((await declared(`site: { terrain: ${text} }`)).site.terrain).toEqual(expected);
  });

  it("tells an empty list from an absent one", async () => {
    expect((await declared("site: { obstacles: [] }")).site).toMatchObject({ obstacles: [], zones: undefined });
  });
});
