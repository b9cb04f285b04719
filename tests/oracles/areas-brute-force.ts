/**
 * Areas without any geometry of crossings: a spot is in a ring if the ring turns around it, and a length inside is counted
 * step by step. Plane coordinates in m; imports nothing.
 */

export type Spot = readonly [x: number, y: number];

/** What something covers: a polygon with holes, a line, or a point, with its radius. */
export interface Shape {
  readonly kind: "point" | "line" | "polygon";
  /** Rings are not closed. */
  readonly rings: readonly (readonly Spot[])[];
  readonly radius: number;
}

/** By the sum of the angles under which its edges are seen; holes count as outside. */
export function isInside(rings: readonly (readonly Spot[])[], spot: Spot): boolean {
  const turned = rings.map((ring) => {
    let sum = 0;
    for (const [k, a] of ring.entries()) {
      const b = ring[(k + 1) % ring.length] ?? a;
      const [ax, ay, bx, by] = [a[0] - spot[0], a[1] - spot[1], b[0] - spot[0], b[1] - spot[1]];
      sum += Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
    }
    return Math.abs(sum) > Math.PI;
  });
  return turned.filter(Boolean).length % 2 === 1;
}

/** To the nearest edge, whichever side of it. */
export function distanceToEdges({ kind, rings }: Shape, spot: Spot): number {
  let least = Infinity;
  for (const ring of rings) {
    const count = kind === "polygon" ? ring.length : ring.length - 1;
    for (let k = 0; k < Math.max(1, count); k += 1) {
      const a = ring[k] ?? spot;
      const b = ring[(k + 1) % ring.length] ?? a;
      least = Math.min(least, toSegment(spot, a, b));
    }
  }
  return least;
}

/** 0 in the shape itself. */
export function distanceTo(shape: Shape, spot: Spot): number {
  if (shape.kind === "polygon" && isInside(shape.rings, spot)) return 0;
  return Math.max(0, distanceToEdges(shape, spot) - shape.radius);
}

/** Metres of a straight way inside any of the shapes, by the middle of many small steps. */
export function lengthInside(shapes: readonly Shape[], from: Spot, to: Spot, steps: number): number {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  let count = 0;
  for (let k = 0; k < steps; k += 1) {
    const t = (k + 0.5) / steps;
    const spot: Spot = [from[0] + (to[0] - from[0]) * t, from[1] + (to[1] - from[1]) * t];
    if (shapes.some((shape) => distanceTo(shape, spot) === 0)) count += 1;
  }
  return (length * count) / steps;
}

function toSegment(spot: Spot, a: Spot, b: Spot): number {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const square = dx * dx + dy * dy;
  const t = square === 0 ? 0 : Math.min(1, Math.max(0, ((spot[0] - a[0]) * dx + (spot[1] - a[1]) * dy) / square));
  return Math.hypot(spot[0] - a[0] - t * dx, spot[1] - a[1] - t * dy);
}
