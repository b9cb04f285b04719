const FIRST_VALUES = 1024;

/**
 * A column of numbers of unknown length, in one typed array that doubles when it is full.
 *
 * Not blocks joined at the end: that would hold all columns twice for a while. What of a doubled array was never
 * written costs no memory, since systems hand out zero pages only when they are touched.
 */
export class GrowingColumn {
  #values: Float64Array<ArrayBuffer>;
  #used = 0;
  readonly #most: number;
  readonly #full: () => Error;

  /**
   * @param most values that it takes
   * @param full what is thrown at one more
   */
  constructor(
    most: number = Number.POSITIVE_INFINITY,
    full: () => Error = () => new RangeError("The column is full."),
  ) {
    this.#most = most;
    this.#full = full;
    this.#values = new Float64Array(Math.min(FIRST_VALUES, most));
  }

  /** @returns how many values it holds */
  get length(): number {
    return this.#used;
  }

  /** Adds a value at the end. */
  push(value: number): void {
    if (this.#used === this.#values.length) {
      if (this.#used === this.#most) throw this.#full();
      const longer = new Float64Array(Math.min(2 * this.#used, this.#most));
      longer.set(this.#values);
      this.#values = longer;
    }
    this.#values[this.#used] = value;
    this.#used += 1;
  }

  /** @returns all values; the column is empty afterwards */
  take(): Float64Array {
    const all = this.#values.subarray(0, this.#used);
    this.#values = new Float64Array(FIRST_VALUES);
    this.#used = 0;
    return all;
  }
}
