// Many random corruptions of the fixtures: `npm run fuzz -- --cases 10000 --seed 1`.
import { spawnSync } from "node:child_process";
import { parseArgs } from "node:util";

const { values } = parseArgs({
  options: { cases: { type: "string", default: "10000" }, seed: { type: "string", default: "1" } },
});
const { status } = spawnSync(
  "npx",
  ["vitest", "run", "--config", "tests/vitest.config.ts", "--testTimeout", "3600000", "tests/parsers/fuzz.test.ts"],
  { stdio: "inherit", env: { ...process.env, HOMELEG_FUZZ_CASES: values.cases, HOMELEG_FUZZ_SEED: values.seed } },
);
process.exitCode = status ?? 1;
