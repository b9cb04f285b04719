import { extent, range, tickStep } from "d3-array";
import { contours } from "d3-contour";
import type { PlanPicture } from "../../pictures/picture.js";
import { type Markup, markup, type Part } from "./markup.js";
import { fixed, lengthUnit, type Scale } from "./scales.js";
import type { Sheet } from "./sheet.js";

/** About so many lines; each fifth is heavier and has its elevation. */
const LINES = 14;
/** Metres or feet. */
const LEAST_STEP = 1;
/** A closed line shorter than this many points has no room for a label. */
const LEAST_POINTS = 24;

/** Contour lines, and how far apart they are in words. */
export interface Contours {
  readonly lines: Markup;
  readonly step: string;
}

/** @returns contour lines with a wash that deepens with height; undefined where there is no terrain with a shape */
export function contourLines(plan: PlanPicture, { units }: Sheet, x: Scale, y: Scale): Contours | undefined {
  const { terrain } = plan;
  if (terrain === undefined) return undefined;
  const { columns, rows, elevations_m } = terrain;
  const [low, high] = extent(elevations_m.filter((z) => !Number.isNaN(z)));
  if (low === undefined || high === undefined || high - low < 1) return undefined;
  const { perUnit_m, unit } = lengthUnit(units);
  // What is finer than a metre or so is noise of the grid, not a shape of the ground.
  const step = Math.max(LEAST_STEP, tickStep(low / perUnit_m, high / perUnit_m, LINES));
  const first = Math.ceil(low / perUnit_m / step);
  const levels = range(first, Math.floor(high / perUnit_m / step) + 1).map((level) => level * step);
  const found = contours()
    .size([columns, rows])
    .smooth(true)
    .thresholds(levels.map((level) => level * perUnit_m))([...elevations_m]);
  const across = x.copy().domain([0.5, columns - 0.5]);
  const down = y
    .copy()
    .domain([0.5, rows - 0.5])
    .range(y.range().toReversed());
  const lines = found.map(({ coordinates }, i) => {
    const level = levels[i] ?? 0;
    const isIndex = Math.round(level / step) % 5 === 0;
    const rings = coordinates.flat();
    const d = rings
      .map((ring) => `M${ring.map(([cx = 0, cy = 0]) => `${fixed(across(cx))} ${fixed(down(cy))}`).join("L")}Z`)
      .join("");
    return markup`<path class="contour${isIndex ? " index" : ""}" d="${d}" />${isIndex ? levelText(rings, `${level} ${unit}`, across, down, columns, rows) : undefined}`;
  });
  const unknown = unknownCells(elevations_m, columns, across, down);
  return { lines: markup`<g class="contours">${lines}</g>${unknown}`, step: `${step} ${unit}` };
}

/** The elevation on the longest line of a level, where it does not run along the edge of the sheet. */
function levelText(
  rings: readonly number[][][],
  text: string,
  x: Scale,
  y: Scale,
  columns: number,
  rows: number,
): Part {
  const longest = rings.reduce<number[][]>((a, b) => (b.length > a.length ? b : a), []);
  const isInside = ([cx = 0, cy = 0]: readonly number[]): boolean =>
    cx > 6 && cx < columns - 6 && cy > 4 && cy < rows - 4;
  const inside = longest.filter(isInside);
  const spot = inside[Math.floor(inside.length / 3)];
  if (inside.length < LEAST_POINTS || spot === undefined) return undefined;
  return markup`<text class="level" x="${fixed(x(spot[0] ?? 0))}" y="${fixed(y(spot[1] ?? 0) + 4)}">${text}</text>`;
}

/** Where the terrain has no elevation: dots, so that no one takes it for level ground. */
function unknownCells(elevations_m: readonly number[], columns: number, x: Scale, y: Scale): Part {
  const boxes: string[] = [];
  for (let at = 0; at < elevations_m.length; at += 1) {
    const row = Math.floor(at / columns);
    const from = at % columns;
    let to = from;
    while (to < columns && Number.isNaN(elevations_m[row * columns + to] ?? 0)) to += 1;
    if (to === from) continue;
    boxes.push(`M${fixed(x(from))} ${fixed(y(row))}H${fixed(x(to))}V${fixed(y(row + 1))}H${fixed(x(from))}Z`);
    at += to - from - 1;
  }
  return boxes.length === 0 ? undefined : markup`<path class="unseen paper" d="${boxes.join("")}" />`;
}
