/** Evenly spaced nodes in the coordinates of their system: degrees, or what a projection gives. */
export interface Lattice {
  readonly columns: number;
  readonly rows: number;
  /** Position of the first node, the one in the west and south. */
  readonly west: number;
  readonly south: number;
  /** Above 0. */
  readonly stepEast: number;
  readonly stepNorth: number;
}

/** A rectangle of nodes, counted from the first node of a lattice. */
export interface NodeWindow {
  readonly column: number;
  readonly row: number;
  readonly columns: number;
  readonly rows: number;
}

/** @returns the coordinate of a column */
export function latticeX({ west, stepEast }: Lattice, column: number): number {
  return west + column * stepEast;
}

/** @returns the coordinate of a row */
export function latticeY({ south, stepNorth }: Lattice, row: number): number {
  return south + row * stepNorth;
}
