// Corrupted logs, settings and site files through every parser, the whole audit and every report, in one process:
// `npm run fuzz -- --cases 10000 --seed 1`, `-- --minutes 30`, `-- --whole 0.5` for the share of cases that go beyond the parsers, `-- --seed 1 --from 4711 --cases 1` for one case again.
// A fault is a crash that is no message for people, a case that takes over five seconds, a value in JSON that is none, or
// a result that is not as its schema says.
import { parseArgs } from "node:util";
import { Worker } from "node:worker_threads";
import { caseOf, Runner } from "../helpers/fuzz/run-case.mjs";

const { values } = parseArgs({
  options: {
    cases: { type: "string" },
    minutes: { type: "string" },
    seed: { type: "string", default: "1" },
    from: { type: "string", default: "0" },
    whole: { type: "string", default: "0.15" },
    most: { type: "string", default: "20" },
  },
});
const MOST_S = 5;
/** A case that does not end is ended after so much computing, or, on however busy a machine, after so much waiting. */
const GIVEN_UP = { most_s: 30, waits_s: 1200 };
const seed = Number(values.seed);
const from = Number(values.from);
const cases = Number(values.cases ?? (values.minutes === undefined ? 10_000 : Infinity));
const until_ms = Date.now() + 60_000 * Number(values.minutes ?? Infinity);

const shared = new SharedArrayBuffer(4);
const beats = new Int32Array(shared);
const watchdog = new Worker(new URL("../helpers/fuzz/watchdog.mjs", import.meta.url), {
  workerData: { shared, seed, ...GIVEN_UP },
});
watchdog.unref();
const runner = new Runner();
const outcomes = { read: 0, refused: 0 };
let faults = 0;
let slowest_s = 0;
let ran = 0;
const blame = (number, what, why) => {
  faults += 1;
  console.error(`FAULT: case ${number} of seed ${seed} (${what}): ${why}`);
};

try {
  for (let number = from; ran < cases && Date.now() < until_ms && faults < Number(values.most); number += 1) {
    Atomics.store(beats, 0, number);
    const made = caseOf(seed, number, Number(values.whole));
    const began = process.cpuUsage();
    try {
      outcomes[await runner.run(made)] += 1;
    } catch (error) {
      blame(number, made.what, error instanceof Error ? error.stack : String(error));
    }
    // Its own time: the machine may be busy with other things.
    const { user, system } = process.cpuUsage(began);
    const took_s = (user + system) / 1e6;
    slowest_s = Math.max(slowest_s, took_s);
    if (took_s > MOST_S) blame(number, made.what, `it took ${took_s.toFixed(1)} s`);
    ran += 1;
    if (ran % 5000 === 0) console.log(`${ran} cases, ${faults} faults`);
  }
} finally {
  runner.close();
}
console.log(
  `${ran} cases of seed ${seed}, from ${from}: ${outcomes.read} read, ${outcomes.refused} refused, ${faults} faults; slowest ${slowest_s.toFixed(1)} s`,
);
process.exitCode = faults > 0 ? 1 : 0;
