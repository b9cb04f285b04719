import { digestOf } from "./sign-off.js";
import type { SignedFlight, SignoffRecord } from "./score/signoff-record.js";
import { UserError } from "./user-error.js";

/**
 * Reads a record as `signoff` wrote it.
 * @throws UserError where it is no such record, or of a later version
 */
export function parseSignoffRecord(text: string, file: string): SignoffRecord {
  const fail = (message: string): UserError =>
    new UserError("signoff-record", message, {
      where: { file },
      hint: "Give the JSON that `homeleg signoff --format json` wrote.",
    });
  let read: unknown;
  try {
    read = JSON.parse(text);
  } catch (error) {
    if (error instanceof SyntaxError) throw fail("This is no JSON.");
    throw error;
  }
  if (!isRecord(read) || read["format"] !== "homeleg-signoff") throw fail("This is no record of a sign-off.");
  if (read["format_version"] !== 1) throw fail(`This record is of version ${String(read["format_version"])}, not 1.`);
  const lacking = SHAPE.filter(([key, is]) => !is(read[key])).map(([key]) => key);
  if (lacking.length > 0) throw fail(`The record lacks, or has otherwise than it was written: ${lacking.join(", ")}.`);
  // What `verify` reads of it was looked at just now.
  return read as unknown as SignoffRecord;
}

type Check = (value: unknown) => boolean;
const isText: Check = (value) => typeof value === "string";
const isTextOrNull: Check = (value) => value === null || isText(value);
const isHash: Check = (value) => typeof value === "string" && /^[0-9a-f]{64}$/.test(value);
const hasFile: Check = (value) => isRecord(value) && isText(value["path"]) && isHash(value["sha256"]);
const all =
  (is: Check): Check =>
  (value) =>
    Array.isArray(value) && value.every(is);

const SHAPE: readonly (readonly [string, Check])[] = [
  ["tool_version", isText],
  ["as_of", (value) => typeof value === "string" && /^\d{4}-\d\d-\d\d$/.test(value)],
  ["trainee", isTextOrNull],
  ["instructor", isTextOrNull],
  ["remark", isTextOrNull],
  ["passed", (value) => typeof value === "boolean"],
  ["requirements", all((value) => isRecord(value) && isText(value["id"]) && typeof value["met"] === "boolean")],
  ["policy", isRecord],
  ["sets", all(isText)],
  ["policy_file", isTextOrNull],
  ["files", all(hasFile)],
  ["logs", all((value) => hasFile(value) && isRecord(value) && all(isRecord)(value["flights"]))],
  ["digest", isHash],
];

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/**
 * Holds a record against a fresh one, made from the same paths.
 * @returns what no longer matches, a sentence each; nothing where the record holds
 */
export function compareSignoffs(record: SignoffRecord, fresh: SignoffRecord): string[] {
  return [
    ...(digestOf(record) === record.digest ? [] : ["The record itself was changed after it was written."]),
    ...(record.tool_version === fresh.tool_version
      ? []
      : [`It was made by version ${record.tool_version}; this is ${fresh.tool_version}, which may judge differently.`]),
    ...changedFiles(record, fresh),
    ...changedLogs(record, fresh),
    ...(isSame(record.policy, fresh.policy) ? [] : ["The requirements in the record are not those of the policy."]),
    ...changedRequirements(record, fresh),
    ...(record.passed === fresh.passed
      ? []
      : [`The record says ${metOrNot(record.passed)}; now it is ${metOrNot(fresh.passed)}.`]),
  ];
}

function metOrNot(passed: boolean): string {
  return passed ? "met" : "not met";
}

function changedFiles({ files }: SignoffRecord, fresh: SignoffRecord): string[] {
  const now = new Map(fresh.files.map(({ path, sha256 }) => [path, sha256]));
  const before = new Set(files.map(({ path }) => path));
  return [
    ...files.flatMap(({ path, sha256 }) => {
      if (!now.has(path)) return [`${path} is no longer among the settings and files of the site.`];
      return now.get(path) === sha256 ? [] : [`${path} was changed.`];
    }),
    ...fresh.files.flatMap(({ path }) => (before.has(path) ? [] : [`${path} is new among the settings.`])),
  ];
}

function changedLogs({ logs }: SignoffRecord, fresh: SignoffRecord): string[] {
  return logs.flatMap((log, i) => {
    const now = fresh.logs[i];
    if (now === undefined || now.path !== log.path) return [`${log.path} is not there any more.`];
    if (now.unread !== null && log.unread === null) return [`${log.path} can no longer be read: ${now.unread}`];
    if (now.sha256 !== log.sha256) return [`${log.path} was changed.`];
    const isEqual =
      log.flights.length === now.flights.length && log.flights.every((one, k) => isSame(one, now.flights[k]));
    return isEqual
      ? []
      : [`${log.path} is unchanged, but comes out otherwise than the record says${scores(log.flights, now.flights)}.`];
  });
}

function scores(before: readonly SignedFlight[], now: readonly SignedFlight[]): string {
  const list = (flights: readonly SignedFlight[]): string => flights.map(({ score }) => score ?? "none").join(", ");
  return list(before) === list(now) ? "" : ` (score ${list(before)} in the record, ${list(now)} now)`;
}

function changedRequirements({ requirements }: SignoffRecord, fresh: SignoffRecord): string[] {
  const keyOf = ({ id, rule }: SignoffRecord["requirements"][number]): string => (rule === null ? id : `${id} ${rule}`);
  const now = new Map(fresh.requirements.map((one) => [keyOf(one), one.met]));
  return requirements.flatMap((one) =>
    now.get(keyOf(one)) === one.met
      ? []
      : [`${keyOf(one)}: ${metOrNot(one.met)} in the record, ${metOrNot(now.get(keyOf(one)) ?? false)} now.`],
  );
}

/** Equal as JSON: the record went through it. */
function isSame(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}
