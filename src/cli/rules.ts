import { type Command, Option } from "commander";
import { editDistance } from "../num/edit-distance.js";
import { POLICY, type Rule, RULES, UserError } from "../index.js";

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

function findRule(id: string): Rule {
  const found = RULES.find((rule) => rule.id === id);
  if (found !== undefined) return found;
  const nearest = [...RULES].sort((a, b) => editDistance(id, a.id) - editDistance(id, b.id))[0];
  const hint = nearest === undefined ? undefined : `Did you mean ${nearest.id}? \`homeleg rules\` lists all.`;
  throw new UserError("rule-unknown", `There is no rule ${id}.`, { hint });
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
  const width = Math.max(...rules.map(({ id }) => id.length));
  return `${rules.map(({ id, question }) => `${id.padEnd(width)}  ${question}`).join("\n")}\n`;
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
