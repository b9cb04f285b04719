import { UserError } from "../user-error.js";
import { at } from "./at.js";
import type { Grid } from "./grid.js";
import { type Lattice, latticeX, latticeY, type NodeWindow } from "./lattice.js";
import type { PlacedNodes } from "./placement.js";
import { ProjectedPlacement } from "./projected-placement.js";
import type { TerrainFile } from "./terrain-file.js";

/** Longitude and latitude of a piece of ground; east is not under west, and may be over 180. */
export interface Box {
  readonly west_deg: number;
  readonly south_deg: number;
  readonly east_deg: number;
  readonly north_deg: number;
}

/** Nodes to each side of what is asked for, so that the surface is whole at its edge. */
const AROUND = 2;
/** Of a cell: so far off, nodes of two files are the same nodes. */
const SAME_NODE = 1e-3;
const SAME_STEP = 1e-9;

/** Files side by side, with nodes on one lattice: tiles of one grid. */
export interface TileGroup {
  /** At least one; the first names lattice, system and whether it is a surface. */
  readonly tiles: readonly TerrainFile[];
}

/**
 * Puts tiles of one grid together, so that the surface between their edge nodes is known too.
 * @returns groups in the order of their first files
 */
export function groupTiles(files: readonly TerrainFile[]): TileGroup[] {
  const groups: TerrainFile[][] = [];
  for (const file of files) {
    const group = groups.find(([first]) => first !== undefined && isOneGrid(first, file));
    if (group === undefined) groups.push([file]);
    else group.push(file);
  }
  return groups.map((tiles) => ({ tiles }));
}

function isOneGrid(a: TerrainFile, b: TerrainFile): boolean {
  const from = a.raster.lattice;
  const to = b.raster.lattice;
  const isStep = (s: number, t: number): boolean => Math.abs(s - t) <= s * SAME_STEP;
  const isNode = (offset: number): boolean => Math.abs(offset - Math.round(offset)) <= SAME_NODE;
  return (
    a.surface === b.surface &&
    a.raster.system.name === b.raster.system.name &&
    isStep(from.stepEast, to.stepEast) &&
    isStep(from.stepNorth, to.stepNorth) &&
    isNode((to.west - from.west) / from.stepEast) &&
    isNode((to.south - from.south) / from.stepNorth)
  );
}

/** Part of a file that is wanted, and where it goes on the group's lattice. */
interface Part {
  readonly file: TerrainFile;
  readonly window: NodeWindow;
  readonly column: number;
  readonly row: number;
}

/**
 * Reads the nodes of a group that a box needs.
 * @param most nodes that are read: eight bytes each
 * @returns undefined where none of its files reaches the box
 * @throws UserError, one line, where a file cannot be read, or the box needs too many nodes of it
 */
export async function readWindow(
  { tiles }: TileGroup,
  box: Box,
  most: number,
): Promise<Grid | PlacedNodes | undefined> {
  const [first] = tiles;
  if (first === undefined) return undefined;
  const parts = tiles.flatMap((file) => partsOf(file, first.raster.lattice, box));
  if (parts.length === 0) return undefined;
  const column = Math.min(...parts.map((part) => part.column));
  const row = Math.min(...parts.map((part) => part.row));
  const columns = Math.max(...parts.map((part) => part.column + part.window.columns)) - column;
  const rows = Math.max(...parts.map((part) => part.row + part.window.rows)) - row;
  // One row or column of nodes, at the file's edge, has no surface.
  if (columns < 2 || rows < 2) return undefined;
  checkNodes(first, columns, rows, most);
  const heights_m = new Float64Array(columns * rows).fill(Number.NaN);
  for (const { file, window, column: i0, row: j0 } of parts) {
    const nodes_m = await file.withBytes((bytes) => file.raster.readNodes(bytes, window));
    for (let j = 0; j < window.rows; j += 1) {
      for (let i = 0; i < window.columns; i += 1) {
        const k = (j0 - row + j) * columns + (i0 - column + i);
        if (Number.isNaN(at(heights_m, k))) heights_m[k] = at(nodes_m, j * window.columns + i);
      }
    }
  }
  return place(first, { column, row, columns, rows }, box, heights_m);
}

