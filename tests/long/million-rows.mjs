// 1,000,000 rows × 25 columns: peak memory, and every whole row kept when the file is cut at some byte.
// Run by `npm run test:long`, which builds first. A number of rows can be given.
import { createReadStream, createWriteStream, mkdtempSync, rmSync, statSync, truncateSync } from "node:fs";
import { once } from "node:events";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { readLog } from "../../dist/parsers/read-log.js";

const ROWS = Number(process.argv[2] ?? 1_000_000);
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
const OTHERS = Array.from({ length: 25 - USED.length }, (_, i) => `surplus ${"abcdefghijklmnop"[i]}`);

const folder = mkdtempSync(join(tmpdir(), "homeleg-long-"));
const path = join(folder, "long.csv");
try {
  await writeLog(path);
  const whole = await read(path);
  report("whole", whole);
  if (whole.log.track.length !== ROWS || whole.log.problems.some(({ severity }) => severity !== "note")) fail("whole");
  const mib = Math.ceil(statSync(path).size / 2 ** 20);
  truncateSync(path, Math.floor(statSync(path).size * 0.6180339887) - 7);
  const cut = await read(path);
  report("cut", cut);
  const told = cut.log.problems.filter(({ severity }) => severity !== "note");
  if (told.length !== 1 || told[0].code !== "truncated" || cut.log.track.length !== cut.log.rows) fail("cut");
  if (whole.peak_MiB > 450) fail(`peak of ${whole.peak_MiB} MiB for ${mib} MiB`);
} finally {
  rmSync(folder, { recursive: true, force: true });
}

async function writeLog(file) {
  const out = createWriteStream(file);
  out.write(`${[...USED, ...OTHERS].join(",")}\n`);
  let lines = "";
  for (let i = 0; i < ROWS; i += 1) {
    const phase = i / 5000;
    const cells = [
      (i / 10).toFixed(1),
      (47 + 0.01 * Math.sin(phase)).toFixed(7),
      (8 + 0.01 * Math.cos(phase)).toFixed(7),
      (30 + 10 * Math.sin(phase * 3)).toFixed(2),
      (8 + Math.sin(phase)).toFixed(2),
      (0.5 * Math.cos(phase * 3)).toFixed(2),
      ((phase * 57) % 360).toFixed(1),
      ((phase * 57) % 360).toFixed(1),
      String(100 - Math.floor((i * 60) / ROWS)),
      (16.8 - (2 * i) / ROWS).toFixed(2),
      (12 + Math.sin(phase)).toFixed(1),
      "15",
      "0.8",
      ...OTHERS.map((_, j) => (j * 100 + Math.sin(phase + j)).toFixed(3)),
    ];
    lines += `${cells.join(",")}\n`;
    if (lines.length < 1 << 20) continue;
    if (!out.write(lines)) await once(out, "drain");
    lines = "";
  }
  out.end(lines);
  await once(out, "finish");
}

async function read(file) {
  let peak = 0;
  const timer = setInterval(() => {
    peak = Math.max(peak, process.memoryUsage.rss());
  }, 20);
  const log = await readLog(createReadStream(file), { path: file });
  clearInterval(timer);
  return { log, peak_MiB: Math.round(Math.max(peak, process.memoryUsage.rss()) / 2 ** 20) };
}

function report(name, { log, peak_MiB }) {
  const columns = Object.keys(log.track.columns).length;
  const typed_MiB = Math.round((columns * log.track.length * 8) / 2 ** 20);
  console.log(`${name}: ${log.track.length} rows kept, peak ${peak_MiB} MiB, of which typed columns ${typed_MiB} MiB`);
}

function fail(what) {
  console.error(`FAILED: ${what}`);
  process.exitCode = 1;
}
