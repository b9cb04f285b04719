import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import type { SiteInspection } from "../../src/index.js";
import { homeleg, temporaryFolder } from "../helpers/cli.js";

const FIXTURES = fileURLToPath(new URL("../../fixtures", import.meta.url));
const inspect = (...args: string[]) => homeleg(["inspect", ...args], { cwd: FIXTURES });
const inspected = (...args: string[]): SiteInspection =>
  JSON.parse(inspect("--format", "json", ...args).stdout) as SiteInspection;

describe("inspect --site", () => {
  test("tells files, extent, resolution, voids, and what of a flight is covered", () => {
    const site = inspected("--site", "demo/homeleg.yaml", "demo/3-behind-the-ridge.csv");
    expect(site).toMatchObject({
      format: "homeleg-site-inspection",
      terrain: "files",
      terrain_files: [{ path: "demo/hill.asc", projection: "EPSG:4326", columns: 275, rows: 152, void_share: 0 }],
      obstacles: { files: ["demo/obstacles.geojson"], count: 4, by_default: [] },
      zones: { files: [], count: 0 },
      flights: [{ path: "demo/3-behind-the-ridge.csv", index: 1, under_share: 1, way_home_share: 1, is_tied: true }],
    });
    expect(site.terrain_files[0]?.resolution_m).toBeCloseTo(11.1, 1);
  });

  test("counts voids, and says where a flight leaves what is known", () => {
    const folder = temporaryFolder();
    // Four cells of 0.0005 degrees; the north-eastern node is not known.
    const grid = ["ncols 3", "nrows 3", "xllcenter 8.24", "yllcenter 47.13", "cellsize 0.0005", "nodata_value -1"];
    writeFileSync(join(folder, "small.asc"), `${grid.join("\n")}\n5 5 -1\n5 5 5\n5 5 5\n`);
    writeFileSync(join(folder, "homeleg.yaml"), "site: { terrain: small.asc }\n");
    const site = inspected("--site", join(folder, "homeleg.yaml"), "demo/1-clean-survey.csv");
    expect(site.terrain_files[0]?.void_share).toBeCloseTo(1 / 9, 6);
    expect(site).toMatchObject({ obstacles: null, zones: null });
    const [flight] = site.flights;
    expect(flight?.under_share).toBeGreaterThan(0);
    expect(flight?.under_share).toBeLessThan(0.5);
    expect(flight?.way_home_share).toBeLessThan(flight?.under_share ?? 0);
  });

  test("shows to people what has no height of its own, and the kinds of zones", () => {
    const { status, stdout, stderr } = inspect("--site", "zones/homeleg.yaml");
    expect(stdout).toContain("flat, as declared");
    expect(stdout).toContain("1 × woods taken as 25 m (assumed)");
    expect(stdout).toContain("4 in zones/zones.geojson: 1 water, 1 keep-out, 1 cover, 1 no-landing");
    expect(stdout.split("\n").every((line) => line.length <= 80)).toBe(true);
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
  });

  test("goes on after a log that cannot be read, and says so", () => {
    const { status, stdout, stderr } = inspect("--site", "zones/homeleg.yaml", "nowhere.csv", "zones/mere.csv");
    expect(stderr).toContain("nowhere.csv");
    expect(stdout).toContain("zones/mere.csv, flight 1: ground known under 100 % of the");
    expect(status).toBe(3);
  });

  test.each([
    [["--site", "nowhere.yaml"], "nowhere.yaml"],
    [[], "--site"],
  ])("says what is wrong with %s", (args, words) => {
    const { status, stdout, stderr } = inspect(...args);
    expect(stderr).toContain(words);
    expect({ status, stdout }).toEqual({ status: 2, stdout: "" });
  });
});
