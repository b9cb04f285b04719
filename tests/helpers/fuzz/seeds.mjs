// What the fuzzer corrupts: every parser fixture, thinned flights of the other fixtures, settings, and files of a site.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import { tinyTiff } from "./tiny-tiff.mjs";

const at = (...parts) => join("fixtures", ...parts);

/** Flights sampled a few seconds apart: as many flights, a tenth of the time. */
const FLIGHTS = [
  ["demo", "1-clean-survey.csv", 40],
  ["demo", "2-walked-away.csv", 40],
  ["demo", "3-behind-the-ridge.csv", 45],
  ["demo", "4-late-into-wind.csv", 45],
  ["demo", "5-bare-track.gpx", 3],
  ["zones", "mere.csv", 20],
  ["recovery", "flown-home.csv", 16],
  ["quiet", "two-flights-one-log.csv", 20],
  ["quiet", "height-only.gpx", 1],
];

function thinned(text, isGpx, every) {
  const lines = text.split("\n");
  const isRow = isGpx ? (line) => line.startsWith("<trkpt") : (_line, k) => k > 0;
  return lines.filter((line, k) => !isRow(line, k) || k % every === 0).join("\n");
}

/** @returns logs by name */
function logSeeds() {
  const parsers = readdirSync(at("parsers")).filter((name) => /\.(csv|gpx)(\.gz)?$/.test(name));
  const flights = FLIGHTS.map(([folder, name, every]) => [
    name,
    Buffer.from(thinned(readFileSync(at(folder, name), "utf8"), name.endsWith("gpx"), every)),
  ]);
  const whole = flights.flatMap((flight) => Array.from({ length: 6 }, () => flight));
  const packed = flights.slice(0, 2).map(([name, bytes]) => [`${String(name)}.gz`, gzipSync(bytes)]);
  return [...parsers.map((name) => [name, readFileSync(at("parsers", name))]), ...whole, ...packed];
}

function hill() {
  const [columns, rows] = [60, 40];
  const heights_m = Array.from({ length: columns * rows }, (_, k) => 480 + ((k * 7) % 40) + Math.floor(k / columns));
  return { columns, heights_m, west_deg: 8.232, north_deg: 47.136, step_deg: 0.0003 };
}

function esri({ columns, heights_m, west_deg, north_deg, step_deg }) {
  const rows = heights_m.length / columns;
  const lines = Array.from({ length: rows }, (_, k) => heights_m.slice(k * columns, (k + 1) * columns).join(" "));
  const south_deg = north_deg - rows * step_deg;
  const head = `ncols ${columns}\nnrows ${rows}\nxllcorner ${west_deg}\nyllcorner ${south_deg}\ncellsize ${step_deg}\n`;
  return Buffer.from(`${head}NODATA_value -9999\n${lines.join("\n")}\n`);
}

/** The whole example of docs/settings.md, which has every kind of key. */
function fullSettings() {
  const [, text = ""] = /```yaml\n([\s\S]*?)```/.exec(readFileSync("docs/settings.md", "utf8")) ?? [];
  return text
    .replace("hill.tif", "site.tif")
    .replace("masts.geojson", "obstacles.geojson")
    .replace(/^columns:.*$/m, "");
}

const club = readFileSync(at("demo", "homeleg.yaml"), "utf8");
const withSite = (terrain) =>
  club.replace("terrain: hill.asc", `terrain: ${terrain}`).replace("zones: []", "zones: [zones.geojson]");

/** @returns files of the site by name, each with how it is corrupted */
function siteSeeds() {
  const terrain = hill();
  const utm = { ...terrain, west_deg: 441_000, north_deg: 5_221_000, step_deg: 30, system: 32_632 };
  return {
    "none.tif": ["binary", tinyTiff(terrain)],
    "deflate.tif": ["binary", tinyTiff({ ...terrain, packing: "deflate" })],
    "lzw.tif": ["binary", tinyTiff({ ...terrain, packing: "lzw" })],
    "utm.tif": ["binary", tinyTiff({ ...utm, packing: "deflate" })],
    "hill.asc": ["text", esri(terrain)],
    "N47E008.hgt.gz": ["binary", gzipSync(Buffer.alloc(1201 * 1201 * 2, 1))],
    "obstacles.geojson": ["text", readFileSync(at("demo", "obstacles.geojson"))],
    "mapped.geojson": ["text", readFileSync(at("zones", "obstacles.geojson"))],
    "zones.geojson": ["text", readFileSync(at("zones", "zones.geojson"))],
    "phone.gpx": ["text", Buffer.from(thinned(readFileSync(at("demo", "5-bare-track.gpx"), "utf8"), true, 10))],
    "aircraft.yaml": ["text", Buffer.from("name: trainer\nspeeds: { recovery: 10 m/s, climb: 3 m/s }\n")],
  };
}

/** Settings that name the files of the site. */
const SETTINGS = [
  "# nothing\n",
  withSite("hill.asc"),
  withSite("none.tif"),
  withSite("[deflate.tif, hill.asc]"),
  withSite("{ file: lzw.tif, surface: true, error: 3 m }"),
  withSite("[utm.tif, none.tif]"),
  withSite("flat").replace("[obstacles.geojson]", "[obstacles.geojson, mapped.geojson]"),
  readFileSync(at("recovery", "homeleg.yaml"), "utf8"),
  club.replace("hill.asc", "flat").replace("operator: at-takeoff", "operator: { track: phone.gpx }"),
  fullSettings().replace("site.tif", "none.tif"),
  fullSettings()
    .replace("site.tif", "deflate.tif")
    .replace(/aircraft:\n(?: .*\n)+/, "aircraft: aircraft.yaml\n"),
];

/** A tile is a megabyte of heights, which takes its time: one case in so many of the others. */
const TILE_EVERY = 10;
const settings = [...Array.from({ length: TILE_EVERY }, () => SETTINGS).flat(), withSite("N47E008.hgt.gz")];

/** Everything that a case is made of. */
export const SEEDS = { logs: logSeeds(), settings: settings.map((text) => Buffer.from(text)), site: siteSeeds() };
