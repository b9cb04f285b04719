import { availableParallelism } from "node:os";
import type { Piscina } from "piscina";
import { UserError } from "../index.js";
import type { WorkerAnswer, WorkerTask } from "./audit-worker.js";
import type { AuditedLog } from "./audited-log.js";
import type { LogToAudit } from "./find-logs.js";
import type { AuditorOptions } from "./auditor-options.js";
import { LogAuditor } from "./log-auditor.js";
import type { LogReader } from "./log-reader.js";
import type { MomentsFile, MomentsPlace } from "./moments-file.js";

/** A log of a run, with its place in the order of all logs that were found, from 0. */
export interface PlacedLog extends LogToAudit {
  readonly position: number;
}

/** What a run does with its logs. */
export interface AuditWork {
  readonly logs: readonly PlacedLog[];
  readonly options: AuditorOptions;
  /** Logs audited at a time at the most; undefined is as many as there are cores. */
  readonly jobs: number | undefined;
  readonly reader: Pick<LogReader, "all_bytes" | "bytesOf" | "finished">;
  readonly moments: MomentsFile | undefined;
  /** Ends the run early: logs at hand in this thread are finished, those in others are dropped. */
  readonly interrupted: AbortSignal;
  /** The module that audits in a thread; a test can put another one there. */
  readonly worker?: URL;
}

/** A log audited, in its place. */
export interface PlacedAudit {
  readonly position: number;
  readonly audited: AuditedLog;
}

/** A thread has to load the program and to warm up: it is worth that from so many bytes on. */
const WORTH_A_THREAD_BYTES = 8e6;

/** Tasks beyond those at hand, for each thread: a long log does not keep the others waiting, and memory stays flat. */
const AHEAD = 4;

/**
 * Audits logs, in threads where that pays, and gives them in the order of `logs`.
 * @throws UserError where moments cannot be written
 */
export function auditEach(work: AuditWork): AsyncGenerator<PlacedAudit> {
  const threads = threadsFor(work);
  return threads > 1 ? auditInThreads(work, threads) : auditHere(work);
}

function threadsFor({ logs, jobs, reader }: AuditWork): number {
  const worthwhile = Math.floor((reader.all_bytes ?? 0) / WORTH_A_THREAD_BYTES);
  return Math.min(jobs ?? availableParallelism(), logs.length, worthwhile);
}

async function* auditHere({ logs, options, reader, moments, interrupted }: AuditWork): AsyncGenerator<PlacedAudit> {
  const auditor = new LogAuditor(options);
  const access = {
    bytesOf: (path: string) => reader.bytesOf(path),
    addMoments: moments && ((path: string, flights: Parameters<MomentsFile["add"]>[1]) => moments.add(path, flights)),
  };
  for (const { position, path, error } of logs) {
    if (interrupted.aborted) return;
    const audited = error === undefined ? await auditor.audit(path, access) : await auditor.unread(path, error);
    yield { position, audited };
    // Lets an interruption in: an audit may never wait for anything.
    await new Promise(setImmediate);
  }
}

/** A log in a thread, or one that needs none. */
interface Pending {
  readonly log: PlacedLog;
  readonly part: MomentsPlace | undefined;
  readonly answer: Promise<AuditedLog>;
}

async function* auditInThreads(work: AuditWork, threads: number): AsyncGenerator<PlacedAudit> {
  const { logs, options, reader, moments, interrupted } = work;
  // Threads start, and what starts them is loaded, with the first log that the cache does not know.
  let pool: Promise<Pool> | undefined;
  const auditor = new LogAuditor(options);
  const begin = (log: PlacedLog): Pending => {
    const part = log.error === undefined ? moments?.part() : undefined;
    const answer = log.error === undefined ? inThread(log.path, part) : auditor.unread(log.path, log.error);
    // It is awaited in its turn; until then a failure is not unhandled.
    answer.catch(() => undefined);
    return { log, part, answer };
  };
  const inThread = async (path: string, part: MomentsPlace | undefined): Promise<AuditedLog> => {
    try {
      const known = part === undefined ? await auditor.known(path) : undefined;
      if (known !== undefined) {
        reader.finished(path);
        return known;
      }
      pool ??= startPool(work.worker ?? new URL("./audit-worker.js", import.meta.url), threads);
      const answer = await (await pool).run({ path, options, moments: part }, { signal: interrupted });
      reader.finished(path);
      if ("audited" in answer) return answer.audited;
      const { code, message, hint } = answer.mistake;
      throw new UserError(code, message, { hint });
    } catch (error) {
      // The thread died under this log; the pool has another one for the rest.
      if (error instanceof UserError || interrupted.aborted) throw error;
      return auditor.bug(path, error);
    }
  };
  const pending: Pending[] = [];
  let next = 0;
  try {
    while (!interrupted.aborted) {
      for (let log = logs[next]; log !== undefined && pending.length < threads * (1 + AHEAD); log = logs[next]) {
        pending.push(begin(log));
        next += 1;
      }
      const first = pending.shift();
      if (first === undefined) return;
      const audited = await answerOf(first, interrupted);
      if (audited === undefined) return;
      if (first.part !== undefined) await moments?.join(first.part);
      yield { position: first.log.position, audited };
      // Lets an interruption in: what comes from the cache waits for nothing.
      await new Promise(setImmediate);
    }
  } finally {
    for (const { part } of pending) if (part !== undefined) await moments?.drop(part);
    await (await pool)?.destroy();
  }
}

type Pool = Piscina<WorkerTask, WorkerAnswer>;

async function startPool({ href: filename }: URL, threads: number): Promise<Pool> {
  const { Piscina } = await import("piscina");
  return new Piscina<WorkerTask, WorkerAnswer>({
    filename,
    minThreads: threads,
    maxThreads: threads,
    // What geotiff loads takes any thread without data for one of its own, and fails.
    workerData: {},
  });
}

/** @returns undefined where the run was interrupted before it came */
async function answerOf({ answer }: Pending, interrupted: AbortSignal): Promise<AuditedLog | undefined> {
  try {
    return await answer;
  } catch (error) {
    if (interrupted.aborted) return undefined;
    throw error;
  }
}
