// Plants modules that break the boundaries and expects the checker to find each: a checker that cannot read the sources
// reports nothing and passes.
import { spawnSync } from "node:child_process";
import { rmSync, writeFileSync } from "node:fs";

const plants = [
  { file: "src/num/canary.ts", text: 'export { RULES } from "../rules/index.js";\n', rule: "num-imports" },
  { file: "src/rules/canary.ts", text: 'export { fixWeak } from "./fix-weak.js";\n', rule: "rules-apart" },
  { file: "src/score/canary.ts", text: 'export { readFileSync } from "node:fs";\n', rule: "pure-core" },
  {
    file: "tests/oracles/canary.ts",
    text: 'export { line } from "../../src/num/geodesic.js";\n',
    rule: "oracles-alone",
  },
];

try {
  for (const { file, text } of plants) writeFileSync(file, text, { flag: "wx" });
  const run = spawnSync("npx", ["depcruise", "--config", ".dependency-cruiser.cjs", "src", "tests/oracles"], {
    encoding: "utf8",
  });
  const missed = plants.filter(({ rule, file }) => !run.stdout.includes(`${rule}: ${file}`));
  if (run.status === 0 || missed.length > 0) {
    console.error(`The boundary check missed what was planted: ${missed.map(({ rule }) => rule).join(", ")}`);
    console.error(run.stdout, run.stderr);
    process.exitCode = 1;
  } else {
    console.log(`boundaries: ${plants.length} planted violations found`);
  }
} finally {
  for (const { file } of plants) rmSync(file, { force: true });
}
