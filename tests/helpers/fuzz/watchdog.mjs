// Ends a fuzzing run whose case does not end: a loop that never returns cannot be stopped from inside.
import { writeSync } from "node:fs";
import { workerData } from "node:worker_threads";

const { shared, seed, most_s } = workerData;
const beats = new Int32Array(shared);
let last = -1;
let since_ms = Date.now();
setInterval(() => {
  const now = Atomics.load(beats, 0);
  if (now !== last) {
    last = now;
    since_ms = Date.now();
  } else if (Date.now() - since_ms > most_s * 1000) {
    writeSync(2, `HANG: case ${now} of seed ${seed} ran for over ${most_s} s\n`);
    process.kill(process.pid, "SIGKILL");
  }
}, 500);
