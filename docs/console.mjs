// Runs the commands of a page in a folder of their own, one after another, and puts what they print under each.
// In a ```console block a line that begins with "$ " is typed, the rest is output. A block under <!-- file: NAME --> is
// written to that file when its turn comes.
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const BLOCK = /(?:<!-- file: (\S+) -->\n\n)?^```([a-z]*)\n([\s\S]*?)^```$/gm;
const MARK = ":: end of command ::";

/** @returns the page with fresh output under every command; its folder has what a clone has: `bin` and `fixtures` */
export function withOutputs(page) {
  if (page === undefined) return undefined;
  const steps = [...page.matchAll(BLOCK)].flatMap(([, file, language, text]) => {
    if (file !== undefined) return [`cat > '${file}' <<'${MARK}'\n${text}${MARK}`];
    return language === "console" ? commandsOf(text).map((command) => `{ ${command}\n} 2>&1`) : [];
  });
  const outputs = run(steps);
  let step = 0;
  return page.replaceAll(BLOCK, (block, file, language, text) => {
    if (file !== undefined) step += 1;
    if (file !== undefined || language !== "console") return block;
    const lines = commandsOf(text).map((command) => `$ ${command}\n${outputs[step++]}`);
    return `\`\`\`console\n${lines.join("")}\`\`\``;
  });
}

function commandsOf(text) {
  return text.split("\n").flatMap((line) => (line.startsWith("$ ") ? [line.slice(2)] : []));
}

/** The steps in one shell, so that `cd` and `$?` mean what they mean to whoever types them. */
function run(steps) {
  const folder = mkdtempSync(join(tmpdir(), "homeleg-page-"));
  try {
    for (const name of ["bin", "fixtures"]) symlinkSync(join(ROOT, name), join(folder, name));
    const script = steps.map((step) => `${step}\nset -- $?; echo "${MARK}"; (exit $1)\n`).join("");
    const { stdout, status, error } = spawnSync("bash", ["-O", "expand_aliases"], {
      cwd: folder,
      input: script,
      encoding: "utf8",
      env: { ...process.env, NO_COLOR: "1", TZ: "UTC" },
    });
    if (error !== undefined) throw error;
    const outputs = stdout.split(`${MARK}\n`);
    if (outputs.length !== steps.length + 1)
      throw new Error(`The commands of a page ended early (${status}):\n${stdout}`);
    return outputs;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
