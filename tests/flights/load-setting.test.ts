import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { auditLog, describeTerrain, loadSetting, type Setting, SettingError, UserError } from "../../src/index.js";
import { homeleg, temporaryFolder } from "../helpers/cli.js";
import { csvOf } from "../helpers/csv.js";
import { at, landed, outAndBack } from "../helpers/flights.js";
import { writeTiff } from "../site/tiff-writer.js";

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

  it("reads the ground of a flight when its log is read, from a gzip file too, and names what it read", async () => {
    mkdirSync(join(folder, "dem"), { recursive: true });
    writeFileSync(join(folder, "dem/hill.asc.gz"), gzipSync(GRID));
    const sets = ["site.terrain=dem/hill.asc.gz", "site.obstacles=[]", "settings.recovery_height=20"];
    const setting = await loadSetting({ sets, cwd: folder });
    const { result, flights } = await auditLog(Buffer.from(csvOf(landed(outAndBack(PLAN)))), setting, {
      path: "a.csv",
    });
    expect(flights[0]?.judgement.replay.inputs.heights).toMatchObject({ isTied: true, takeoffGround_m: 500 });
    expect(result.flights[0]?.inputs["site.terrain.file"]?.value).toMatch(
      /hill\.asc\.gz \(Esri ASCII grid, EPSG:4326, 1100 m\)$/,
    );
    expect(await describeTerrain(setting, { countVoids: true })).toMatchObject([
      { format: "Esri ASCII grid", west_deg: 7.99, south_deg: 46.99, columns: 3, voidShare: 0 },
    ]);
  });

  it("takes terrain that turns out to be damaged under a flight for a mistake of the settings, not of the log", async () => {
    const keys = { 1024: 2, 1025: 1, 2048: 4326 };
    const rows = Array.from({ length: 20 }, (_, j) =>
      Array.from({ length: 20 }, (_, i) => 500 + ((i * 37 + j * 91) % 53)),
    );
    const tiff = writeTiff(rows, {
      compression: "deflate",
      tiepoint: [0, 0, 0, 7.9, 47.1, 0],
      scale: [0.01, 0.01, 0],
      keys,
    });
    // The block is last in the file.
    tiff.fill(0xff, tiff.length - 20);
    writeFileSync(join(folder, "bad.tif"), tiff);
    const setting = await loadSetting({ sets: ["site.terrain=bad.tif"], cwd: folder });
    const auditing = auditLog(Buffer.from(csvOf(landed(outAndBack(PLAN)))), setting, { path: "a.csv" });
    await expect(auditing).rejects.toThrow(SettingError);
    await expect(auditing).rejects.toThrow(/This GeoTIFF cannot be read/);
    writeFileSync(join(folder, "a.csv"), csvOf(landed(outAndBack(PLAN))));
    const run = homeleg(["audit", "a.csv", "--set", "site.terrain=bad.tif"], { cwd: folder });
    expect(run.status).toBe(2);
    expect(run.stderr).toMatch(/bad\.tif {2}This GeoTIFF cannot be read \(/);
    expect(run.stderr.trim()).not.toContain("\n");
  });

  it("tells of a gzip file that is cut off in one line", async () => {
    writeFileSync(join(folder, "cut.asc.gz"), gzipSync(GRID).subarray(0, 40));
    expect(await lineOf(["site.terrain=cut.asc.gz"])).toMatch(/cut\.asc\.gz {2}This gzip file is damaged or cut off\./);
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
