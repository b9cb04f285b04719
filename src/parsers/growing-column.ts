const BLOCK_VALUES = 4096;

/** A column of numbers of unknown length: grows block by block, so that no more than one block is ever unused. */
export class GrowingColumn {
  #full: Float64Array[] = [];
  #block = new Float64Array(BLOCK_VALUES);
  #used = 0;

  /** @returns how many values it holds */
  get length(): number {
    return this.#full.length * BLOCK_VALUES + this.#used;
  }

  /** Adds a value at the end. */
  push(value: number): void {
    if (this.#used === BLOCK_VALUES) {
      this.#full.push(this.#block);
      this.#block = new Float64Array(BLOCK_VALUES);
      this.#used = 0;
    }
    this.#block[this.#used] = value;
    this.#used += 1;
  }

  /** @returns all values as one array; the column is empty afterwards, so that they are not held twice for long */
  take(): Float64Array {
    const all = new Float64Array(this.length);
    this.#full.forEach((block, index) => all.set(block, index * BLOCK_VALUES));
    all.set(this.#block.subarray(0, this.#used), this.#full.length * BLOCK_VALUES);
    this.#full = [];
    this.#block = new Float64Array(BLOCK_VALUES);
    this.#used = 0;
    return all;
  }
}
