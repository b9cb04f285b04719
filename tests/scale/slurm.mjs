// The scripts of docs/scale-out.md, as they stand there: a job array on a Slurm cluster of two nodes in this machine, once
// in peace and once with a node that dies in the middle of a part, and GNU parallel. Merged, each must give what one run
// gives, byte for byte. Run by `npm run test:slurm`, which builds first. All of it stays on the loopback interface and in a
// temporary folder, which is removed in the end.
import { spawn } from "node:child_process";
import {
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { once } from "node:events";
import { tmpdir } from "node:os";
import { delimiter, join } from "node:path";
import { fileURLToPath } from "node:url";
import { namedBlocks } from "../helpers/doc-blocks.mjs";
import { Cluster } from "./cluster.mjs";
import { installMissing, PATH } from "./packages.mjs";
import { writeSeason } from "./season.mjs";
import { until } from "./until.mjs";

const ROOT = fileURLToPath(new URL("../../", import.meta.url));
const PARTS = 4;
/** The longest that any one command may take, on a machine that is busy. */
const LIMIT_MS = 600_000;

const folder = mkdtempSync(join(tmpdir(), "homeleg-slurm-"));
const season = join(folder, "season");
const programs = join(folder, "bin");
const at = (...names) => join(season, ...names);
const cluster = new Cluster(join(folder, "cluster"), [programs, PATH].join(delimiter));
const counts = { passed: 0, failed: 0 };
/** The signal that ended the test early. */
let ending;

function check(what, isSo, told = "") {
  counts[isSo ? "passed" : "failed"] += 1;
  console.log(`${isSo ? "passed" : "FAILED"}  ${what}${isSo || told === "" ? "" : `: ${told}`}`);
}

/** Runs one command in the folder of the season to its end. */
async function run(command, ...args) {
  if (ending !== undefined) throw new Error("nothing more is begun");
  const started_ms = performance.now();
  const env = { ...cluster.env, PARALLEL_HOME: join(folder, "parallel") };
  const child = spawn(command, args, { cwd: season, env, stdio: ["ignore", "pipe", "pipe"] });
  const timer = setTimeout(() => child.kill(), LIMIT_MS);
  let said = "";
  for (const stream of [child.stdout, child.stderr]) stream.on("data", (text) => (said += text));
  const [status] = await once(child, "close");
  clearTimeout(timer);
  return { status, said: said.trim(), took: `${((performance.now() - started_ms) / 1000).toFixed(0)} s` };
}

function prepare() {
  // munge wants its socket where everyone could get to it.
  chmodSync(folder, 0o711);
  for (const name of [season, programs, join(folder, "cluster")]) mkdirSync(name);
  symlinkSync(join(ROOT, "bin", "homeleg.js"), join(programs, "homeleg"));
  for (const [name, text] of namedBlocks(join(ROOT, "docs", "scale-out.md"))) writeFileSync(at(name), text);
  return writeSeason(season);
}

/** Takes away what a run left, with its cache: each begins from nothing. */
function clear(...names) {
  for (const name of names) rmSync(at(name), { recursive: true, force: true });
}

function audited() {
  return existsSync(at("cache"))
    ? readdirSync(at("cache"), { recursive: true }).filter((name) => name.endsWith(".json")).length
    : 0;
}

/** Tasks of the array that was submitted last, as Slurm tells of them. */
function tasks() {
  const jobs = cluster
    .ask("scontrol", ["show", "job", "--oneliner"])
    .split("\n")
    .map((line) => {
      const words = line.split(" ").map((word) => word.split("="));
      return Object.fromEntries(words.map(([key, ...value]) => [key, value.join("=")]));
    });
  const arrays = jobs.filter((job) => /^\d+$/.test(job.ArrayTaskId ?? ""));
  const last = Math.max(...arrays.map((job) => Number(job.ArrayJobId)));
  return arrays.filter((job) => Number(job.ArrayJobId) === last);
}

function compare(what, single, merged) {
  const isSame =
    existsSync(at("season.json")) && readFileSync(at("season.json")).equals(readFileSync(at("single", "result.json")));
  check(`${what}: merged, it is what one run gives, byte for byte`, isSame);
  check(
    `${what}: it ends with ${single.status}, as one run does`,
    merged.status === single.status,
    `${merged.status} ${merged.said}`,
  );
}

async function inPeace(single) {
  const merged = await run("sh", "submit.sh");
  compare(`array of ${PARTS} (${merged.took})`, single, merged);
  const nodes = new Set(tasks().map((task) => task.BatchHost));
  check("both nodes worked", nodes.size === 2, [...nodes].join(" "));
}

async function withWrongSettings() {
  const settings = at("logs", "autumn", "homeleg.yaml");
  const right = readFileSync(settings);
  clear("season.json");
  writeFileSync(settings, "pace: brisk\n");
  const { status } = await run("sh", "submit.sh");
  writeFileSync(settings, right);
  const codes = tasks().map((task) => task.ExitCode);
  check("wrong settings fail the parts with 2", codes.includes("2:0"), codes.join(" "));
  check("that is the end of it, and nothing is merged", status === 2 && !existsSync(at("season.json")), String(status));
}

async function withLostNode(single, logs) {
  clear("cache", "parts", "season.json");
  const before = new Set(tasks().map((task) => task.ArrayJobId));
  const submitted = run("sh", "submit.sh");
  const isNew = (task) => !before.has(task.ArrayJobId);
  const onNode = () => tasks().find((task) => isNew(task) && task.JobState === "RUNNING" && task.BatchHost === "node2");
  await until("node2 is in the middle of a part", 120, () => audited() >= 6 && onNode() !== undefined);
  const lost = onNode().ArrayTaskId;
  await cluster.killNode("node2");
  const isHalf = !existsSync(at("parts", lost, "result.json"));
  check(`node2 died in the middle of part ${lost}, with ${audited()} of ${logs} logs audited`, isHalf);
  const merged = await submitted;
  compare(`array with a lost node (${merged.took})`, single, merged);
  const { Restarts, BatchHost } = tasks().find((task) => task.ArrayTaskId === lost) ?? {};
  const isAgain = Restarts === "1" && BatchHost === "node1";
  check(`Slurm started part ${lost} again, on node1`, isAgain, `${Restarts} times, ${BatchHost}`);
  check("node2 is down", cluster.stateOf("node2").startsWith("down"), cluster.stateOf("node2"));
  cluster.startNode("node2");
  await until("node2 is idle again", 60, () => cluster.stateOf("node2") === "idle");
}

async function withParallel(single) {
  clear("cache", "parts", "season.json");
  writeFileSync(at("hosts"), ":\n");
  const part = readFileSync(at("part.sh"), "utf8");
  writeFileSync(at("part.sh"), part.replace("--format json ", "--format json,html "));
  const parallel = await run("sh", "hosts.sh");
  check(`GNU parallel (${parallel.took}) did all parts`, parallel.status === 0, parallel.said);
  compare("GNU parallel", single, await run("sh", "merge.sh"));
  const index = await run("sh", "pages.sh");
  check(`the index of pages ends with ${single.status} too`, index.status === single.status, index.said);
  const { status, said } = await run("diff", "-r", "--exclude=result.json", "single", "pages");
  const pages = readdirSync(at("pages")).length;
  check(`${pages} pages and their index are those of one run`, status === 0 && pages > 1, said);
}

async function all() {
  installMissing();
  const logs = prepare();
  const single = await run("homeleg", "audit", "logs/", "--format", "json,html", "--output", "single/");
  check(
    `one run over ${logs} logs (${single.took}) reports a log that cannot be read`,
    single.status === 3,
    single.said,
  );
  await cluster.start();
  const foreign = cluster.foreignListeners();
  check("the cluster listens at the loopback interface alone", foreign.length === 0, JSON.stringify(foreign));
  await inPeace(single);
  await withWrongSettings();
  await withLostNode(single, logs);
  await cluster.stop();
  await withParallel(single);
}

async function cleanUp() {
  await cluster.stop();
  rmSync(folder, { recursive: true, force: true });
}

const ended = new Promise((_, reject) => {
  for (const signal of ["SIGINT", "SIGTERM"]) {
    process.once(signal, () => {
      ending = signal;
      reject(new Error(`ended by ${signal}`));
    });
  }
});

try {
  await Promise.race([all(), ended]);
} catch (error) {
  check("the test itself", false, error.message);
  for (const lines of cluster.logs()) console.log(lines);
} finally {
  await cleanUp();
}
console.log(`${counts.passed} passed, ${counts.failed} failed`);
if (counts.failed > 0) process.exitCode = 1;
if (ending !== undefined) process.kill(process.pid, ending);
