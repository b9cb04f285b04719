import { type Command, Option } from "commander";
import { findRule, POLICY, type Rule, RULES } from "../index.js";

/** Adds `homeleg rules`. */
export function addRules(program: Command): void {
  program
    .command("rules")
    .summary("list the rules, or explain one")
    .description("Lists the rules, or explains one: its question, its limits, and where they come from.")
    .argument("[id]", "the id of a rule, such as ceiling-low")
    .addOption(new Option("--format <format>", "what to write").choices(["text", "json"]).default("text"))
    .action((id: string | undefined, { format }: { format: "text" | "json" }) => {
      const rules = id === undefined ? RULES : [findRule(id)];
      if (format === "json") process.stdout.write(`${JSON.stringify(rules.map(describe), null, 2)}\n`);
      else process.stdout.write(id === undefined ? listOf(rules) : rules.map(explain).join("\n"));
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
    return `  policy.${key} = ${value}${unit === "1" ? "" : ` ${unit}`}  (${source})`;
  });
  return [
    `${rule.id}  (${kind})`,
    "",
    `  ${rule.question}`,
    "",
    ...(limits.length > 0 ? ["Limits, with where they come from:", ...limits, ""] : []),
    `More: docs/rules/${rule.id}.md`,
    "",
  ].join("\n");
}
