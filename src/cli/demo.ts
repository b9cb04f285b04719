import { fileURLToPath } from "node:url";
import { relative } from "node:path";
import type { Command } from "commander";
import { audit } from "./audit.js";
import type { AuditFlags } from "./audit-flags.js";
import { EXIT } from "./exit.js";
import { textOptions } from "./options.js";
import { REPORTERS } from "./reporters.js";
import type { LookFlags } from "./terminal.js";

const FOLDER = fileURLToPath(new URL("../../fixtures/demo", import.meta.url));

/** Adds `homeleg demo`. */
export function addDemo(program: Command): void {
  const command = program
    .command("demo")
    .summary("audit the bundled flights of an invented club")
    .description("Audits the bundled flights. The club, the site, the people and the flights are invented.");
  for (const option of textOptions()) command.addOption(option);
  command.action(async (look: LookFlags) => {
    process.exitCode = await demo(look);
  });
}

/** The demo has findings by design, so only what stops it from running is a failure. */
async function demo(look: LookFlags): Promise<number> {
  const folder = relative(process.cwd(), FOLDER);
  process.stdout.write("Five flights of an invented club at an invented site; all data here is made up.\n\n");
  const flags: AuditFlags = { ...look, format: REPORTERS.filter(({ id }) => id === "text"), set: [] };
  const code = await audit([folder.startsWith("..") ? FOLDER : folder], flags);
  return code === EXIT.gate ? EXIT.passed : code;
}
