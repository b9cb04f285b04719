import { createHash } from "node:crypto";
import { resolve } from "node:path";
import type { LoadedSetting } from "./load-setting.js";
import { bytesOfFile } from "./plain-file.js";
import { judgeSignoff } from "./score/judge-signoff.js";
import type { LogResult } from "./score/result.js";
import type { SignedFile, SignoffPolicy, SignoffRecord } from "./score/signoff-record.js";
import { UserError } from "./user-error.js";

/** What a record says besides what was found. */
export interface SignoffNotes {
  /** The day it counts from, `2026-05-20`. */
  readonly asOf: string;
  readonly trainee: string | undefined;
  readonly instructor: string | undefined;
  readonly remark: string | undefined;
  /** Settings over the file, as they were given to `loadSetting`. */
  readonly sets: readonly string[];
  readonly toolVersion: string;
  /** From `signedFiles`. */
  readonly files: readonly SignedFile[];
}

/** Project defaults. */
const DEFAULTS: SignoffPolicy = {
  flights: 5,
  minutes: 60,
  score: 80,
  coverage: 0.8,
  must_be_clear: ["reserve-short", "ceiling-low"],
  within_s: 90 * 86_400,
  sites: 0,
  site_minutes: 0,
};

const CAUTIONS = [
  "This record says what flight logs show, after the fact. It is advice, not clearance, and no legal or airworthiness approval.",
  "It does not replace the instructor's own judgement, nor any test, licence or currency that local rules ask for; those come first.",
  "A log can be changed before it is given to this program. The record shows which files were read, not who flew.",
  "What was assumed is named here, and with its value in the report of each flight. An assumption can be wrong.",
];

/** @returns what a sign-off asks: `policy.signoff` of homeleg.yaml, the project's defaults for what it leaves out */
export function signoffPolicy({ config }: LoadedSetting): SignoffPolicy {
  const declared = config.declared.signoff;
  return {
    flights: declared?.flights ?? DEFAULTS.flights,
    minutes: declared?.minutes ?? DEFAULTS.minutes,
    score: declared?.score ?? DEFAULTS.score,
    coverage: declared?.coverage ?? DEFAULTS.coverage,
    must_be_clear: declared?.mustBeClear ?? DEFAULTS.must_be_clear,
    within_s: declared?.within_s ?? DEFAULTS.within_s,
    sites: declared?.sites ?? DEFAULTS.sites,
    site_minutes: declared?.siteMinutes ?? DEFAULTS.site_minutes,
  };
}

/**
 * Judges a trainee's logs against the sign-off's requirements and makes the record.
 * @param logs results of `auditLog`, all under this one setting
 */
export function signOff(logs: readonly LogResult[], setting: LoadedSetting, notes: SignoffNotes): SignoffRecord {
  const policy = signoffPolicy(setting);
  const record = {
    format: "homeleg-signoff",
    format_version: 1,
    tool_version: notes.toolVersion,
    as_of: notes.asOf,
    trainee: notes.trainee ?? null,
    instructor: notes.instructor ?? null,
    remark: notes.remark ?? null,
    ...judgeSignoff(logs, policy, notes.asOf),
    policy,
    sets: notes.sets,
    policy_file: setting.config.files[0]?.path ?? null,
    files: notes.files,
    cautions: CAUTIONS,
  } as const;
  return { ...record, digest: digestOf(record) };
}

/** @returns SHA-256 of a record without its digest, as it would be written on one line */
export function digestOf(record: Omit<SignoffRecord, "digest">): string {
  const { digest: _digest, ...rest } = record as Partial<SignoffRecord>;
  return createHash("sha256").update(JSON.stringify(rest)).digest("hex");
}

/**
 * @returns every file that a setting rests on, with its hash: homeleg.yaml and the files of its sections, terrain,
 *   obstacles, zones, the operator's track
 * @throws UserError for a file that cannot be read
 */
export async function signedFiles({ config }: LoadedSetting, cwd: string): Promise<SignedFile[]> {
  const { site, operator } = config.declared;
  const named = [
    ...(site.terrain?.kind === "files" ? site.terrain.files.map(({ path }) => path) : []),
    ...(site.obstacles ?? []),
    ...(site.zones ?? []),
    ...(operator?.kind === "track" ? [operator.path] : []),
  ];
  const hashed: SignedFile[] = [];
  for (const path of new Set(named)) hashed.push({ path, sha256: await hashOf(resolve(cwd, path), path) });
  return [...config.files.map(({ path, sha256 }) => ({ path, sha256 })), ...hashed];
}

/** @returns SHA-256 of a file, read in parts */
export async function hashOf(path: string, name: string = path): Promise<string> {
  const hash = createHash("sha256");
  try {
    for await (const part of bytesOfFile(path)) hash.update(part);
  } catch (error) {
    if (!(error instanceof Error) || !("code" in error)) throw error;
    throw new UserError("file-unreadable", `${name} cannot be read (${String(error.code)}).`);
  }
  return hash.digest("hex");
}
