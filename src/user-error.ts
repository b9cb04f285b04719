/** A place in a file: 1-based line and column, as an editor counts them. */
export interface Place {
  readonly file: string;
  readonly line?: number | undefined;
  readonly column?: number | undefined;
}

/**
 * A mistake that a person can mend: printed as one line, without a stack trace.
 * Everything else that is thrown is a bug in this program.
 */
export class UserError extends Error {
  readonly code: string;
  readonly where: Place | undefined;
  readonly hint: string | undefined;

  /**
   * @param code stable, kebab-case, for scripts
   * @param message what was read and what was expected
   * @param details `where` it was read; `hint` what to do about it
   */
  constructor(code: string, message: string, details: { where?: Place | undefined; hint?: string | undefined } = {}) {
    super(message);
    this.name = "UserError";
    this.code = code;
    this.where = details.where;
    this.hint = details.hint;
  }

  /** @returns the one line to print: `file:line:column  message Hint.` */
  get line(): string {
    const hint = this.hint === undefined ? "" : ` ${this.hint}`;
    return this.where === undefined ? this.message + hint : `${formatPlace(this.where)}  ${this.message}${hint}`;
  }
}

/** Several mistakes found at once, each with its own line. */
export class UserErrors extends UserError {
  readonly errors: readonly UserError[];

  /** @param errors at least one */
  constructor(errors: readonly UserError[]) {
    super(errors[0]?.code ?? "several", errors.map((error) => error.message).join("\n"));
    this.errors = errors;
  }

  override get line(): string {
    return this.errors.map((error) => error.line).join("\n");
  }
}

/** A mistake in what settings name, met while a log is audited: it is not the log that is wrong. */
export class SettingError extends UserError {
  /** @param error what was found */
  constructor({ code, message, where, hint }: UserError) {
    super(code, message, { where, hint });
    this.name = "SettingError";
  }
}

/** @returns `file`, `file:line` or `file:line:column` */
export function formatPlace({ file, line, column }: Place): string {
  if (line === undefined) return file;
  return column === undefined ? `${file}:${line}` : `${file}:${line}:${column}`;
}
