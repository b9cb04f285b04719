// Writes the parts of docs/ that the code knows better than a person: the head of each rule's page, the table of limits
// in settings.md, the words and units in formats.md, the outputs in
// tutorial.md, and all JSON Schemas. `--check` writes nothing, names the files that have drifted, and exits 1.
// Run it through `npm run docs`, which builds dist/ first.
import { readFile, writeFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { withOutputs } from "./console.mjs";
import { draw } from "./draw.mjs";
import { exampleOf } from "./examples.mjs";
import { PICTURES } from "./pictures.mjs";
import { homelegJsonSchema } from "../dist/config/schema.js";
import { auditLog, htmlPage, loadSetting, POLICY, RULES } from "../dist/index.js";
import { idOf } from "../dist/parsers/ask-column.js";
import { CHANNEL_WORDS } from "../dist/parsers/channel-words.js";
import { TIME_WORDS, UNCLEAR_WORDS } from "../dist/parsers/other-words.js";
import { UNITS } from "../dist/parsers/units.js";
import { aloneSvg } from "../dist/reporters/html/svg.js";
import { JSON_SCHEMAS } from "../dist/reporters/schemas/index.js";
import { CHANNELS } from "../dist/track/channels.js";

const HERE = fileURLToPath(new URL(".", import.meta.url));
const OPEN = "<!-- generated -->";
/** A page with several generated parts names each. */
const openOf = (part) => `<!-- generated: ${part} -->`;
const CLOSE = "<!-- /generated -->";

/** What every generated file should hold, by its name under docs/. */
async function wanted() {
  const files = new Map();
  for (const rule of RULES) {
    const name = `rules/${rule.id}.md`;
    const page = between(await read(name), ruleHead(rule), `# ${rule.id}\n\n${OPEN}\n${CLOSE}\n`);
    files.set(name, page && between(page, await exampleOf(rule.id), undefined, openOf("example")));
    files.set(`rules/${rule.id}.svg`, PICTURES[rule.id] && draw(PICTURES[rule.id]));
  }
  files.set("settings.md", between(await read("settings.md"), policyTable(), undefined));
  files.set("formats.md", formatsPage(await read("formats.md")));
  for (const [name, schema] of Object.entries(JSON_SCHEMAS)) files.set(name, json(schema));
  files.set("homeleg.schema.json", json(homelegJsonSchema()));
  files.set("tutorial.md", withOutputs(await read("tutorial.md")));
  files.set("report-battery.svg", await picture("4-late-into-wind.csv", "f1-battery"));
  files.set("report-side.svg", await picture("3-behind-the-ridge.csv", "f1-r1"));
  return files;
}

/** One drawing out of the page of a demo flight, as a file of its own. */
async function picture(name, id) {
  const folder = fileURLToPath(new URL("../fixtures/demo/", import.meta.url));
  const setting = await loadSetting({ startFolder: folder });
  const audit = await auditLog(await readFile(`${folder}${name}`), setting, { path: name });
  const page = await htmlPage(audit);
  const title = page.indexOf(`aria-labelledby="${id}-t"`);
  const from = page.lastIndexOf("<svg", title);
  return aloneSvg(page.slice(from, page.indexOf("</svg>", from) + "</svg>".length));
}

/** Puts generated text between the markers of a page; a page that is not there yet begins as `otherwise`. */
function between(page, generated, otherwise, open = OPEN) {
  const text = page ?? otherwise;
  const from = text?.indexOf(open) ?? -1;
  const to = text?.indexOf(CLOSE, from) ?? -1;
  if (from < 0 || to < from) return undefined;
  return `${text.slice(0, from)}${open}\n\n${generated}\n\n${text.slice(to)}`;
}

function ruleHead(rule) {
  const isMoment = rule.kind === "moment";
  const code = (names) => names.map((name) => `\`${name}\``).join(", ");
  const facts = [
    `![${PICTURES[rule.id]?.says}](${rule.id}.svg)`,
    "",
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

function formatsPage(page) {
  const parts = { words: wordsTable(), unclear: unclearTable(), time: timeWords(), units: unitsTable() };
  return Object.entries(parts).reduce(
    (text, [part, generated]) => text && between(text, generated, undefined, openOf(part)),
    page,
  );
}

/** Every channel with the words for it; cell after cell has the same words, and one row stands for all. */
function wordsTable() {
  const rows = CHANNEL_WORDS.filter(({ channel }) => !/^cellVoltage([2-9]|1\d)_V$/.test(channel)).map(
    ({ channel, names, short = [], withUnit = [], unitless }) => {
      const unit = channel === "mode" ? "text" : CHANNELS[channel].unit;
      const only = withUnit.length === 0 ? "" : `; with a unit: ${withUnit.join(", ")}`;
      return [`\`${idOf(channel)}\``, unit, [...names, ...short].join(", ") + only, UNITLESS[unitless]];
    },
  );
  return table([["Channel", "Kept in", "Words", "No unit stated"], ...rows]).join("\n");
}

const UNITLESS = {
  own: "there is only one",
  volts: "V, if the values look like it",
  cell: "V, if the values look like it",
  degrees: "deg, if a value is over 7",
  percent: "%, if a value is over 1 and none over 100",
  "over-60": "%, if a value is over 60 and none over 100",
  ask: "asked for",
};

function unclearTable() {
  const rows = UNCLEAR_WORDS.map(({ words, channels, why }) => [
    words.join(", "),
    why,
    channels.map((channel) => `\`${idOf(channel)}\``).join(", "),
  ]);
  return table([["Words", "Why they are asked about", "What they may be"], ...rows]).join("\n");
}

function timeWords() {
  return TIME_WORDS.map((word) => `\`${word}\``).join(", ");
}

function unitsTable() {
  const rows = Object.entries(UNITS)
    .filter(([dimension]) => !["number", "fix", "flag"].includes(dimension))
    .flatMap(([dimension, units]) =>
      units.map(([name, spellings]) => [dimension, name, `\`${spellings.split(" ").join("` `")}\``]),
    );
  return table([["Quantity", "Unit", "Also spelled"], ...rows]).join("\n");
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
for (const name of unmarked) {
  console.error(`docs/${name} is missing, lacks ${OPEN} … ${CLOSE}, or has no entry in docs/pictures.mjs.`);
}
if (isCheck) {
  for (const name of drifted) console.error(`docs/${name} has drifted from the code. Run: npm run docs`);
} else {
  for (const name of drifted) console.log(`docs/${name} written.`);
}
if (unmarked.length > 0 || (isCheck && drifted.length > 0)) process.exitCode = 1;
