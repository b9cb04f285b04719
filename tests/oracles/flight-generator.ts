import { seeded } from "./random.js";

/**
 * An invented aircraft, its flights and its recoveries, flown step by step: what the energy model is calibrated against.
 * It shares nothing with the program but the definitions of the four ways of flying. All numbers are invented.
 *
 * The written model, one draw of each a flight:
 * - rates: a common factor (9 %) for the day and the pack, and one of its own (3 %) for each way of flying, so that rates
 *   are correlated; between hover and cruise the level rate follows the square of the air speed;
 * - within a flight the rate wanders by 4 % (memory 40 s), and the recovery as a whole draws otherwise by 4 %: flown by
 *   the machine and not by hand, on a pack that is emptier;
 * - speeds of a recovery: 3 % on the air speed, 5 % on each vertical speed;
 * - the wind on the way home: off the one told by 1.3 m/s and 12 % of it, turned by 8 degrees, with shear 1/7 ± 0.03; gusts of 0.6 m/s and
 *   10 % (memory 8 s) about that;
 * - the gauge: lags by 0 to 15 s (first order), reads with 0.15 % of noise, shows whole percents.
 */

/** Percent a minute, as the program orders them: hover, climb, cruise, descent. */
export type Rates = readonly [hover: number, climb: number, cruise: number, descent: number];

/** What is told to the program of a flight of this kind. */
export const TOLD = {
  rates: [4.6, 6.6, 5.4, 3.9] as Rates,
  recovery_ms: 10,
  climb_ms: 3,
  descent_ms: 3,
  landing_ms: 0.8,
  slowHeight_m: 5,
  recoveryHeight_m: 60,
  delay_s: 6,
} as const;

/** Cruise speed of the pilot's hand, at which the cruise rate holds. */
const CRUISE_MS = 9;

/** One row of a log. */
export interface LogRow {
  readonly time_s: number;
  /** What the aircraft does from here to the next row. */
  readonly way: "hover" | "climb" | "cruise" | "descent";
  readonly east_m: number;
  readonly north_m: number;
  readonly height_m: number;
  readonly groundSpeed_ms: number;
  readonly battery_pct: number;
}

/** One generated flight. */
export interface Generated {
  readonly rows: readonly LogRow[];
  /** Mean wind told, at 10 m. */
  readonly wind: { readonly speed_ms: number; readonly from_deg: number };
  /** Rates of this flight, without its wandering. */
  readonly rates: Rates;
  /** Row where it is farthest, and what a recovery from there truly uses, %. */
  readonly farthest: number;
  readonly trueNeed_pct: number;
}

/** What can be switched off for a test of one thing. */
export interface Nature {
  readonly ratesVary: boolean;
  readonly windVaries: boolean;
  readonly speedsVary: boolean;
  readonly wanders: boolean;
  readonly mostLag_s: number;
  readonly mostWind_ms: number;
  readonly noise_pct: number;
  readonly legs: readonly Leg[];
}

/** A part of a flight: seconds of one way of flying; cruise goes out (1) or home (−1). */
export interface Leg {
  readonly way: "hover" | "climb" | "out" | "home" | "descent";
  readonly for_s: number;
}

const SHORT: readonly Leg[] = [
  { way: "hover", for_s: 50 },
  { way: "climb", for_s: 40 },
  { way: "out", for_s: 80 },
  { way: "hover", for_s: 35 },
  { way: "descent", for_s: 30 },
  { way: "out", for_s: 25 },
  { way: "home", for_s: 70 },
  { way: "descent", for_s: 25 },
];

export const FULL_NATURE: Nature = {
  ratesVary: true,
  windVaries: true,
  speedsVary: true,
  wanders: true,
  mostLag_s: 15,
  mostWind_ms: 6,
  noise_pct: 0.15,
  legs: SHORT,
};

/** Vertical speeds of the pilot's hand. */
const HAND_MS = 2;
/** A hover in more wind than this flies through the air. */
const STILL_AIR_MS = 1;

/** Everything drawn for one flight. */
class Day {
  private readonly uniform: () => number;
  readonly rates: Rates;
  readonly wind: { readonly speed_ms: number; readonly from_deg: number };
  readonly lag_s: number;

  readonly nature: Nature;

  constructor(seed: number, nature: Nature) {
    this.nature = nature;
    this.uniform = seeded(seed);
    const common = nature.ratesVary ? 1 + 0.09 * this.normal() : 1;
    const own = (): number => common * (nature.ratesVary ? 1 + 0.03 * this.normal() : 1);
    const [hover, climb, cruise, descent] = TOLD.rates;
    this.rates = [hover * own(), climb * own(), cruise * own(), descent * own()];
    this.wind = { speed_ms: nature.mostWind_ms * this.uniform(), from_deg: 360 * this.uniform() };
    this.lag_s = nature.mostLag_s * this.uniform();
  }

  /** Box–Muller. */
  normal(): number {
    return Math.sqrt(-2 * Math.log(1 - this.uniform())) * Math.cos(2 * Math.PI * this.uniform());
  }

  /** First-order noise of mean 0. */
  noise(deviation: number, memory_s: number, step_s: number): () => number {
    const keep = Math.exp(-step_s / memory_s);
    let value = deviation * this.normal();
    return () => {
      value = keep * value + deviation * Math.sqrt(1 - keep * keep) * this.normal();
      return value;
    };
  }

