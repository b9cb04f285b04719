import { angleBetween_deg } from "../num/bearing.js";
import { type Line, noLine, writeLine } from "../num/geodesic.js";
import type { FlightInputs } from "./flight-inputs.js";
import type { Replay } from "./replay.js";
import type { Setting } from "./setting.js";

/** Weight and the way home of every moment. */
export function fillPlaces({ track, flight, inputs, moments, length, pointGround_m, setting }: Replay): void {
  const { time_s, latitude_deg, longitude_deg } = track.columns;
  const home = new LastLine();
  for (let k = 0; k < length; k += 1) {
    const i = flight.first + k;
    const { distance_m, course_deg } = home.to(
      latitude_deg[i] ?? Number.NaN,
      longitude_deg[i] ?? Number.NaN,
      inputs.point.latitude_deg[k] ?? Number.NaN,
      inputs.point.longitude_deg[k] ?? Number.NaN,
    );
    moments.distance_m[k] = distance_m;
    moments.courseHome_deg[k] = course_deg;
  }
  for (const { from, to } of flight.segments) {
    for (let i = from; i < to; i += 1) {
      const next_s = i + 1 < to ? (time_s[i + 1] ?? 0) - (time_s[i] ?? 0) : flight.step_s;
      moments.weight_s[i - flight.first] = next_s;
    }
  }
  if (inputs.heights.isTied) fillPointGround(inputs, setting, pointGround_m);
}

/** The ground at the recovery point; asked again only when the point moves. Off the terrain: that at take-off. */
function fillPointGround(inputs: FlightInputs, { site }: Setting, pointGround_m: Float64Array): void {
  const { latitude_deg, longitude_deg } = inputs.point;
  let latitude = Number.NaN;
  let longitude = Number.NaN;
  let ground_m = inputs.heights.takeoffGround_m;
  for (let k = 0; k < pointGround_m.length; k += 1) {
    if (latitude_deg[k] !== latitude || longitude_deg[k] !== longitude) {
      latitude = latitude_deg[k] ?? Number.NaN;
      longitude = longitude_deg[k] ?? Number.NaN;
      ground_m = site.standingGround(latitude, longitude);
      if (Number.isNaN(ground_m)) ground_m = inputs.heights.takeoffGround_m;
    }
    pointGround_m[k] = ground_m;
  }
}

/** How far the operator is from the recovery point, and whether the way home leads away from the operator. */
export function fillPeople({ inputs, moments, length }: Replay): void {
  const { operator, point } = inputs;
  if (operator === undefined) return;
  const home = new LastLine();
  const away = new LastLine();
  for (let k = 0; k < length; k += 1) {
    const latitude = operator.latitude_deg[k] ?? Number.NaN;
    const longitude = operator.longitude_deg[k] ?? Number.NaN;
    const pointLatitude = point.latitude_deg[k] ?? Number.NaN;
    const pointLongitude = point.longitude_deg[k] ?? Number.NaN;
    // Most operators stand still, and many at the recovery point: the line is the one before, or the way home.
    moments.adrift_m[k] = home.to(pointLatitude, pointLongitude, latitude, longitude).distance_m;
    const isHome = latitude === pointLatitude && longitude === pointLongitude;
    const bearing = isHome
      ? undefined
      : away.to(moments.latitude_deg[k] ?? Number.NaN, moments.longitude_deg[k] ?? Number.NaN, latitude, longitude);
    const courseHome_deg = moments.courseHome_deg[k] ?? Number.NaN;
    moments.operatorDistance_m[k] = bearing?.distance_m ?? moments.distance_m[k] ?? Number.NaN;
    moments.leadsAway_deg[k] = angleBetween_deg(courseHome_deg, bearing?.course_deg ?? courseHome_deg);
  }
}

/** A geodesic that is computed again only when one of its ends has moved; what it gave before is written over then. */
class LastLine {
  #lat1 = Number.NaN;
  #lon1 = Number.NaN;
  #lat2 = Number.NaN;
  #lon2 = Number.NaN;
  readonly #line = noLine();

  to(lat1_deg: number, lon1_deg: number, lat2_deg: number, lon2_deg: number): Line {
    if (lat1_deg === this.#lat1 && lon1_deg === this.#lon1 && lat2_deg === this.#lat2 && lon2_deg === this.#lon2)
      return this.#line;
    this.#lat1 = lat1_deg;
    this.#lon1 = lon1_deg;
    this.#lat2 = lat2_deg;
    this.#lon2 = lon2_deg;
    writeLine(lat1_deg, lon1_deg, lat2_deg, lon2_deg, this.#line);
    return this.#line;
  }
}
