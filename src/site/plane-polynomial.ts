import type { Pair } from "./placement.js";

/** A rectangle of a plane. */
export interface Bounds {
  readonly x0: number;
  readonly y0: number;
  readonly x1: number;
  readonly y1: number;
}

/** A way from one plane to another. */
export type PlaneFunction = (x: number, y: number, out: Pair) => void;

const LEAST_DEGREE = 2;
const MOST_DEGREE = 9;

/** A polynomial in two variables with two values, good inside a rectangle. */
export class PlanePolynomial {
  readonly #size: number;
  readonly #first: Float64Array;
  readonly #second: Float64Array;
  readonly #x: number;
  readonly #y: number;
  readonly #perX: number;
  readonly #perY: number;

  /** Interpolates at the zeros of a Chebyshev polynomial, which keeps the error even over the rectangle. */
  constructor(f: PlaneFunction, { x0, y0, x1, y1 }: Bounds, degree: number) {
    this.#size = degree + 1;
    this.#x = (x0 + x1) / 2;
    this.#y = (y0 + y1) / 2;
    this.#perX = 2 / (x1 - x0);
    this.#perY = 2 / (y1 - y0);
    const out: Pair = new Float64Array(2);
    const at = (k: number): number => Math.cos((Math.PI * (k + 0.5)) / this.#size);
    const values = [new Float64Array(this.#size ** 2), new Float64Array(this.#size ** 2)] as const;
    for (let i = 0; i < this.#size; i += 1) {
      for (let j = 0; j < this.#size; j += 1) {
        f(this.#x + at(i) / this.#perX, this.#y + at(j) / this.#perY, out);
        values[0][i * this.#size + j] = out[0] ?? Number.NaN;
        values[1][i * this.#size + j] = out[1] ?? Number.NaN;
      }
    }
    this.#first = toPowers(values[0], this.#size);
    this.#second = toPowers(values[1], this.#size);
  }

  /** @returns false, with nothing written, outside the rectangle */
  write(x: number, y: number, out: Pair): boolean {
    const s = (x - this.#x) * this.#perX;
    const t = (y - this.#y) * this.#perY;
    if (!(s >= -1 && s <= 1 && t >= -1 && t <= 1)) return false;
    const size = this.#size;
    const first = this.#first;
    const second = this.#second;
    let a = 0;
    let b = 0;
    for (let k = size * size - 1; k >= 0;) {
      let rowA = 0;
      let rowB = 0;
      for (let j = size; j > 0; j -= 1, k -= 1) {
        rowA = rowA * t + (first[k] ?? 0);
        rowB = rowB * t + (second[k] ?? 0);
      }
      a = a * s + rowA;
      b = b * s + rowB;
    }
    out[0] = a;
    out[1] = b;
    return true;
  }
}

/**
 * @param within how far both values may be off, at points between and beside those that the polynomial goes through
 * @returns the polynomial of the least degree that is good enough; undefined where none is
 */
export function fitPolynomial(f: PlaneFunction, bounds: Bounds, within: number): PlanePolynomial | undefined {
  for (let degree = LEAST_DEGREE; degree <= MOST_DEGREE; degree += 1) {
    const polynomial = new PlanePolynomial(f, bounds, degree);
    if (isWithin(polynomial, f, bounds, 2 * degree + 3, within)) return polynomial;
  }
  return undefined;
}

function isWithin(
  polynomial: PlanePolynomial,
  f: PlaneFunction,
  { x0, y0, x1, y1 }: Bounds,
  steps: number,
  within: number,
): boolean {
  const is: Pair = new Float64Array(2);
  const should: Pair = new Float64Array(2);
  for (let i = 0; i <= steps; i += 1) {
    for (let j = 0; j <= steps; j += 1) {
      const x = x0 + ((x1 - x0) * i) / steps;
      const y = y0 + ((y1 - y0) * j) / steps;
      f(x, y, should);
      // Rounding may put a corner outside by a hair.
      if (!polynomial.write(x, y, is)) continue;
      const off = Math.hypot((is[0] ?? Number.NaN) - (should[0] ?? Number.NaN), (is[1] ?? 0) - (should[1] ?? 0));
      if (!(off <= within)) return false;
    }
  }
  return true;
}

/** From values at Chebyshev's zeros to coefficients of powers: along y in each row, then along x. */
function toPowers(values: Float64Array, size: number): Float64Array {
  const along = (source: Float64Array, start: number, stride: number, out: Float64Array): void => {
    const powers = powersOf(Float64Array.from({ length: size }, (_, k) => source[start + k * stride] ?? Number.NaN));
    for (let k = 0; k < size; k += 1) out[start + k * stride] = powers[k] ?? Number.NaN;
  };
  const rows = new Float64Array(size * size);
  for (let i = 0; i < size; i += 1) along(values, i * size, 1, rows);
  const all = new Float64Array(size * size);
  for (let j = 0; j < size; j += 1) along(rows, j, size, all);
  return all;
}

function powersOf(values: Float64Array): Float64Array {
  const size = values.length;
  const powers = new Float64Array(size);
  let before = new Float64Array(size);
  let term = new Float64Array(size);
  term[0] = 1;
  for (let m = 0; m < size; m += 1) {
    let coefficient = 0;
    for (let k = 0; k < size; k += 1) {
      coefficient +=
        ((m === 0 ? 1 : 2) / size) * (values[k] ?? Number.NaN) * Math.cos((Math.PI * m * (k + 0.5)) / size);
    }
    for (let k = 0; k < size; k += 1) powers[k] = (powers[k] ?? 0) + coefficient * (term[k] ?? 0);
    // T(m + 1) = 2·t·T(m) - T(m - 1), T(1) = t.
    const next = new Float64Array(size);
    for (let k = 0; k < size; k += 1) {
      next[k] = (m === 0 ? 1 : 2) * (term[k - 1] ?? 0) - (before[k] ?? 0);
    }
    if (m === 0) next[0] = 0;
    before = term;
    term = next;
  }
  return powers;
}
