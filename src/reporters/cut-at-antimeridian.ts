/** Longitude and latitude, as GeoJSON has them. */
export type LonLat = readonly [longitude_deg: number, latitude_deg: number];

/**
 * Cuts a line where it crosses the antimeridian, so that each part lies on one side of it.
 *
 * A step of more than half a turn is taken as the short way round, which no aircraft of this kind flies otherwise.
 * @param line two positions or more, longitudes within ±180
 * @returns its parts, each of two positions or more. Source: RFC 7946, section 3.1.9
 */
export function cutAtAntimeridian(line: readonly LonLat[]): LonLat[][] {
  let open: LonLat[] = [];
  const parts: LonLat[][] = [open];
  for (const [k, here] of line.entries()) {
    const before = line[k - 1];
    if (before !== undefined && Math.abs(here[0] - before[0]) > 180) {
      const edge = before[0] > 0 ? 180 : -180;
      const latitude_deg = latitudeAtEdge(before, here, edge);
      if (before[0] !== edge) open.push([edge, latitude_deg]);
      open = here[0] === -edge ? [] : [[-edge, latitude_deg]];
      parts.push(open);
    }
    open.push(here);
  }
  // A line that ends upon the antimeridian leaves a part of a single position.
  return parts.filter((part) => part.length > 1);
}

function latitudeAtEdge(before: LonLat, here: LonLat, edge: number): number {
  const [from, to] = [Math.abs(edge - before[0]), Math.abs(-edge - here[0])];
  const share = from + to === 0 ? 0 : from / (from + to);
  return Number((before[1] + share * (here[1] - before[1])).toFixed(9));
}
