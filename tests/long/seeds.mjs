// The property tests with other cases than those of `npm test`: `npm run test:seeds -- --from 2 --to 21`.
import { spawnSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { parseArgs } from "node:util";

const { values } = parseArgs({
  options: { from: { type: "string", default: "2" }, to: { type: "string", default: "21" } },
});
const files = readdirSync("tests", { recursive: true })
  .map((name) => join("tests", name))
  .filter((path) => path.endsWith(".test.ts") && readFileSync(path, "utf8").includes('from "fast-check"'));
const failed = [];
for (let seed = Number(values.from); seed <= Number(values.to); seed += 1) {
  const { status } = spawnSync("npx", ["vitest", "run", "--config", "tests/vitest.config.ts", ...files], {
    stdio: ["ignore", "ignore", "inherit"],
    env: { ...process.env, HOMELEG_TEST_SEED: String(seed) },
  });
  if (status !== 0) failed.push(seed);
  process.stdout.write(`seed ${seed}: ${status === 0 ? "passed" : "FAILED"}\n`);
}
if (failed.length > 0) {
  process.stdout.write(`See one with HOMELEG_TEST_SEED=${failed[0]} npm test\n`);
  process.exitCode = 1;
}
