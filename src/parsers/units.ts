import { CHANNELS, type Channel } from "../track/channels.js";

/** What a unit measures; a channel takes only units of its own dimension. */
export type Dimension =
  | "time"
  | "angle"
  | "length"
  | "speed"
  | "percent"
  | "voltage"
  | "current"
  | "charge"
  | "energy"
  | "temperature"
  | "number"
  | "fix"
  | "flag";

/** A unit as written in a log: `((value + plus) × times) ÷ over` is the value in the channel's own unit. */
export interface Unit {
  /** As it is printed: `km/h`, `1e-7 deg`. */
  readonly name: string;
  readonly dimension: Dimension;
  readonly plus: number;
  /** Kept apart from `over`, so that `mV ÷ 1000` is exact to the last digit and `mV × 0.001` need not be. */
  readonly times: number;
  readonly over: number;
}

type Row = readonly [name: string, aliases: string, times?: number, over?: number, plus?: number];

/**
 * Every unit that is read, by dimension: its name, other spellings (lower case, without blanks), and how it becomes the
 * channel's own unit. Sources: SI; ft, mi, nmi, mph, kt by their international definitions (0.3048 m, 1609.344 m, 1852 m).
 */
export const UNITS: Readonly<Record<Dimension, readonly Row[]>> = {
  time: [
    ["s", "sec secs second seconds"],
    ["ms", "msec millis millisecond milliseconds", 1, 1e3],
    ["µs", "us usec micros microsecond microseconds", 1, 1e6],
  ],
  angle: [
    ["deg", "° degree degrees degs"],
    ["rad", "radian radians rads", 180, Math.PI],
  ],
  length: [
    ["m", "meter meters metre metres mtr"],
    ["ft", "feet foot '", 0.3048],
    ["km", "kilometer kilometers kilometre kilometres", 1000],
    ["mi", "mile miles", 1609.344],
    ["nmi", "nauticalmile nauticalmiles", 1852],
    ["cm", "centimeter centimeters centimetre centimetres", 1, 100],
    ["mm", "millimeter millimeters millimetre millimetres", 1, 1000],
  ],
  speed: [
    ["m/s", "mps ms ms-1 m/sec meterspersecond metrespersecond meterpersecond metrepersecond"],
    ["km/h", "kmh kph kmph kmh-1 km/hr kilometersperhour kilometresperhour", 1, 3.6],
    ["mph", "mi/h mileperhour milesperhour", 0.44704],
    ["kt", "kts kn knot knots", 463, 900],
    ["ft/min", "fpm ftmin feetperminute ft/minute", 0.3048, 60],
    ["ft/s", "fps fts feetpersecond ft/sec", 0.3048],
    ["cm/s", "cms cms-1 cm/sec centimeterspersecond centimetrespersecond", 1, 100],
  ],
  percent: [
    ["%", "pct percent percentage"],
    ["0–1", "0-1 0..1 0to1 share fraction ratio", 100],
  ],
  voltage: [
    ["V", "v volt volts"],
    ["mV", "mv millivolt millivolts", 1, 1000],
  ],
  current: [
    ["A", "a amp amps ampere amperes"],
    ["mA", "ma milliamp milliamps milliampere milliamperes", 1, 1000],
  ],
  charge: [
    ["mAh", "mah milliamphours milliamperehours"],
    ["Ah", "ah amphours amperehours", 1000],
  ],
  energy: [
    ["Wh", "wh watthour watthours"],
    ["mWh", "mwh", 1, 1000],
  ],
  temperature: [
    ["°C", "c degc celsius degreescelsius degreecelsius"],
    ["°F", "f degf fahrenheit degreesfahrenheit degreefahrenheit", 5, 9, -32],
    ["K", "k kelvin kelvins", 1, 1, -273.15],
  ],
  number: [["1", "count number"]],
  fix: [["code", "type"]],
  flag: [["flag", "bool boolean 0/1"]],
};

