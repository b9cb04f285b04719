// Packs the package, installs the tarball in an empty folder, runs it there, and type-checks a program that imports it.
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const folder = mkdtempSync(join(tmpdir(), "homeleg-package-"));
const run = (command, args, cwd = folder) =>
  execFileSync(command, args, { cwd, encoding: "utf8", stdio: ["ignore", "pipe", "inherit"] });

try {
  const [{ filename, files, size }] = JSON.parse(
    run("npm", ["pack", "--json", "--ignore-scripts", "--pack-destination", folder], process.cwd()),
  );
  const strays = files
    .map(({ path }) => path)
    .filter((path) => /^(src|tests|\.ci)\//.test(path) || /\.test\./.test(path));
  if (strays.length > 0) throw new Error(`The package holds what it should not: ${strays.join(", ")}`);
  writeFileSync(join(folder, "package.json"), JSON.stringify({ name: "consumer", private: true, type: "module" }));
  run("npm", ["install", "--no-audit", "--no-fund", join(folder, filename)]);
  const version = run("npx", ["homeleg", "--version"]).trim();
  const demo = run("npx", ["homeleg", "demo", "--quiet"]);
  if (!/score/.test(demo)) throw new Error(`The demo of the installed package says nothing:\n${demo}`);
  writeFileSync(
    join(folder, "use.ts"),
    'import { auditLog, loadSetting, type LogResult } from "homeleg";\n' +
      "const setting = await loadSetting();\n" +
      'const { result }: { result: LogResult } = await auditLog(new Uint8Array(), setting, { path: "none" });\n' +
      "export const score: number | null | undefined = result.flights[0]?.score;\n",
  );
  const tsc = resolve("node_modules/typescript/bin/tsc");
  run("node", [tsc, "--noEmit", "--strict", "--module", "nodenext", "--target", "es2023", "use.ts"]);
  console.log(
    `package: ${filename}, ${files.length} files, ${(size / 1024).toFixed(0)} KiB, version ${version}, installs, runs and type-checks`,
  );
} finally {
  rmSync(folder, { recursive: true, force: true });
}
