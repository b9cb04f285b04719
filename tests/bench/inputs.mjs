// Invented logs and an invented site for the bench, made anew in a folder of its own on every run.
import { once } from "node:events";
import { createWriteStream, mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";

/** Rows a second of the invented recorder. */
const RATE_HZ = 10;
/** One flight of 25 minutes and half a minute on the ground, over and over: rows of each. */
const AIR_ROWS = 25 * 60 * RATE_HZ;
const ROUND_ROWS = AIR_ROWS + 30 * RATE_HZ;
const SLOW_ROWS = 15 * RATE_HZ;
const CENTRE = { latitude: 47.1, longitude: 8.2 };
const METRES_A_DEGREE = 111_200;

const USED = [
  "time_s",
  "latitude_deg",
  "longitude_deg",
  "height_above_takeoff_m",
  "ground_speed_ms",
  "climb_rate_ms",
  "course_deg",
  "heading_deg",
  "battery_pct",
  "voltage_V",
  "current_A",
  "satellites",
  "hdop",
];
const SURPLUS = Array.from({ length: 25 - USED.length }, (_, i) => `surplus ${"abcdefghijklmnop"[i]}`);

/** One row of the invented flight: slow turns 100 to 600 m out and back, climbing and sinking all the while. */
export function rowAt(i) {
  const row = i % ROUND_ROWS;
  const inAir = Math.max(0, Math.min(AIR_ROWS, row)) / AIR_ROWS;
  // Climbs for 15 s, sinks for the last 15.
  const up = Math.max(0, Math.min(1, row / SLOW_ROWS, (AIR_ROWS - row) / SLOW_ROWS));
  const out_m = up * (350 + 250 * Math.sin(inAir * 31)) * Math.min(1, Math.sin(inAir * Math.PI) * 4);
  const turn = inAir * 19;
  return {
    time_s: i / RATE_HZ,
    latitude: CENTRE.latitude + (out_m * Math.cos(turn)) / METRES_A_DEGREE,
    longitude: CENTRE.longitude + (out_m * Math.sin(turn)) / METRES_A_DEGREE / Math.cos(0.822),
    height_m: up * (45 + 12 * Math.sin(inAir * 60)),
    speed_ms: row < AIR_ROWS ? 6 + 2 * Math.sin(turn) : 0,
    climb_ms: row < AIR_ROWS ? 0.6 * Math.cos(inAir * 60) : 0,
    course_deg: (turn * 57.3) % 360,
    battery_pct: Math.round(98 - 62 * inAir),
  };
}

function line(i) {
  const { time_s, latitude, longitude, height_m, speed_ms, climb_ms, course_deg, battery_pct } = rowAt(i);
  const cells = [
    time_s.toFixed(1),
    latitude.toFixed(7),
    longitude.toFixed(7),
    height_m.toFixed(2),
    speed_ms.toFixed(2),
    climb_ms.toFixed(2),
    course_deg.toFixed(1),
    course_deg.toFixed(1),
    String(battery_pct),
    (14 + battery_pct / 35).toFixed(2),
    (12 + climb_ms).toFixed(1),
    "15",
    "0.8",
  ];
  for (let j = 0; j < SURPLUS.length; j += 1) cells.push((j * 100 + Math.sin(i / 5000 + j)).toFixed(3));
  return cells.join(",");
}

async function writeLines(path, head, rows, lineOf, tail = "") {
  const out = createWriteStream(path);
  let text = head;
  for (let i = 0; i < rows; i += 1) {
    text += `${lineOf(i)}\n`;
    if (text.length < 1 << 20) continue;
    if (!out.write(text)) await once(out, "drain");
    text = "";
  }
  out.end(text + tail);
  await once(out, "finish");
  return path;
}

/** @returns the path of a CSV log of 25 columns, half of which mean something */
export function writeCsvLog(folder, rows) {
  return writeLines(join(folder, `log-${rows}.csv`), `${[...USED, ...SURPLUS].join(",")}\n`, rows, line);
}

/** @returns the path of a GPX log of the same flight */
export function writeGpxLog(folder, points) {
  const head =
    '<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="1.1" creator="invented" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>\n';
  const pointOf = (i) => {
    const { time_s, latitude, longitude, height_m } = rowAt(i);
    const time = new Date(1_714_557_600_000 + time_s * 1000).toISOString();
    return `<trkpt lat="${latitude.toFixed(7)}" lon="${longitude.toFixed(7)}"><ele>${(400 + height_m).toFixed(2)}</ele><time>${time}</time><sat>15</sat><hdop>0.8</hdop></trkpt>`;
  };
  return writeLines(join(folder, `log-${points}.gpx`), head, points, pointOf, "</trkseg></trk></gpx>\n");
}

/** Writes a hill, a hundred masts and the settings that name them. @returns the path of the settings */
export function writeSite(folder) {
  const cells = 200;
  const cell_deg = 0.0001;
  const grid = [
    `ncols ${cells}`,
    `nrows ${cells}`,
    `xllcorner ${CENTRE.longitude - (cells / 2) * cell_deg}`,
    `yllcorner ${CENTRE.latitude - (cells / 2) * cell_deg}`,
    `cellsize ${cell_deg}`,
    "NODATA_value -9999",
  ];
  for (let y = 0; y < cells; y += 1) {
    const heights = Array.from({ length: cells }, (_, x) => 400 + 6 * Math.sin(x / 9) + 6 * Math.cos(y / 7));
    grid.push(heights.map((height) => height.toFixed(2)).join(" "));
  }
  writeFileSync(join(folder, "hill.asc"), `${grid.join("\n")}\n`);
  const features = Array.from({ length: 100 }, (_, i) => ({
    type: "Feature",
    properties: { name: `mast ${i}`, height: 15 + (i % 10), radius: 1 },
    geometry: {
      type: "Point",
      coordinates: [
        CENTRE.longitude + (((i * 37) % 100) - 50) * 1.5e-4,
        CENTRE.latitude + (((i * 61) % 100) - 50) * 1e-4,
      ],
    },
  }));
  writeFileSync(join(folder, "masts.geojson"), JSON.stringify({ type: "FeatureCollection", features }));
  const settings = join(folder, "site.yaml");
  writeFileSync(settings, settingsWith("hill.asc"));
  return settings;
}

/** Writes settings whose terrain is a `.hgt` tile of 1 or 3 arc seconds. @returns their path */
export function writeTile(folder, seconds) {
  const side = 3600 / seconds + 1;
  const tile = Buffer.alloc(side * side * 2);
  for (let i = 0; i < side * side; i += 1) tile.writeInt16BE(400 + ((i * 7) % 5), i * 2);
  const place = join(folder, `tile-${seconds}`);
  mkdirSync(place);
  writeFileSync(join(place, "N47E008.hgt"), tile);
  const settings = join(place, "site.yaml");
  writeFileSync(settings, settingsWith("N47E008.hgt").replace("masts.geojson", "../masts.geojson"));
  return settings;
}

function settingsWith(terrain) {
  return `# Invented, for the bench.
aircraft:
  speeds: { recovery: 10 m/s, climb: 3 m/s, descent: 3 m/s, landing: 0.8 m/s }
settings: { recovery_height: 50 m, recovery_height_above: recovery-point, lost_link_action: return }
operator: at-takeoff
wind: { speed: 3 m/s, from: 250 deg, gust: 5 m/s, height: 10 m }
site:
  terrain: ${terrain}
  obstacles: [masts.geojson]
`;
}
