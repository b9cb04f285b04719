import { auditLog, type AuditToShow, type LogAudit, logFacts, type Setting, unreadLog, UserError } from "../index.js";
import { AuditCache } from "./audit-cache.js";
import type { AuditedLog, KeptAudit } from "./audited-log.js";
import { nameOf } from "./log-bytes.js";
import { isOperatorTrack } from "./operator-track.js";
import type { AuditorOptions } from "./auditor-options.js";
import { pack, type Packed } from "./packed.js";
import { type Reporter, REPORTERS } from "./reporters.js";
import { Settings } from "./settings.js";
import { systemFailure } from "./watch-output.js";

/** How one log is read, and where its moments go. */
export interface AuditAccess {
  readonly bytesOf: (path: string) => AsyncIterable<Uint8Array>;
  /** It was looked for in the cache already: see `known`. */
  readonly isNew?: boolean;
  /** Takes the moments before they are let go; where there is one, nothing comes from the cache. */
  readonly addMoments?: ((path: string, flights: LogAudit["flights"]) => Promise<void>) | undefined;
}

/** Audits the logs of a run one by one; loads each settings file once. */
export class LogAuditor {
  readonly #options: AuditorOptions;
  readonly #settings: Settings;
  readonly #cache: AuditCache | undefined;
  /** Formats that need the moments of a log. */
  readonly #takers: readonly { readonly id: string; readonly take: NonNullable<Reporter["take"]> }[];
  /** Mistakes in settings that were met since the last log. */
  #mistakes: string[] = [];

  constructor(options: AuditorOptions) {
    this.#options = options;
    this.#takers = REPORTERS.flatMap(({ id, take }) =>
      take !== undefined && options.formats.includes(id) ? [{ id, take }] : [],
    );
    this.#settings = new Settings(options, ({ line }) => void this.#mistakes.push(line));
    this.#cache = options.cache === undefined ? undefined : new AuditCache(options.cache, options);
  }

  /**
   * @returns what the run keeps of the log; whatever is wrong with it or with its settings is told in there
   * @throws UserError where moments cannot be written, which stops the run
   */
  async audit(path: string, access: AuditAccess): Promise<AuditedLog> {
    try {
      return await this.#audit(path, access);
    } catch (error) {
      if (error instanceof UserError) throw error;
      const failure = systemFailure(error);
      return failure === undefined ? await this.bug(path, error) : await this.unread(path, failure);
    }
  }

  /**
   * @returns what the cache has of a log, without its moments; undefined where there is nothing, or where something is
   *   wrong that whoever audits the log meets too, and tells
   */
  async known(path: string): Promise<AuditedLog | undefined> {
    if (this.#cache === undefined) return undefined;
    try {
      const setting = await this.#settings.for(path);
      if (setting instanceof UserError) {
        this.#mistakes = [];
        return undefined;
      }
      return isOperatorTrack(path, setting) ? undefined : await this.#find(this.#cache, path, setting);
    } catch (error) {
      if (error instanceof UserError || systemFailure(error) === undefined) throw error;
      return undefined;
    }
  }

  /** @returns a log that led nowhere */
  async unread(path: string, error: UserError): Promise<AuditedLog> {
    const kept = await this.#keep({ result: unreadLog(path, error), flights: [] });
    return { ...kept, config: [], isBroken: false, isLeftOut: false, said: [] };
  }

  /** @returns a log that this program failed on; the others go on */
  async bug(path: string, error: unknown): Promise<AuditedLog> {
    const stack = error instanceof Error ? (error.stack ?? error.message) : String(error);
    const failure = new UserError("audit-crashed", "homeleg itself failed on this log; please report it.");
    const said = [`${nameOf(path)}: this is a bug in homeleg, please report it.\n${stack}`];
    return { ...(await this.unread(path, failure)), isBroken: true, said };
  }

  async #audit(path: string, access: AuditAccess): Promise<AuditedLog> {
    const setting = await this.#settings.for(path);
    if (setting instanceof UserError) return await this.#wrong(path, setting);
    if (isOperatorTrack(path, setting)) {
      const said = [`${path} is the operator's own track, and was left out.`];
      return { ...(await this.unread(path, new UserError("left-out", said.join()))), isLeftOut: true, said };
    }
    const cache = access.addMoments === undefined ? this.#cache : undefined;
    const known = access.isNew === true ? undefined : cache && (await this.#find(cache, path, setting));
    if (known !== undefined) return known;
    const moments = access.addMoments !== undefined || this.#takers.length > 0;
    const audited = await this.#settings.withSite(() =>
      auditLog(access.bytesOf(path), setting, { path: nameOf(path), moments }),
    );
    if (audited instanceof UserError) return await this.#wrong(path, audited);
    await access.addMoments?.(audited.result.path, audited.flights);
    const made = await this.#keep(audited);
    // A text that is wanted anyway, for the cache or for another thread, is made once.
    const kept = cache !== undefined || access.isNew === true ? packed(made) : made;
    const isBroken = audited.crashes.size > 0;
    const unkept = isBroken ? undefined : await cache?.keep(path, setting, audited.result, kept);
    const said = unkept === undefined ? [] : [unkept];
    return { ...kept, config: filesOf(setting), isBroken, isLeftOut: false, said };
  }

  async #find(cache: AuditCache, path: string, setting: Setting): Promise<AuditedLog | undefined> {
    const found = await cache.find(path, setting);
    return found && { ...found, config: filesOf(setting), isBroken: false, isLeftOut: false, said: [] };
  }

  async #wrong(path: string, error: UserError): Promise<AuditedLog> {
    const said = this.#mistakes;
    this.#mistakes = [];
    return { ...(await this.unread(path, error)), isBroken: true, said };
  }

  async #keep(audit: AuditToShow): Promise<KeptAudit> {
    const parts: Record<string, Packed<unknown>> = {};
    for (const { id, take } of this.#takers) parts[id] = { value: await take(audit, this.#options) };
    return { facts: logFacts(audit.result), result: { value: audit.result }, parts };
  }
}

function packed({ facts, result, parts }: KeptAudit): KeptAudit {
  const packedParts = Object.entries(parts).map(([id, part]) => [id, pack(part)]);
  return { facts, result: pack(result), parts: Object.fromEntries(packedParts) };
}

function filesOf({ config }: Setting): AuditedLog["config"] {
  return config.files.map(({ path, sha256 }) => ({ path, sha256 }));
}