  rate(way: "hover" | "climb" | "cruise" | "descent", air_ms: number): number {
    const [hover, climb, cruise, descent] = this.rates;
    if (way === "climb") return climb;
    if (way === "descent") return descent;
    // Under 1 m/s it is a hover by definition; from there the level rate grows to the cruise's.
    if (air_ms < STILL_AIR_MS) return hover;
    return hover + (cruise - hover) * (air_ms / CRUISE_MS) ** 2;
  }
}

/** Wind at a height by the power law, held to 2–200 m. */
const raised = (speed_ms: number, height_m: number, shear: number): number =>
  speed_ms * (Math.min(200, Math.max(2, height_m)) / 10) ** shear;

/** Speed over the ground that an air speed makes along a course against a wind from `from_deg`. */
function along(air_ms: number, speed_ms: number, from_deg: number, course_deg: number): number {
  const angle = ((from_deg - course_deg) * Math.PI) / 180;
  return Math.sqrt(Math.max(0, air_ms ** 2 - (speed_ms * Math.sin(angle)) ** 2)) - speed_ms * Math.cos(angle);
}

/** Flies one flight out towards the east and back, and one recovery from where it is farthest. */
export function generate(seed: number, nature: Nature = FULL_NATURE): Generated {
  const day = new Day(seed, nature);
  const wander = day.noise(nature.wanders ? 0.04 : 0, 40, 1);
  const rows: LogRow[] = [];
  let [time_s, east_m, height_m, charge_pct, lagged_pct] = [0, 0, 0, 97, 97];
  const keep = day.lag_s > 0 ? Math.exp(-1 / day.lag_s) : 0;
  const write = (way: LogRow["way"], groundSpeed_ms: number): void => {
    lagged_pct = keep * lagged_pct + (1 - keep) * charge_pct;
    const read = Math.round(lagged_pct + nature.noise_pct * day.normal());
    rows.push({ time_s, way, east_m, north_m: 0, height_m, groundSpeed_ms, battery_pct: read });
    time_s += 1;
  };
  for (const { way, for_s } of nature.legs) {
    for (let t = 0; t < for_s; t += 1) {
      const here_ms = raised(day.wind.speed_ms, height_m, 1 / 7);
      const flown = way === "out" || way === "home" ? "cruise" : way;
      const course_deg = way === "home" ? 270 : 90;
      const ground_ms = flown === "cruise" ? Math.max(0, along(CRUISE_MS, here_ms, day.wind.from_deg, course_deg)) : 0;
      write(flown, ground_ms);
      east_m += way === "home" ? -ground_ms : ground_ms;
      height_m += way === "climb" ? HAND_MS : way === "descent" ? -HAND_MS : 0;
      charge_pct -= (day.rate(flown, flown === "cruise" ? CRUISE_MS : here_ms) * (1 + wander())) / 60;
    }
  }
  write("hover", 0);
  const farthest = rows.reduce((best, { east_m: far }, i) => (far > (rows[best]?.east_m ?? 0) ? i : best), 0);
  const from = rows[farthest] ?? { east_m: 0, height_m: 0 };
  return { rows, wind: day.wind, rates: day.rates, farthest, trueNeed_pct: recover(day, from) };
}

/** The battery that one recovery truly uses. */
function recover(day: Day, from: { readonly east_m: number; readonly height_m: number }): number {
  const { speedsVary, windVaries, wanders } = day.nature;
  const off = (share: number): number => (speedsVary ? 1 + share * day.normal() : 1);
  const speeds = { air: TOLD.recovery_ms * off(0.03), climb: TOLD.climb_ms * off(0.05) };
  const down = { fast: TOLD.descent_ms * off(0.05), slow: TOLD.landing_ms * off(0.05) };
  const factor = wanders ? 1 + 0.04 * day.normal() : 1;
  const told = day.wind;
  const error_ms = windVaries ? Math.hypot(1.3, 0.12 * told.speed_ms) * day.normal() : 0;
  const from_deg = told.from_deg + (windVaries ? 8 * day.normal() : 0);
  const shear = 1 / 7 + (windVaries ? 0.03 * day.normal() : 0);
  const top_m = Math.max(from.height_m, TOLD.recoveryHeight_m);
  const leg_ms = raised(told.speed_ms, top_m, shear) + error_ms;
  const step_s = 0.5;
  const gust = day.noise(windVaries ? 0.6 + 0.1 * told.speed_ms : 0, 8, step_s);
  let used_pct = (day.rate("hover", leg_ms) * TOLD.delay_s) / 60;
  used_pct += (day.rate("climb", 0) * (top_m - from.height_m)) / speeds.climb / 60;
  let left_m = from.east_m;
  for (let t = 0; left_m > 0 && t < 3600; t += step_s) {
    const made_m = Math.max(0.01, along(speeds.air, leg_ms + gust(), from_deg, 270)) * step_s;
    const share = Math.min(1, left_m / made_m);
    used_pct += (day.rate("cruise", speeds.air) * step_s * share) / 60;
    left_m -= made_m;
  }
  const slow_m = Math.min(top_m, TOLD.slowHeight_m);
  used_pct += (day.rate("descent", 0) * ((top_m - slow_m) / down.fast + slow_m / down.slow)) / 60;
  return used_pct * factor;
}