function place(file: TerrainFile, window: NodeWindow, box: Box, heights_m: Float64Array): Grid | PlacedNodes {
  const { lattice } = file.raster;
  const { columns, rows } = window;
  const { stepEast, stepNorth } = lattice;
  const west = latticeX(lattice, window.column);
  const south = latticeY(lattice, window.row);
  if (file.projection === undefined) {
    return {
      columns,
      rows,
      west_deg: west,
      south_deg: south,
      stepEast_deg: stepEast,
      stepNorth_deg: stepNorth,
      heights_m,
    };
  }
  const bounds = { x0: box.west_deg, y0: box.south_deg, x1: box.east_deg, y1: box.north_deg };
  const nodes: Lattice = { columns, rows, west, south, stepEast, stepNorth };
  return { columns, rows, heights_m, placement: new ProjectedPlacement(file.projection, nodes, bounds) };
}

function checkNodes({ path }: TerrainFile, columns: number, rows: number, most: number): void {
  if (columns * rows <= most) return;
  const message = `The flight needs ${columns} × ${rows} heights of this terrain, more than the ${most} that are read.`;
  throw new UserError("terrain-too-big", message, {
    where: { file: path },
    hint: `Use a coarser grid for so long a way, or raise \`reading.heights\`.`,
  });
}

/** A grid that goes round the globe, or a box over ±180, can meet in two places. */
function partsOf(file: TerrainFile, group: Lattice, box: Box): Part[] {
  const { lattice } = file.raster;
  if (file.projection !== undefined) return partOf(file, lattice, group, boundsIn(file, box), 0);
  return [-360, 0, 360].flatMap((turn) => {
    const bounds = [box.west_deg + turn, box.south_deg, box.east_deg + turn, box.north_deg] as const;
    return partOf(file, lattice, group, bounds, -turn);
  });
}

type Bounds = readonly [west: number, south: number, east: number, north: number];

function partOf(file: TerrainFile, lattice: Lattice, group: Lattice, bounds: Bounds, turn: number): Part[] {
  const [west, south, east, north] = bounds;
  const [column, columns] = span(
    (west - lattice.west) / lattice.stepEast,
    (east - lattice.west) / lattice.stepEast,
    lattice.columns,
  );
  const [row, rows] = span(
    (south - lattice.south) / lattice.stepNorth,
    (north - lattice.south) / lattice.stepNorth,
    lattice.rows,
  );
  if (!(columns >= 1 && rows >= 1)) return [];
  return [
    {
      file,
      window: { column, row, columns, rows },
      column: column + Math.round((lattice.west + turn - group.west) / group.stepEast),
      row: row + Math.round((lattice.south - group.south) / group.stepNorth),
    },
  ];
}

/** @returns first node and number of nodes from one coordinate to another, with some around; none where it is beside */
function span(from: number, to: number, nodes: number): [first: number, count: number] {
  const first = Math.max(0, Math.floor(from) - AROUND);
  const last = Math.min(nodes - 1, Math.ceil(to) + AROUND);
  return [first, last - first + 1];
}

/** The box in the coordinates of a projected file: its edges are bent there, so that more than its corners count. */
function boundsIn({ projection }: TerrainFile, box: Box): Bounds {
  let [west, south, east, north] = [
    Number.POSITIVE_INFINITY,
    Number.POSITIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
  ];
  const steps = 16;
  for (let k = 0; k <= steps; k += 1) {
    for (const [s, t] of [
      [k / steps, 0],
      [k / steps, 1],
      [0, k / steps],
      [1, k / steps],
    ] as const) {
      const lon = box.west_deg + (box.east_deg - box.west_deg) * s;
      const lat = box.south_deg + (box.north_deg - box.south_deg) * t;
      const [x, y] = projection?.forward(lon, lat) ?? [lon, lat];
      if (!Number.isFinite(x + y)) continue;
      west = Math.min(west, x);
      east = Math.max(east, x);
      south = Math.min(south, y);
      north = Math.max(north, y);
    }
  }
  return [west, south, east, north];
}
