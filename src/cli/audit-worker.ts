import type { AuditedLog } from "./audited-log.js";
import type { AuditorOptions } from "./auditor-options.js";
import { LogAuditor } from "./log-auditor.js";
import { bytesOf } from "./log-bytes.js";
import { MomentsFile, type MomentsPlace } from "./moments-file.js";
import { UserError } from "../index.js";

/** One log for a worker, which is not in the cache. */
export interface WorkerTask {
  readonly path: string;
  readonly options: AuditorOptions;
  /** Where its moments go, for the run to join. */
  readonly moments?: MomentsPlace | undefined;
}

/** What a worker answers: errors of a class do not survive the way between threads. */
export type WorkerAnswer = { readonly audited: AuditedLog } | { readonly mistake: PlainMistake };

/** What stops the run. */
export interface PlainMistake {
  readonly code: string;
  readonly message: string;
  readonly hint: string | undefined;
}

let auditor: LogAuditor | undefined;

/** Audits one log in a thread of its own. All tasks of a thread have the same options. */
export default async function auditInWorker({ path, options, moments }: WorkerTask): Promise<WorkerAnswer> {
  auditor ??= new LogAuditor(options);
  const file = moments === undefined ? undefined : new MomentsFile(moments);
  try {
    const audited = await auditor.audit(path, {
      bytesOf,
      isNew: true,
      addMoments: file === undefined ? undefined : (name, flights) => file.add(name, flights),
    });
    await file?.close();
    return { audited };
  } catch (error) {
    await file?.abandon();
    if (error instanceof UserError) return { mistake: plain(error) };
    throw error;
  }
}

function plain({ code, message, hint }: UserError): PlainMistake {
  return { code, message, hint };
}
