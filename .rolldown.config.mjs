// Joins the command line into few files: a start that reads hundreds of modules costs more than a small audit. What is
// imported late stays in files of its own, read only when it is asked for. Small dependencies are joined too, with their
// licences; those that are large, seldom needed or without a licence text stay outside.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";

const OUTSIDE = ["geotiff", "piscina", "proj4", "saxes"];

/** @type {import("rolldown").Plugin} */
const licences = {
  name: "licences",
  generateBundle() {
    const folders = [...this.getModuleIds()].flatMap(
      (id) => /^.*[\\/]node_modules[\\/](?:@[^\\/]+[\\/])?[^\\/]+/.exec(id) ?? [],
    );
    const texts = [...new Set(folders)].sort().map((folder) => {
      const { name, version, license } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
      const file = readdirSync(folder).find((entry) => /^licen[cs]e/i.test(entry));
      if (file === undefined) throw new Error(`${name} carries no licence text, so it cannot be joined.`);
      return `${name} ${version} (${license})\n\n${readFileSync(join(folder, file), "utf8").trim()}\n`;
    });
    this.emitFile({ type: "asset", fileName: "LICENSES.txt", source: texts.join(`\n${"-".repeat(72)}\n\n`) });
  },
};

/** @type {import("rolldown").RolldownOptions} */
export default {
  input: { main: "src/cli/main.ts", "audit-worker": "src/cli/audit-worker.ts" },
  platform: "node",
  logLevel: "warn",
  external: (id) => id.startsWith("node:") || OUTSIDE.some((name) => id === name || id.startsWith(`${name}/`)),
  plugins: [licences],
  // As deep in dist/ as the modules it joins, so that paths to the package's own files hold in both.
  output: { dir: "dist/program", format: "esm", entryFileNames: "[name].js", chunkFileNames: "[name]-[hash].js" },
};
