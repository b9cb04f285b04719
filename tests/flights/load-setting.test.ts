import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { auditLog, loadSetting, type Setting, UserError } from "../../src/index.js";
import { temporaryFolder } from "../helpers/cli.js";
import { csvOf } from "../helpers/csv.js";
import { at, landed, outAndBack } from "../helpers/flights.js";

const folder = temporaryFolder();
const put = (name: string, text: string): string => {
  const path = join(folder, name);
  mkdirSync(join(path, ".."), { recursive: true });
  writeFileSync(path, text);
  return path;
};
const GRID =
  "ncols 3\nnrows 3\nxllcenter 7.99\nyllcenter 46.99\ncellsize 0.01\n500 500 500\n500 500 500\n500 500 500\n";
const PLAN = {
  course_deg: 0,
  out_ms: 5,
  outFor_s: 40,
  back_ms: 5,
  height_m: 30,
  battery_pct: 90,
  rate_pctPerMin: 5,
  step_s: 1,
};

async function lineOf(sets: readonly string[], cwd = folder): Promise<string> {
  try {
    await loadSetting({ sets, cwd });
  } catch (error) {
    if (error instanceof UserError) return error.line;
    throw error;
  }
  return "";
}

/** The site round the place of these tests. */
function siteAt({ site }: Setting): ReturnType<Setting["site"]["siteFor"]> {
  return site.siteFor({ west_deg: 8, south_deg: 47, east_deg: 8, north_deg: 47 }, 10);
}

describe("loadSetting", () => {
  it("is a setting without a file too", async () => {
    const setting = await loadSetting();
    expect(setting.policy.touchdown_reserve).toBe(25);
    expect(await siteAt(setting)).toMatchObject({ hasTerrain: false, hasObstacles: false });
  });

  it("reads the files that settings name, relative to the file that names them", async () => {
    put("site/hill.asc", GRID);
    put("site/none.geojson", '{"type":"FeatureCollection","features":[]}');
    put("site/homeleg.yaml", "site: { terrain: hill.asc, obstacles: [none.geojson] }\n");
    const setting = await loadSetting({ startFolder: join(folder, "site") });
    const { problems } = setting;
    const site = await siteAt(setting);
    expect(site).toMatchObject({ hasTerrain: true, isFlat: false, hasObstacles: true });
    expect(site.ground(47, 8)).toBe(500);
    expect(problems).toEqual([]);
  });

  it("names a file that is not there, and where it is named", async () => {
    put("gone/homeleg.yaml", "settings: { recovery_height: 50 m }\nsite: { terrain: gone.asc }\n");
    const loading = loadSetting({ startFolder: join(folder, "gone") });
    await expect(loading).rejects.toThrow(/gone\.asc does not exist/);
    await expect(loading).rejects.toThrow(/homeleg\.yaml:2/);
    expect(await lineOf(["site.obstacles=[gone.geojson]"])).toMatch(/gone\.geojson does not exist/);
  });

  it("reports an obstacle without a height with every log", async () => {
    put(
      "mast.geojson",
      '{"type":"Feature","properties":{"name":"mast"},"geometry":{"type":"Point","coordinates":[8,47]}}',
    );
    const setting = await loadSetting({ sets: ["site.obstacles=[mast.geojson]"], cwd: folder });
    const { result } = await auditLog(Buffer.from(csvOf(landed(outAndBack(PLAN)))), setting, { path: "a.csv" });
    expect(result.problems).toContainEqual(
      expect.objectContaining({
        severity: "warning",
        code: "obstacle-no-height",
        message: expect.stringMatching(/mast/),
      }),
    );
  });

  it("reads the operator's way by UTC, unknown before it begins and after it ends", async () => {
    const point = (minute: number, metres: number): string => {
      const { latitude_deg, longitude_deg } = at(metres, 90);
      return `<trkpt lat="${latitude_deg}" lon="${longitude_deg}"><time>2026-05-01T10:0${minute}:00Z</time></trkpt>`;
    };
    put("phone.gpx", `<gpx version="1.1" creator="t"><trk><trkseg>${point(0, 0)}${point(1, 60)}</trkseg></trk></gpx>`);
    const setting = await loadSetting({ sets: ["operator={ track: phone.gpx }"], cwd: folder });
    const log = csvOf(landed(outAndBack(PLAN))).replaceAll(/^(\d+),/gm, (_, s: string) => {
      return `${new Date(Date.UTC(2026, 4, 1, 9, 59, 50) + Number(s) * 1000).toISOString()},`;
    });
    const { flights } = await auditLog(Buffer.from(log.replace("time_s", "time_utc")), setting, { path: "a.csv" });
    const adrift = flights[0]?.judgement.replay.moments.adrift_m ?? new Float64Array();
    expect(adrift[5]).toBeNaN();
    expect(adrift[10]).toBeCloseTo(0, 6);
    // 30 s into a minute's straight walk of 60 m.
    expect(adrift[40]).toBeCloseTo(30, 3);
    expect(adrift[75]).toBeNaN();
  });

  it("refuses an operator's track without UTC", async () => {
    put("elapsed.csv", "time_s,latitude_deg,longitude_deg\n0,47,8\n1,47,8\n");
    expect(await lineOf(["operator={ track: elapsed.csv }"])).toMatch(/elapsed\.csv has no UTC times/);
  });
});
