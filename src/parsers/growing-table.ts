const FIRST_ROWS = 1024;

/** A column that is handed over once. */
export interface TakenColumn {
  /** @returns all values; the column is empty afterwards */
  readonly take: () => Float64Array;
}

/** Columns of numbers of one unknown length, as typed arrays that double when they are full: see `GrowingColumn`. */
export class GrowingTable {
  #columns: readonly Float64Array[];
  #rows = 0;
  #room: number;
  readonly #most: number;
  readonly #full: () => Error;

  /**
   * @param most rows that it takes
   * @param full what is thrown at one more
   */
  constructor(columns: number, { most, full }: { readonly most: number; readonly full: () => Error }) {
    this.#most = most;
    this.#full = full;
    this.#room = Math.min(FIRST_ROWS, most);
    this.#columns = Array.from({ length: columns }, () => new Float64Array(this.#room));
  }

  /** How many rows it holds; a row that is open is not counted. */
  get rows(): number {
    return this.#rows;
  }

  /** @returns the columns, in which `rows` is the place of the next row */
  openRow(): readonly Float64Array[] {
    if (this.#rows === this.#room) this.#grow();
    return this.#columns;
  }

  /** Keeps the row that was open. */
  closeRow(): void {
    this.#rows += 1;
  }

  /** @returns one of the columns, to be handed over */
  column(index: number): TakenColumn {
    return {
      take: () => {
        const all = this.#columns[index]?.subarray(0, this.#rows) ?? new Float64Array(0);
        this.#columns = this.#columns.map((column, at) => (at === index ? new Float64Array(0) : column));
        return all;
      },
    };
  }

  #grow(): void {
    if (this.#room === this.#most) throw this.#full();
    this.#room = Math.min(2 * this.#room, this.#most);
    this.#columns = this.#columns.map((column) => {
      const longer = new Float64Array(this.#room);
      longer.set(column);
      return longer;
    });
  }
}
