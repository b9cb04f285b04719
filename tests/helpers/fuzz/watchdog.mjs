// Ends a fuzzing run whose case does not end: a loop that never returns cannot be stopped from inside.
import { writeSync } from "node:fs";
import { workerData } from "node:worker_threads";

const { shared, seed, most_s, waits_s } = workerData;
const beats = new Int32Array(shared);
let last = -1;
let began = process.cpuUsage();
let since_ms = Date.now();
setInterval(() => {
  const now = Atomics.load(beats, 0);
  const { user, system } = process.cpuUsage(began);
  const took_s = (user + system) / 1e6;
  const waited_s = (Date.now() - since_ms) / 1000;
  if (now !== last) {
    last = now;
    began = process.cpuUsage();
    since_ms = Date.now();
  } else if (took_s > most_s || waited_s > waits_s) {
    writeSync(
      2,
      `HANG: case ${now} of seed ${seed}: ${took_s.toFixed(0)} s of computing in ${waited_s.toFixed(0)} s\n`,
    );
    process.kill(process.pid, "SIGKILL");
  }
}, 500);
