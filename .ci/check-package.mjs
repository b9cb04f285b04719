// Packs the package, installs the tarball in an empty folder, runs it there, and type-checks a program that imports it.
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const folder = mkdtempSync(join(tmpdir(), "homeleg-package-"));
const run = (command, args, cwd = folder) =>
  execFileSync(command, args, { cwd, encoding: "utf8", stdio: ["ignore", "pipe", "inherit"] });

/** All that a package may hold; the docs are read by `homeleg rules`, the demo by `homeleg demo`. */
const NEEDED = [
  /^(?:package\.json|README\.md|CHANGELOG\.md|LICENSE|bin\/homeleg\.js)$/,
  /^dist\/[\w/-]+\.(?:js|d\.ts)$/,
  /^dist\/program\/LICENSES\.txt$/,
  /^docs\/[\w./-]+\.(?:md|svg|json)$/,
  /^fixtures\/demo\/[\w.-]+\.(?:csv|gpx|asc|geojson|yaml)$/,
];

/** A program that uses what the README shows, and more, in the strictest TypeScript there is. */
const USE = `import {
  type LogAudit, type LogResult, type RunResult, type Setting, UserError,
  adviseSite, auditLog, findRule, fitAircraft, flightGeometry, htmlPage, inspectLog, jsonReport, junitReport,
  loadSetting, markdownReport, momentsTable, readFitLog, rehearse, rehearsalText, RULES, summarize, textReport,
} from "homeleg";

const setting: Setting = await loadSetting({ sets: ["settings.recovery_height=50 m"] });
const audit: LogAudit = await auditLog(new Uint8Array(), setting, { path: "none" });
const result: LogResult = audit.result;
const run: RunResult = {
  format: "homeleg-result", format_version: 1, tool_version: "1", config: [], logs: [result], summary: summarize([result]),
};
const look = { color: 0, ascii: true, width: 80, units: "metric", quiet: false, explainScore: false } as const;
const texts: readonly string[] = [
  textReport(run, look), jsonReport(run), junitReport(run, { gate: "fail" }), markdownReport(run, look), await htmlPage(audit),
];
const score: number | null | undefined = result.flights[0]?.score;
const columns: readonly string[] = momentsTable("none", audit.flights).columns;
const fit = fitAircraft([await readFitLog(new Uint8Array(), setting, { path: "none" })]);
const ids: readonly string[] = RULES.map(({ id }) => id);
try {
  rehearsalText(await rehearse(new Uint8Array(), setting, { path: "none", at: "1:00" }), look);
} catch (error) {
  if (!(error instanceof UserError)) throw error;
}
const { parser } = await inspectLog(new Uint8Array(), setting, { path: "none" });
if (parser !== null || score !== undefined || fit.drain !== null || columns.length < 10 || ids.length < 10) throw new Error("odd");
export const made = { texts, flown: audit.flights.map(flightGeometry), rule: findRule("reserve-short"), adviseSite };
`;
const RESOLUTIONS = [
  { module: "node16", moduleResolution: "node16" },
  { module: "nodenext", moduleResolution: "nodenext" },
  { module: "esnext", moduleResolution: "bundler" },
];

/** Type-checks the consumer as the three ways of finding a package do, and runs it. */
function checkConsumer() {
  writeFileSync(join(folder, "use.ts"), USE);
  const tsc = resolve("node_modules/typescript/bin/tsc");
  for (const how of RESOLUTIONS) {
    const compilerOptions = {
      ...how,
      strict: true,
      exactOptionalPropertyTypes: true,
      noUncheckedIndexedAccess: true,
      verbatimModuleSyntax: true,
      target: "es2023",
      types: ["node"],
      typeRoots: [resolve("node_modules/@types")],
      outDir: `out-${how.moduleResolution}`,
    };
    writeFileSync(join(folder, "tsconfig.json"), JSON.stringify({ compilerOptions, files: ["use.ts"] }));
    run("node", [tsc, "-p", "tsconfig.json"]);
    run("node", [join(`out-${how.moduleResolution}`, "use.js")]);
  }
}

try {
  const [{ filename, files, size }] = JSON.parse(
    run("npm", ["pack", "--json", "--ignore-scripts", "--pack-destination", folder], process.cwd()),
  );
  const strays = files.map(({ path }) => path).filter((path) => !NEEDED.some((needed) => needed.test(path)));
  if (strays.length > 0) throw new Error(`The package holds what it should not: ${strays.join(", ")}`);
  writeFileSync(join(folder, "package.json"), JSON.stringify({ name: "consumer", private: true, type: "module" }));
  run("npm", ["install", "--no-audit", "--no-fund", join(folder, filename)]);
  const version = run("npx", ["homeleg", "--version"]).trim();
  const demo = run("npx", ["homeleg", "demo", "--quiet"]);
  if (!/score/.test(demo)) throw new Error(`The demo of the installed package says nothing:\n${demo}`);
  checkConsumer();
  console.log(
    `package: ${filename}, ${files.length} files, ${(size / 1024).toFixed(0)} KiB, version ${version}, installs, runs and type-checks`,
  );
} finally {
  rmSync(folder, { recursive: true, force: true });
}
