// Writes the parts of docs/ that the code knows better than a person: the head of each rule's page, the table of limits
// in settings.md, and both JSON Schemas. `--check` writes nothing, names the files that have drifted, and exits 1.
// Run it through `npm run docs`, which builds dist/ first.
import { readFile, writeFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { homelegJsonSchema } from "../dist/config/schema.js";
import { POLICY, RULES } from "../dist/index.js";
import { resultJsonSchema } from "../dist/reporters/result-schema.js";

const HERE = fileURLToPath(new URL(".", import.meta.url));
const OPEN = "<!-- generated -->";
const CLOSE = "<!-- /generated -->";

/** What every generated file should hold, by its name under docs/. */
async function wanted() {
  const files = new Map();
  for (const rule of RULES) {
    const name = `rules/${rule.id}.md`;
    files.set(name, between(await read(name), ruleHead(rule), `# ${rule.id}\n\n${OPEN}\n${CLOSE}\n`));
  }
  files.set("settings.md", between(await read("settings.md"), policyTable(), undefined));
  files.set("result.schema.json", json(resultJsonSchema()));
  files.set("homeleg.schema.json", json(homelegJsonSchema()));
  return files;
}

/** Puts generated text between the markers of a page; a page that is not there yet begins as `otherwise`. */
function between(page, generated, otherwise) {
  const text = page ?? otherwise;
  const from = text?.indexOf(OPEN) ?? -1;
  const to = text?.indexOf(CLOSE) ?? -1;
  if (from < 0 || to < from) return undefined;
  return `${text.slice(0, from)}${OPEN}\n\n${generated}\n\n${text.slice(to)}`;
}

function ruleHead(rule) {
  const isMoment = rule.kind === "moment";
  const code = (names) => names.map((name) => `\`${name}\``).join(", ");
  const facts = [
    `- **Id**: \`${rule.id}\``,
    `- **Kind**: ${isMoment ? "moment (every moment of the flight is judged)" : "conduct (the flight is judged once)"}`,
    `- **Question**: ${rule.question}`,
    `- **Unit of the value**: ${unitText(rule.unit)}`,
    `- **Needs**: ${isMoment ? code(rule.needs) : "the whole flight"}`,
    ...(isMoment && rule.accepts.length > 0 ? [`- **Reads too, where known**: ${code(rule.accepts)}`] : []),
  ];
  const limits = Object.values(rule.limits);
  if (limits.length === 0) return [...facts, "- **Limits in the policy**: none"].join("\n");
  const rows = limits.map((key) => [`\`policy.${key}\``, ...policyCells(key)]);
  return [...facts, "", ...table([["Limit", "Default", "Unit", "Source"], ...rows])].join("\n");
}

function policyTable() {
  const rows = Object.keys(POLICY).map((key) => {
    const users = RULES.filter(({ limits }) => Object.values(limits).includes(key)).map(({ id }) => id);
    return [`\`${key}\``, ...policyCells(key), users.length === 0 ? "-" : users.join(", ")];
  });
  return table([["Key", "Default", "Unit", "Source", "Limit of the rules"], ...rows]).join("\n");
}

function policyCells(key) {
  const { value, unit, source } = POLICY[key];
  return [String(value), unitText(unit), source];
}

function unitText(unit) {
  return unit === "1" ? "a plain number" : unit;
}

/** A table padded as prettier pads it, so that generated text is formatted text. */
function table(rows) {
  const widths = rows[0].map((_, column) => Math.max(3, ...rows.map((row) => row[column].length)));
  const line = (cells) => `| ${cells.map((cell, column) => cell.padEnd(widths[column])).join(" | ")} |`;
  const [head, ...body] = rows;
  return [line(head), line(widths.map((width) => "-".repeat(width))), ...body.map(line)];
}

function json(value) {
  return `${JSON.stringify(value, null, 2)}\n`;
}

/** The text of a file under docs/; undefined where there is none. */
async function read(name) {
  try {
    return await readFile(HERE + name, "utf8");
  } catch (error) {
    if (error.code === "ENOENT") return undefined;
    throw error;
  }
}

const isCheck = process.argv.includes("--check");
const drifted = [];
const unmarked = [];
for (const [name, text] of await wanted()) {
  if (text === undefined) unmarked.push(name);
  else if (text !== (await read(name))) {
    drifted.push(name);
    if (!isCheck) await writeFile(HERE + name, text);
  }
}
for (const name of unmarked) console.error(`docs/${name} is missing, or lacks ${OPEN} … ${CLOSE}.`);
if (isCheck) {
  for (const name of drifted) console.error(`docs/${name} has drifted from the code. Run: npm run docs`);
} else {
  for (const name of drifted) console.log(`docs/${name} written.`);
}
if (unmarked.length > 0 || (isCheck && drifted.length > 0)) process.exitCode = 1;
