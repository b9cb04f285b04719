import { at } from "./at.js";
import type { Nodes } from "./grid.js";

/** Cells along one side of a block are 1 << SHIFT, of a block of blocks 1 << 2 * SHIFT. */
export const SHIFT = 3;

/** One level of the pyramid, row by row from the south. */
export interface Level {
  readonly shift: number;
  readonly columns: number;
  readonly rows: number;
  /** Highest node of a block's cells, those on its far edges too, m; -Infinity where all are void. */
  readonly highest_m: Float64Array;
  /** The lowest one; Infinity where all are void. */
  readonly lowest_m: Float64Array;
  /** 1 where one of the block's cells is unknown. */
  readonly hasVoid: Uint8Array;
}

/** A grid with the highest and the lowest node of every 8 × 8 cells, and of every 8 × 8 of those, so that blocks can be skipped. */
export interface Relief extends Nodes {
  readonly blocks: Level;
  readonly superblocks: Level;
}

/** @returns the grid with its pyramid, a thirtieth of its size */
export function buildRelief({ columns, rows, heights_m }: Nodes): Relief {
  const blocks = firstLevel({ columns, rows, heights_m });
  return { columns, rows, heights_m, blocks, superblocks: nextLevel(blocks) };
}

function firstLevel({ columns, rows, heights_m }: Nodes): Level {
  const level = emptyLevel(SHIFT, ((columns - 2) >> SHIFT) + 1, ((rows - 2) >> SHIFT) + 1);
  const size = 1 << SHIFT;
  for (let bj = 0; bj < level.rows; bj += 1) {
    const lastRow = Math.min((bj + 1) * size, rows - 1);
    for (let bi = 0; bi < level.columns; bi += 1) {
      const lastColumn = Math.min((bi + 1) * size, columns - 1);
      const block = bj * level.columns + bi;
      let highest_m = Number.NEGATIVE_INFINITY;
      let lowest_m = Number.POSITIVE_INFINITY;
      for (let j = bj * size; j <= lastRow; j += 1) {
        for (let i = bi * size; i <= lastColumn; i += 1) {
          const z = at(heights_m, j * columns + i);
          if (z > highest_m) highest_m = z;
          if (z < lowest_m) lowest_m = z;
          if (Number.isNaN(z)) level.hasVoid[block] = 1;
        }
      }
      level.highest_m[block] = highest_m;
      level.lowest_m[block] = lowest_m;
    }
  }
  return level;
}

function nextLevel(below: Level): Level {
  const level = emptyLevel(below.shift + SHIFT, ((below.columns - 1) >> SHIFT) + 1, ((below.rows - 1) >> SHIFT) + 1);
  for (let bj = 0; bj < below.rows; bj += 1) {
    for (let bi = 0; bi < below.columns; bi += 1) {
      const from = bj * below.columns + bi;
      const to = (bj >> SHIFT) * level.columns + (bi >> SHIFT);
      level.highest_m[to] = Math.max(at(level.highest_m, to), at(below.highest_m, from));
      level.lowest_m[to] = Math.min(at(level.lowest_m, to), at(below.lowest_m, from));
      if (below.hasVoid[from] === 1) level.hasVoid[to] = 1;
    }
  }
  return level;
}

function emptyLevel(shift: number, columns: number, rows: number): Level {
  const size = columns * rows;
  return {
    shift,
    columns,
    rows,
    highest_m: new Float64Array(size).fill(Number.NEGATIVE_INFINITY),
    lowest_m: new Float64Array(size).fill(Number.POSITIVE_INFINITY),
    hasVoid: new Uint8Array(size),
  };
}
