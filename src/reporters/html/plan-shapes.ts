import type { DrawnShape, DrawnZone, PlanPicture, Spot } from "../../pictures/picture.js";
import { type Markup, markup, type Part } from "./markup.js";
import { fixed, type Scale } from "./scales.js";
import { linePath, MARKS } from "./svg.js";

/** Names are written for so many obstacles; more would hide the flight. */
const NAMES_MOST = 14;

/** @returns the obstacles on the sheet, the first few with their names */
export function shapes({ obstacles }: PlanPicture, x: Scale, y: Scale): Markup {
  const names = new Set<string>();
  const drawn = obstacles.map((shape) => {
    const isNamed = !names.has(shape.name) && names.size < NAMES_MOST;
    names.add(shape.name);
    return markup`<g><title>${shape.name}</title>${outline(shape, "obstacle", x, y)}${isNamed ? nameOf(shape, x, y) : undefined}</g>`;
  });
  return markup`<g class="obstacles">${drawn}</g>`;
}

/** @returns the zones on the sheet with what they are declared to be */
export function zones({ zones: all }: PlanPicture, x: Scale, y: Scale): Markup {
  const drawn = all.map(
    (shape: DrawnZone) =>
      markup`<g class="zone-${/^[a-z-]+$/.test(shape.zone) ? shape.zone : "other"}"><title>${shape.zone}: ${shape.name}</title>${outline(shape, "zone", x, y)}${nameOf({ ...shape, name: `${shape.zone}: ${shape.name}` }, x, y)}</g>`,
  );
  return markup`<g class="zones">${drawn}</g>`;
}

function outline({ kind, rings, radius_m }: DrawnShape, look: string, x: Scale, y: Scale): Part {
  const paths = rings.map((ring) => linePath(ring.map(([east_m, north_m]) => [x(east_m), y(north_m)] as const)));
  if (kind === "polygon")
    return markup`<path class="${look}" fill-rule="evenodd" d="${paths.map((d) => `${d}Z`).join("")}" />`;
  const reach = Math.abs(x(radius_m) - x(0));
  if (kind === "line") {
    return markup`<path class="${look}-line" stroke-width="${fixed(Math.max(3, 2 * reach))}" d="${paths.join("")}" />`;
  }
  const spot = rings[0]?.[0];
  if (spot === undefined) return undefined;
  const foot =
    reach > 5 ? markup`<ellipse class="${look}" cx="0" cy="0" rx="${fixed(reach)}" ry="${fixed(reach)}" />` : undefined;
  return markup`<g class="${look}-point" transform="translate(${fixed(x(spot[0]))} ${fixed(y(spot[1]))})">${foot}<path d="${MARKS.saltire}" /></g>`;
}

function nameOf({ name, rings }: DrawnShape, x: Scale, y: Scale): Markup {
  const spots = rings.flat();
  const mean = (pick: (spot: Spot) => number): number =>
    spots.reduce((sum, spot) => sum + pick(spot), 0) / Math.max(1, spots.length);
  const short = name.length > 28 ? `${name.slice(0, 27)}…` : name;
  return markup`<text class="place" x="${fixed(x(mean(([east_m]) => east_m)) + 9)}" y="${fixed(y(mean(([, north_m]) => north_m)) + 4)}">${short}</text>`;
}
