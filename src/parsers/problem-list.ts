import type { Problem } from "../track/track.js";
import type { ColumnQuestion } from "./column-use.js";

const SHOWN = 5;

/** How problems of one kind are counted once the first five were shown. */
interface Counted {
  readonly severity: Problem["severity"];
  readonly shown: Problem[];
  /** The rest in words: `12` → `and 12 more rows were rejected`. */
  readonly rest: (count: number) => string;
  count: number;
}

/** Collects what a reader of the report should know, showing the first five of a kind and counting the rest. */
export class ProblemList {
  readonly #single: Problem[] = [];
  readonly #counted = new Map<string, Counted>();
  readonly #questions: ColumnQuestion[] = [];

  /** What was asked about columns, in the order of asking. */
  get questions(): readonly ColumnQuestion[] {
    return this.#questions;
  }

  /** Adds a problem that stands for itself. */
  add(severity: Problem["severity"], code: string, message: string, line?: number): void {
    this.#single.push({ severity, code, message, line });
  }

  /** Adds a question about columns and the problem that puts it into words. */
  ask(question: ColumnQuestion, severity: Problem["severity"], code: string, message: string): void {
    this.#questions.push(question);
    this.add(severity, code, message);
  }

  /**
   * Adds one of many problems of a kind.
   *
   * @param message is asked for only where it will be shown
   * @param rest says how many more there were
   */
  count(
    kind: { readonly severity: Problem["severity"]; readonly code: string; readonly rest: (count: number) => string },
    line: number,
    message: () => string,
  ): void {
    let counted = this.#counted.get(kind.code);
    if (counted === undefined) {
      counted = { severity: kind.severity, shown: [], rest: kind.rest, count: 0 };
      this.#counted.set(kind.code, counted);
    }
    counted.count += 1;
    if (counted.shown.length < SHOWN) {
      counted.shown.push({ severity: kind.severity, code: kind.code, message: message(), line });
    }
  }

  /** @returns single problems in the order they were added, then the counted ones by kind */
  list(): readonly Problem[] {
    const counted = [...this.#counted].flatMap(([code, { severity, shown, rest, count }]): Problem[] =>
      count > SHOWN ? [...shown, { severity, code, message: rest(count - SHOWN), line: undefined }] : shown,
    );
    return [...this.#single, ...counted];
  }
}
