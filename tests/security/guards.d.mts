/** A threat, what guards against it, and how the guard is taken out to see its test fail. */
export interface Guard {
  readonly threat: string;
  readonly guarded: string;
  readonly file: string;
  readonly find: string;
  readonly put: string;
  readonly test: string;
  readonly name: string;
  readonly isBuilt: boolean;
}
export const GUARDS: Readonly<Record<string, readonly Guard[]>>;
