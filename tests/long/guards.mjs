// Takes each guard of the threat model out of a copy of the program, and expects its test to fail: `npm run guards`,
// `-- --only xml` for those whose file or threat has the word, `-- --from 20` from one on. A guard whose test
// passes without it is worth nothing.
import { spawn } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { parseArgs } from "node:util";
import { GUARDS } from "../security/guards.mjs";

const { values } = parseArgs({
  options: { only: { type: "string", default: "" }, from: { type: "string", default: "0" } },
});
/** A test that never ends without its guard has failed too. */
const MOST_MS = 90_000;

const copy = mkdtempSync(join(tmpdir(), "homeleg-guards-"));
for (const name of [
  "src",
  "tests",
  "fixtures",
  "docs",
  "bin",
  "dist",
  "package.json",
  "tsconfig.json",
  ".rolldown.config.mjs",
])
  cpSync(name, join(copy, name), { recursive: true });
symlinkSync(resolve("node_modules"), join(copy, "node_modules"));
writeFileSync(
  join(copy, "vitest.config.mjs"),
  'import base from "./tests/vitest.config.ts";\nexport default { ...base, root: ".", test: { ...base.test, globalSetup: [] } };\n',
);

/** Runs something in a group of its own, so that nothing of it is left when it has to be ended. */
function run(command, args) {
  return new Promise((done) => {
    const child = spawn(command, args, { cwd: copy, detached: true, stdio: ["ignore", "pipe", "ignore"] });
    let text = "";
    child.stdout.on("data", (part) => (text += part));
    const end = setTimeout(() => {
      if (child.pid !== undefined) process.kill(-child.pid, "SIGKILL");
    }, MOST_MS);
    child.on("close", (status) => {
      clearTimeout(end);
      done({ status, text });
    });
  });
}
const build = () => run("npm", ["run", "build"]);
async function passes({ test, name }) {
  const pattern = name.replaceAll(/[.*+?^${}()|[\]\\]/g, "\\$&");
  const vitest = resolve("node_modules/vitest/vitest.mjs");
  const { status, text } = await run("node", [vitest, "run", "--config", "vitest.config.mjs", test, "-t", pattern]);
  if (status === 0 && !/Tests +.*[1-9]\d* passed/.test(text)) throw new Error(`${test} has no test named ${name}`);
  return status === 0;
}

let useless = 0;
let tried = 0;
try {
  for (const guard of Object.values(GUARDS).flat().slice(Number(values.from))) {
    if (!`${guard.file} ${guard.threat}`.includes(values.only)) continue;
    const path = join(copy, guard.file);
    const whole = readFileSync(path, "utf8");
    writeFileSync(
      path,
      whole.replace(guard.find, () => guard.put),
    );
    if (guard.isBuilt) await build();
    const isUseless = await passes(guard);
    writeFileSync(path, whole);
    if (guard.isBuilt) await build();
    tried += 1;
    if (isUseless) useless += 1;
    console.log(`${isUseless ? "PASSES WITHOUT ITS GUARD" : "fails without its guard"}: ${guard.test}, ${guard.name}`);
  }
} finally {
  rmSync(copy, { recursive: true, force: true });
}
console.log(`${tried} guards taken out, ${useless} of them without any test noticing`);
process.exitCode = useless > 0 || tried === 0 ? 1 : 0;
