// Preloaded into a measured process: on its exit it writes what the process used into the file named in BENCH_USE.
import { writeFileSync } from "node:fs";

process.on("exit", () => {
  const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage();
  writeFileSync(
    process.env["BENCH_USE"],
    JSON.stringify({ cpu_ms: (userCPUTime + systemCPUTime) / 1000, peak_MiB: maxRSS / 1024 }),
  );
});
