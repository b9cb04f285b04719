// The bench: whole processes and their parts, as ratios that hold on other machines. Run by `npm run bench`, which builds
// first; `-- --rounds 5 --rows 1000000` are the defaults. Rounds are interleaved, so that a busy machine disturbs all
// alike, and medians of processor time are shown. Everything is made in a temporary folder; nothing uses the network.
import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { availableParallelism, tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { writeCsvLog, writeGpxLog, writeSite } from "./inputs.mjs";
import { table } from "./table.mjs";

const { values } = parseArgs({
  options: { rounds: { type: "string", default: "5" }, rows: { type: "string", default: "1000000" } },
});
const ROUNDS = Number(values.rounds);
const ROWS = Number(values.rows);
const SHORT = 18_000;
const POINTS = 200_000;
const here = (name) => join(import.meta.dirname, name);
const homeleg = [join(import.meta.dirname, "../../bin/homeleg.js")];

const folder = mkdtempSync(join(tmpdir(), "homeleg-bench-"));
try {
  const short = await writeCsvLog(folder, SHORT);
  const small = await writeCsvLog(folder, 600);
  const sizes = [0.1, 0.3, 1].map((share) => Math.round(share * ROWS));
  const logs = [];
  for (const rows of sizes) logs.push(await writeCsvLog(folder, rows));
  const long = logs.at(-1);
  const gpx = await writeGpxLog(folder, POINTS);
  const settings = writeSite(folder);

  const use = medians({
    bare: ["-e", "0"],
    help: [...homeleg, "--help"],
    small: [...homeleg, "audit", small],
    shortRead: [here("drains.mjs"), "read", short],
    shortDrain: [here("drains.mjs"), "csv", short],
    shortAudit: [...homeleg, "audit", "--config", settings, short],
    longRead: [here("drains.mjs"), "read", long],
    longDrain: [here("drains.mjs"), "csv", long],
    ...Object.fromEntries(logs.map((log, i) => [`audit${i}`, [...homeleg, "audit", log]])),
    gpxDrain: [here("drains.mjs"), "xml", gpx],
    gpxAudit: [...homeleg, "audit", gpx],
  });
  const plain = stagesOf([short]);
  const terrain = stagesOf([short, settings]);

  const versus = (name, base) => `${(use[name].cpu_ms / use[base].cpu_ms).toFixed(2)} ×`;
  const over = (name) => `${(use[name].cpu_ms - use.bare.cpu_ms).toFixed(0)} ms more`;
  const ms = (name) => `${use[name].cpu_ms.toFixed(0)} ms`;
  table(`${availableParallelism()} cores, Node ${process.versions.node}, ${ROUNDS} rounds`, [
    ["bare node", ms("bare"), "", ""],
    ["--help", ms("help"), over("help"), "25 ms more"],
    ["audit of 600 rows", ms("small"), over("small"), "100 ms more"],
    [`D: csv-parse drains ${SHORT} rows × 25`, ms("shortDrain"), "1 ×", ""],
    [`plain read of it`, ms("shortRead"), versus("shortRead", "shortDrain"), ""],
    [`audit with terrain and obstacles`, ms("shortAudit"), versus("shortAudit", "shortDrain"), "1.00 ×"],
    [`D: csv-parse drains ${ROWS} rows × 25`, ms("longDrain"), "1 ×", ""],
    ["plain read of it", ms("longRead"), versus("longRead", "longDrain"), ""],
    ["audit", ms("audit2"), versus("audit2", "longDrain"), "0.60 ×"],
    ...sizes.map((rows, i) => [
      `peak memory, ${rows} rows`,
      `${use[`audit${i}`].peak_MiB.toFixed(0)} MiB`,
      `${(use[`audit${i}`].cpu_ms / (rows / 1e6)).toFixed(0)} ms a million`,
      i === 2 ? "350 MiB" : "",
    ]),
    [`saxes drains ${POINTS} points of GPX`, ms("gpxDrain"), "1 ×", ""],
    ["audit of it", ms("gpxAudit"), versus("gpxAudit", "gpxDrain"), "1.40 ×"],
    ["a moment", `${plain.us_per_moment.toFixed(1)} µs`, "", "4 µs"],
    ["a moment with terrain", `${terrain.us_per_moment.toFixed(1)} µs`, "", "6 µs"],
  ]);
  divide("How the time divides, warm, without settings", plain);
  divide("With terrain and obstacles", terrain);
} finally {
  rmSync(folder, { recursive: true, force: true });
}

/** Runs every command once a round and takes the median of each. */
function medians(commands) {
  const seen = new Map(Object.keys(commands).map((name) => [name, []]));
  for (let round = 0; round < ROUNDS; round += 1) {
    for (const [name, command] of Object.entries(commands)) seen.get(name).push(useOf(command));
  }
  const median = (uses, key) => uses.map((one) => one[key]).sort((a, b) => a - b)[uses.length >> 1];
  return Object.fromEntries(
    [...seen].map(([name, uses]) => [name, { cpu_ms: median(uses, "cpu_ms"), peak_MiB: median(uses, "peak_MiB") }]),
  );
}

/** An audit may end with 1: that is a gate, not a failure. */
function useOf(command) {
  const file = join(folder, "use.json");
  const env = { ...process.env, BENCH_USE: file };
  const run = spawnSync(process.execPath, ["--import", here("measure.mjs"), ...command], { env, encoding: "utf8" });
  if (run.status !== 0 && run.status !== 1)
    throw new Error(`${command.join(" ")} ended with ${run.status}: ${run.stderr}`);
  return JSON.parse(readFileSync(file, "utf8"));
}

function stagesOf(args) {
  return JSON.parse(execFileSync(process.execPath, [here("stages.mjs"), ...args], { encoding: "utf8" }));
}

function divide(title, { moments, us_per_moment: _perMoment, ...stages }) {
  const all = Object.values(stages).reduce((sum, time) => sum + time, 0);
  table(
    `${title}, ${moments} moments`,
    Object.entries(stages).map(([name, time]) => [
      name,
      `${time.toFixed(0)} ms`,
      `${((100 * time) / all).toFixed(0)} %`,
      "",
    ]),
  );
}
