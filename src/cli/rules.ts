import { type Command, Option } from "commander";
import { readFile } from "node:fs/promises";
import { findRule, POLICY, type Rule, RULES } from "../index.js";
import { pageText } from "./page-text.js";

const PAGE_WIDTH = 80;
/** Where the generated head of a page ends; the code says the same above it. */
const HEAD_ENDS = "<!-- /generated -->";

/** Adds `homeleg rules`. */
export function addRules(program: Command): void {
  program
    .command("rules")
    .summary("list the rules, or explain one")
    .description("Lists the rules, or explains one: its question, its limits, and where they come from.")
    .argument("[id]", "the id of a rule, such as ceiling-low")
    .addOption(new Option("--format <format>", "what to write").choices(["text", "json"]).default("text"))
    .action(async (id: string | undefined, { format }: { format: "text" | "json" }) => {
      const rules = id === undefined ? RULES : [findRule(id)];
      if (format === "json") process.stdout.write(`${JSON.stringify(rules.map(describe), null, 2)}\n`);
      else process.stdout.write(id === undefined ? listOf(rules) : await explained(rules));
    });
}

function describe(rule: Rule): object {
  return {
    id: rule.id,
    kind: rule.kind,
    question: rule.question,
    unit: rule.unit,
    needs: rule.kind === "moment" ? rule.needs : [],
    limits: Object.values(rule.limits).map((key) => ({ policy: `policy.${key}`, ...POLICY[key] })),
  };
}

function listOf(rules: readonly Rule[]): string {
  // The question beneath its rule: beside it, the longest would not fit a screen.
  return `${rules.map(({ id, question }) => `${id}\n  ${question}`).join("\n")}\n`;
}

function explain(rule: Rule): string {
  const kind = rule.kind === "moment" ? "judges every moment" : "judges the flight once";
  const limits = Object.values(rule.limits).map((key) => {
    const { value, unit, source } = POLICY[key];
    const limit = `  policy.${key} = ${value}${unit === "1" ? "" : ` ${unit}`}`;
    const line = `${limit}  (${source})`;
    return line.length > PAGE_WIDTH ? `${limit}\n    (${source})` : line;
  });
  return [
    `${rule.id}  (${kind})`,
    "",
    `  ${pageText(rule.question, PAGE_WIDTH - 2).trimEnd()}`,
    "",
    ...(limits.length > 0 ? ["Limits, with where they come from:", ...limits, ""] : []),
  ].join("\n");
}

/** What the page of the rule has that the code has not: why, when thin and when fail, an example, what to do. */
async function explained(rules: readonly Rule[]): Promise<string> {
  const texts = rules.map(async (rule) => {
    const file = new URL(`../../docs/rules/${rule.id}.md`, import.meta.url);
    const page = await readFile(file, "utf8");
    const body = page.slice(page.indexOf(HEAD_ENDS) + HEAD_ENDS.length);
    return `${explain(rule)}\n${pageText(body, PAGE_WIDTH)}\nWith a picture: docs/rules/${rule.id}.md\n`;
  });
  return (await Promise.all(texts)).join("\n");
}
