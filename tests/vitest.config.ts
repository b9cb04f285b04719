import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

export default defineConfig({
  root: fileURLToPath(new URL("..", import.meta.url)),
  test: {
    include: ["tests/**/*.test.ts"],
    globalSetup: ["tests/global-setup.ts"],
    setupFiles: ["tests/setup.ts"],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    // All cores: most of the time goes into processes of the command line and a browser.
    maxWorkers: "100%",
    coverage: {
      provider: "v8",
      include: ["src/**/*.ts"],
      // The command line runs in processes of its own, which coverage does not see.
      exclude: ["src/cli/**"],
      // Lines and functions: branches would count every `?? NaN` that an index wants and that is never taken.
      thresholds: { lines: 95, functions: 95, "src/num/**": { lines: 100 }, "src/rules/**": { lines: 100 } },
    },
  },
});
