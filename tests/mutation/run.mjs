// Mutation testing: breaks one thing at a time in the files named, and runs the tests that must notice. A mutant that none
// of them notices has survived, and is printed with its place. `npm run mutate -- src/rules/fix-weak.ts src/num`.
import { spawnSync } from "node:child_process";
import { existsSync, readdirSync, statSync } from "node:fs";
import { basename } from "node:path";
import { fileURLToPath } from "node:url";

const ROOT = fileURLToPath(new URL("../..", import.meta.url));
const STRYKER = `${ROOT}node_modules/@stryker-mutator/core/bin/stryker.js`;

/** Tests of a file that has no test file of its own. */
const TESTS = {
  "src/rules": ["tests/rules"],
  "src/num": ["tests/num", "tests/reference"],
  "src/air": ["tests/air", "tests/reference"],
  "src/recovery": ["tests/recovery", "tests/rules"],
  "src/score": ["tests/score", "tests/rules"],
};

/** Tests that hold a file, or each file of a folder, beside its own. */
const BESIDE = {
  "src/rules": ["tests/rules/contract.test.ts"],
  "src/num": ["tests/reference/**/*.test.ts"],
  "src/air": ["tests/reference/**/*.test.ts"],
  "src/recovery/turnback.ts": ["tests/recovery/safe-return.test.ts"],
  "src/recovery/replay-flight.ts": ["tests/recovery/plan.test.ts"],
  "src/score/flight-result.ts": ["tests/score/flight-extent.test.ts", "tests/score/flight-score.test.ts"],
};

/** The runs that a folder or file takes: one a file with its own tests, one for all the others. */
function runsFor(target) {
  const folder = Object.keys(TESTS).find((one) => target === one || target.startsWith(`${one}/`));
  if (folder === undefined) throw new Error(`${target} is not in ${Object.keys(TESTS).join(", ")}`);
  const isFolder = statSync(`${ROOT}${target}`).isDirectory();
  const files = isFolder ? readdirSync(`${ROOT}${target}`).map((name) => `${target}/${name}`) : [target];
  const own = (file) => `tests/${folder.slice("src/".length)}/${basename(file, ".ts")}.test.ts`;
  const alone = files.filter((file) => existsSync(`${ROOT}${own(file)}`));
  const others = files.filter((file) => !alone.includes(file));
  return [
    ...alone.map((file) => ({ files: [file], tests: [own(file), ...(BESIDE[folder] ?? []), ...(BESIDE[file] ?? [])] })),
    ...(others.length > 0 ? [{ files: others, tests: TESTS[folder].map((tests) => `${tests}/**/*.test.ts`) }] : []),
  ];
}

function mutate({ files, tests }) {
  const { status } = spawnSync(
    process.execPath,
    [STRYKER, "run", "tests/mutation/stryker.config.mjs", "--mutate", files.join(",")],
    { cwd: ROOT, stdio: "inherit", env: { ...process.env, HOMELEG_MUTATION_TESTS: tests.join(" ") } },
  );
  return status === 0;
}

const asked = process.argv.slice(2).map((path) => path.replace(/\/$/, ""));
const results = (asked.length > 0 ? asked : Object.keys(TESTS)).flatMap(runsFor).map(mutate);
process.exitCode = results.every(Boolean) ? 0 : 1;
