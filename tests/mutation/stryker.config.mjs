import { fileURLToPath } from "node:url";

/** See docs/mutation.md for what is left alone, and why. */
export default {
  testRunner: "vitest",
  plugins: ["@stryker-mutator/vitest-runner", fileURLToPath(new URL("ignore-prose.mjs", import.meta.url))],
  vitest: { configFile: "tests/mutation/vitest.config.ts", related: false },
  coverageAnalysis: "perTest",
  // What runs once, when a module is loaded, would take every test for each mutant.
  ignoreStatic: true,
  ignorers: ["prose"],
  concurrency: 2,
  tempDirName: ".stryker-tmp",
  ignorePatterns: ["dist", "coverage"],
  reporters: ["clear-text"],
  clearTextReporter: { allowColor: false, allowEmojis: false, logTests: false, reportTests: false },
  allowEmpty: false,
};
