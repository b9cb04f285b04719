// What must hold of every result and report, whatever the files held.
import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import addFormats from "ajv-formats";
import { SaxesParser } from "saxes";

const ajv = new Ajv2020({ strict: false });
addFormats.default(ajv);
const isValid = ajv.compile(JSON.parse(readFileSync("docs/result.schema.json", "utf8")));

/** Characters that no report may carry as they are. */
const UNSAFE =
  // oxlint-disable-next-line no-control-regex
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u200e\u200f\u202a-\u202e\u2066-\u2069]|\p{Surrogate}/u;
/** How a number that is none, or a value that is missing, shows in a text. */
const NO_VALUE = /\bNaN\b|\bInfinity\b|\bundefined\b|\[object /;

/** A fault of the program that a case brought to light. */
export class Fault extends Error {}

/** @throws Fault for a number that is none or a value that is missing, anywhere in what becomes JSON */
export function checkValues(value, path = "$") {
  if (typeof value === "number" && !Number.isFinite(value)) throw new Fault(`${path} is ${value}`);
  if (value === undefined) throw new Fault(`${path} is undefined`);
  if (Object.is(value, -0)) throw new Fault(`${path} is -0`);
  if (typeof value !== "object" || value === null) return;
  for (const [key, part] of Object.entries(value)) checkValues(part, `${path}.${key}`);
}

/** @throws Fault where a run does not keep to its schema */
export function checkRun(run) {
  checkValues(run);
  if (!isValid(run)) throw new Fault(`not as its schema says: ${ajv.errorsText(isValid.errors)}`);
}

/**
 * @param inputs what was read: where a text of it says NaN, a report may repeat it
 * @throws Fault for a character that must not come through, or a value that is none
 */
export function checkText(name, text, inputs) {
  const unsafe = UNSAFE.exec(text);
  if (unsafe !== null) throw new Fault(`${name} carries U+${unsafe[0].codePointAt(0).toString(16)}`);
  // A page's own script may name what a report may not, and so may what the XML reader says.
  const read = text.replace(/<script>[^]*?<\/script>|undefined(?=\s+entit)|entity-undefined/g, "");
  const bad = NO_VALUE.exec(read);
  if (bad === null || inputs.some((bytes) => bytes.includes(bad[0]))) return;
  throw new Fault(`${name} says ${read.slice(Math.max(0, bad.index - 60), bad.index + 30)}`);
}

/** @throws Fault for what is no XML */
export function checkXml(name, text) {
  const parser = new SaxesParser({});
  parser.on("error", (error) => {
    throw new Fault(`${name} is no XML: ${error.message}`);
  });
  parser.write(text).close();
}

/** @throws Fault for an error that is not one clear message */
export function checkError(error) {
  for (const line of error.line.split("\n")) {
    if (line.trim() === "" || line.length > 1000)
      throw new Fault(`no clear line: ${JSON.stringify(line.slice(0, 300))}`);
  }
}

/** @throws Fault for a problem that is not one line for people */
export function checkProblems(problems) {
  for (const { message, line } of problems) checkError({ line: `${line ?? ""} ${message}` });
}

/** @throws Fault for a track whose columns do not fit together, or whose values are out of the world */
export function checkTrack({ columns, length, breaks }) {
  const fail = (what) => {
    throw new Fault(`the track ${what}`);
  };
  for (const [name, values] of Object.entries(columns)) {
    if (values.length !== length) fail(`has ${values.length} values of ${name} in ${length} rows`);
    if (values.some((value) => value === Infinity || value === -Infinity)) fail(`has an infinite ${name}`);
  }
  const { time_s, latitude_deg, longitude_deg } = columns;
  if (time_s[0] !== 0 || time_s.some((time, row) => row > 0 && !(time > time_s[row - 1]))) fail("goes back in time");
  if (latitude_deg.some((value) => Math.abs(value) > 90)) fail("leaves the earth");
  if (longitude_deg.some((value) => Math.abs(value) > 180)) fail("leaves the map");
  if (breaks.some((row, k) => row <= (breaks[k - 1] ?? 0) || row >= length)) fail("breaks where it is not");
}
