import { angleBetween_deg } from "../num/bearing.js";
import { line } from "../num/geodesic.js";
import type { FlightInputs } from "./flight-inputs.js";
import type { Replay } from "./replay.js";
import type { Setting } from "./setting.js";

/** Time, weight, place, and the way home of every moment. */
export function fillPlaces({ track, flight, inputs, moments, length, pointGround_m, setting }: Replay): void {
  const { time_s, latitude_deg, longitude_deg } = track.columns;
  for (let k = 0; k < length; k += 1) {
    const i = flight.first + k;
    moments.at_s[k] = time_s[i] ?? Number.NaN;
    moments.latitude_deg[k] = latitude_deg[i] ?? Number.NaN;
    moments.longitude_deg[k] = longitude_deg[i] ?? Number.NaN;
    moments.height_m[k] = inputs.heights.overTakeoff_m[k] ?? Number.NaN;
    if (inputs.battery_pct !== undefined) moments.battery_pct[k] = inputs.battery_pct[k] ?? Number.NaN;
    const home = line(
      latitude_deg[i] ?? Number.NaN,
      longitude_deg[i] ?? Number.NaN,
      inputs.point.latitude_deg[k] ?? Number.NaN,
      inputs.point.longitude_deg[k] ?? Number.NaN,
    );
    moments.distance_m[k] = home.distance_m;
    moments.courseHome_deg[k] = home.course_deg;
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
  for (let k = 0; k < length; k += 1) {
    const latitude = operator.latitude_deg[k] ?? Number.NaN;
    const longitude = operator.longitude_deg[k] ?? Number.NaN;
    const apart = line(point.latitude_deg[k] ?? Number.NaN, point.longitude_deg[k] ?? Number.NaN, latitude, longitude);
    const bearing = line(
      moments.latitude_deg[k] ?? Number.NaN,
      moments.longitude_deg[k] ?? Number.NaN,
      latitude,
      longitude,
    );
    moments.adrift_m[k] = apart.distance_m;
    moments.operatorDistance_m[k] = bearing.distance_m;
    moments.leadsAway_deg[k] = angleBetween_deg(moments.courseHome_deg[k] ?? Number.NaN, bearing.course_deg);
  }
}
