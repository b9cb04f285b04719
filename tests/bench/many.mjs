// The bench of folders: threads, memory, the cache, and windows of terrain files. Run by `npm run bench:many`, which builds
// first; `-- --rounds 3`. Clock times here, since threads are about them: wants a machine that does nothing else.
import { spawn } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { availableParallelism, tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { writeCsvLog, writeSite, writeTile } from "./inputs.mjs";
import { table } from "./table.mjs";

const { values } = parseArgs({ options: { rounds: { type: "string", default: "3" } } });
const ROUNDS = Number(values.rounds);
const program = join(import.meta.dirname, "../../bin/homeleg.js");
const measure = join(import.meta.dirname, "measure.mjs");
const folder = mkdtempSync(join(tmpdir(), "homeleg-many-"));

try {
  const settings = writeSite(folder);
  const hundred = await seasonOf("hundred", 100, 6000);
  const halves = [0, 1].map((half) => hundred.filter((_path, i) => i % 2 === half));
  const four = await seasonOf("four", 4, 600);
  const small = await seasonOf("thousand", 1000, 1200);
  const some = small.slice(0, 100);

  const rows = [];
  const one = await timeOf([hundred, "--jobs", "1"]);
  const two = await timeOf([hundred, "--jobs", "2"]);
  const apart = await medianOf(() => Promise.all(halves.map((half) => use([half, "--jobs", "1"]))));
  rows.push(
    ["100 logs of 6000 rows, one job", ms(one), "1 ×", ""],
    ["two processes with half of them each", ms(apart), times(one / apart), ""],
    ["two jobs", ms(two), times(one / two), times((0.85 * one) / apart)],
  );
  const fourOne = await timeOf([four, "--jobs", "1"]);
  const fourTwo = await timeOf([four, "--jobs", "2"]);
  rows.push(["4 small logs, two jobs against one", ms(fourTwo), times(fourTwo / fourOne), "1.00 ×"]);
  for (const jobs of ["1", "2"]) {
    const [fewer, more] = [await peakOf([some, "--jobs", jobs]), await peakOf([small, "--jobs", jobs])];
    rows.push(
      [`peak memory, 100 logs, jobs ${jobs}`, `${fewer.toFixed(0)} MiB`, "1 ×", ""],
      [`peak memory, 1000 logs, jobs ${jobs}`, `${more.toFixed(0)} MiB`, times(more / fewer), "flat"],
    );
  }
  const cache = join(folder, "cache");
  const cold = (await use([small, "--cache", cache])).wall_ms;
  const warm = await timeOf([small, "--cache", cache]);
  rows.push(
    ["1000 logs into an empty cache", ms(cold), "1 ×", ""],
    ["1000 logs from it", ms(warm), `${((100 * warm) / cold).toFixed(1)} %`, "5 %"],
  );
  const log = [hundred[0]];
  const [coarse, fine] = [3, 1].map((seconds) => writeTile(folder, seconds));
  const tiles = [];
  for (const config of [coarse, fine]) tiles.push(await medianOf(() => use([log, "--config", config]), "cpu_ms"));
  rows.push(
    ["one log, terrain tile 1201 × 1201", ms(tiles[0]), "1 ×", ""],
    ["the same, tile 3601 × 3601", ms(tiles[1]), times(tiles[1] / tiles[0]), "1.10 ×"],
  );
  table(`${availableParallelism()} cores, Node ${process.versions.node}, ${ROUNDS} rounds`, rows);

  /** Audits with the bench's settings. @returns what the process used */
  async function use([paths, ...options]) {
    const file = join(folder, `use-${Math.random()}.json`);
    const config = options.includes("--config") ? [] : ["--config", settings];
    const args = ["--import", measure, program, "audit", "--quiet", "--files-from", "-", ...config, ...options];
    const start_ms = performance.now();
    const child = spawn(process.execPath, args, {
      env: { ...process.env, BENCH_USE: file },
      stdio: ["pipe", "ignore", "inherit"],
    });
    child.stdin.end(paths.join("\n"));
    const status = await new Promise((resolve) => child.on("exit", resolve));
    if (status !== 0 && status !== 1) throw new Error(`An audit ended with ${status}.`);
    return { wall_ms: performance.now() - start_ms, ...JSON.parse(readFileSync(file, "utf8")) };
  }

  function timeOf(args) {
    return medianOf(() => use(args));
  }

  async function peakOf(args) {
    return (await use(args)).peak_MiB;
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}

async function medianOf(run, key = "wall_ms") {
  const seen = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    const used = await run();
    // Of processes side by side the last one counts.
    seen.push(Array.isArray(used) ? Math.max(...used.map((one) => one[key])) : used[key]);
  }
  return seen.sort((a, b) => a - b)[seen.length >> 1];
}

async function seasonOf(name, count, rows) {
  const place = join(folder, name);
  mkdirSync(place);
  const log = await writeCsvLog(place, rows);
  return Array.from({ length: count }, (_, i) => {
    const path = join(place, `${i}.csv`);
    copyFileSync(log, path);
    return path;
  });
}

function ms(time_ms) {
  return `${time_ms.toFixed(0)} ms`;
}

function times(ratio) {
  return `${ratio.toFixed(2)} ×`;
}