const DIMENSIONS: Readonly<Record<(typeof CHANNELS)[Channel]["unit"], Dimension>> = {
  s: "time",
  deg: "angle",
  m: "length",
  "m/s": "speed",
  "%": "percent",
  V: "voltage",
  A: "current",
  mAh: "charge",
  Wh: "energy",
  "1": "number",
  code: "fix",
  flag: "flag",
  "°C": "temperature",
};

const BY_ALIAS: ReadonlyMap<string, readonly Unit[]> = indexUnits();

function indexUnits(): Map<string, Unit[]> {
  const found = new Map<string, Unit[]>();
  for (const dimension of Object.values(DIMENSIONS)) {
    for (const [name, aliases, times = 1, over = 1, plus = 0] of UNITS[dimension]) {
      const unit: Unit = { name, dimension, plus, times, over };
      for (const alias of new Set([plainUnit(name), ...aliases.split(" ")])) {
        const others = found.get(alias) ?? [];
        if (!others.some((other) => other.dimension === dimension)) found.set(alias, [...others, unit]);
      }
    }
  }
  return found;
}

/** Lower case, one spelling for µ and superscripts, no blanks and dots between the parts. */
function plainUnit(text: string): string {
  return text
    .normalize("NFKC")
    .toLowerCase()
    .replace(/μ/g, "u")
    .replace(/−/g, "-")
    .replace(/[\s^·*_]|\.(?!\d|\.)|(?<!\.)\.$/g, "")
    .replace(/^°(?=[cf]$)/, "deg");
}

/** @returns what the channel's values measure */
export function dimensionOf(channel: Channel): Dimension {
  return DIMENSIONS[CHANNELS[channel].unit];
}

/**
 * @param text a unit as someone wrote it: `ft`, `m/s`, `°C`, `1e-7 deg`
 * @returns what it may mean, one unit a dimension (`ms` is milliseconds and metres a second); empty if it is unknown
 */
export function findUnits(text: string): readonly Unit[] {
  const whole = BY_ALIAS.get(plainUnit(text));
  if (whole !== undefined) return whole;
  const scaled = /^\s*(\d+(?:\.\d+)?(?:[eE][-+]?\d+)?)\s*[*×]?\s*([^\d\s].*)$/.exec(text);
  const scale = Number(scaled?.[1]);
  if (!(scale > 0 && scale < Number.POSITIVE_INFINITY)) return [];
  const { times, over } = asRatio(scale);
  return (BY_ALIAS.get(plainUnit(scaled?.[2] ?? "")) ?? [])
    .filter((unit) => unit.plus === 0)
    .map((unit) => ({
      ...unit,
      name: `${scaled?.[1]} ${unit.name}`,
      times: unit.times * times,
      over: unit.over * over,
    }));
}

/** A scale below one divides, so that integers × 1e-7 come out as written with the point moved. */
function asRatio(scale: number): { times: number; over: number } {
  const inverse = Math.round(1 / scale);
  return inverse > 1 && 1 / inverse === scale ? { times: 1, over: inverse } : { times: scale, over: 1 };
}

/** @returns the unit that `text` names in this dimension, or undefined */
export function findUnit(text: string, dimension: Dimension): Unit | undefined {
  return findUnits(text).find((unit) => unit.dimension === dimension);
}

/** @returns names of all units of a dimension, for messages */
export function unitNames(dimension: Dimension): readonly string[] {
  return UNITS[dimension].map(([name]) => name);
}

/** @returns the unit that the channel's values are kept in */
export function ownUnit(channel: Channel): Unit {
  const dimension = dimensionOf(channel);
  return { name: CHANNELS[channel].unit, dimension, plus: 0, times: 1, over: 1 };
}

/** @returns `value` in the channel's own unit; NaN and ±Infinity stay what they are */
export function convert(value: number, { plus, times, over }: Unit): number {
  return ((value + plus) * times) / over;
}
