import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

/** Tests that call the sources in this process, and so see a mutant; nothing here needs a build. */
export default defineConfig({
  root: fileURLToPath(new URL("../..", import.meta.url)),
  test: {
    include: (process.env["HOMELEG_MUTATION_TESTS"] ?? "").split(" "),
    setupFiles: ["tests/mutation/setup.ts"],
    isolate: false,
    testTimeout: 20_000,
  },
});
