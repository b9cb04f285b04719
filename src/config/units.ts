import { UserError } from "../user-error.js";
import { quoted } from "./quoted.js";

/** What a value of homeleg.yaml measures. */
export type Dimension = keyof typeof DIMENSIONS;

/** `[numerator, denominator]`: value × numerator ÷ denominator is the value in the base unit, rounded once. */
type Factor = readonly [number, number];

interface DimensionRow {
  /** As in "`60 kg` is not a length". */
  readonly noun: string;
  /** As in "Write metres or feet, such as `60 m`". */
  readonly accepted: string;
  /** What a bare number is in; empty for what has no unit. */
  readonly base: string;
  readonly example: number;
  /** Lower case, no spaces. */
  readonly units: Readonly<Record<string, Factor>>;
}

const METRE = [1, 1] as const;
const FOOT = [3048, 10_000] as const;
const NAUTICAL_MILE = [1852, 1] as const;
const SECOND = [1, 1] as const;
const MINUTE = [60, 1] as const;
const HOUR = [3600, 1] as const;
const DAY = [86_400, 1] as const;
const KNOT = [1852, 3600] as const;

/**
 * Dimensions and the units each accepts. Foot, mile and pound: international yard and pound agreement, 1959 (0.3048 m,
 * 1609.344 m, 0.45359237 kg). Nautical mile and knot: International Hydrographic Conference, 1929 (1852 m, 1852 m/h).
 */
const DIMENSIONS = {
  length: {
    noun: "a length",
    accepted: "metres or feet",
    base: "m",
    example: 60,
    units: {
      m: METRE,
      metre: METRE,
      metres: METRE,
      meter: METRE,
      meters: METRE,
      cm: [1, 100],
      km: [1000, 1],
      ft: FOOT,
      foot: FOOT,
      feet: FOOT,
      mi: [1_609_344, 1000],
      nmi: NAUTICAL_MILE,
      nm: NAUTICAL_MILE,
    },
  },
  speed: {
    noun: "a speed",
    accepted: "m/s, km/h, mph, kt or ft/min",
    base: "m/s",
    example: 5,
    units: {
      "m/s": [1, 1],
      "km/h": [1000, 3600],
      mph: [1_609_344, 3_600_000],
      kt: KNOT,
      kts: KNOT,
      kn: KNOT,
      knot: KNOT,
      knots: KNOT,
      "ft/min": [3048, 600_000],
    },
  },
  time: {
    noun: "a time",
    accepted: "ms, s, min, h, d or hh:mm:ss",
    base: "s",
    example: 3,
    units: {
      ms: [1, 1000],
      s: SECOND,
      second: SECOND,
      seconds: SECOND,
      min: MINUTE,
      minute: MINUTE,
      minutes: MINUTE,
      h: HOUR,
      hour: HOUR,
      hours: HOUR,
      d: DAY,
      day: DAY,
      days: DAY,
    },
  },
  minutes: {
    noun: "a number of minutes",
    accepted: "minutes or hours",
    base: "min",
    example: 60,
    units: { min: [1, 1], minutes: [1, 1], h: [60, 1], hours: [60, 1] },
  },
  angle: {
    noun: "an angle",
    accepted: "degrees or radians",
    base: "deg",
    example: 270,
    units: { deg: [1, 1], degrees: [1, 1], "°": [1, 1], rad: [180, Math.PI] },
  },
  coordinate: {
    noun: "a latitude or longitude",
    accepted: "decimal degrees",
    base: "deg",
    example: 47.1,
    units: { deg: [1, 1], degrees: [1, 1], "°": [1, 1], rad: [180, Math.PI] },
  },
  percent: {
    noun: "a percentage",
    accepted: "percent",
    base: "%",
    example: 25,
    units: { "%": [1, 1], percent: [1, 1] },
  },
  share: { noun: "a share", accepted: "0 to 1, or percent", base: "", example: 0.8, units: { "%": [1, 100] } },
  rate: {
    noun: "a rate of battery use",
    accepted: "percent a minute",
    base: "%/min",
    example: 5,
    units: { "%/min": [1, 1] },
  },
  voltage: { noun: "a voltage", accepted: "volts", base: "V", example: 14.8, units: { v: [1, 1], mv: [1, 1000] } },
  charge: {
    noun: "a charge",
    accepted: "mAh or Ah",
    base: "mAh",
    example: 5200,
    units: { mah: [1, 1], ah: [1000, 1] },
  },
  power: { noun: "a power", accepted: "watts", base: "W", example: 180, units: { w: [1, 1], kw: [1000, 1] } },
  mass: {
    noun: "a mass",
    accepted: "kilograms, grams or pounds",
    base: "kg",
    example: 1.4,
    units: { kg: [1, 1], g: [1, 1000], lb: [45_359_237, 100_000_000], lbs: [45_359_237, 100_000_000] },
  },
  size: {
    noun: "a size",
    accepted: "bytes, kB, MB or GB",
    base: "bytes",
    example: 2_000_000_000,
    units: { bytes: [1, 1], b: [1, 1], kb: [1000, 1], mb: [1_000_000, 1], gb: [1_000_000_000, 1] },
  },
  count: { noun: "a number", accepted: "a number without a unit", base: "", example: 4, units: {} },
} as const satisfies Readonly<Record<string, DimensionRow>>;

const NUMBER_AND_UNIT = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?)\s*(.*)$/i;
const CLOCK = /^(?:(\d+):)?([0-5]?\d):([0-5]\d(?:\.\d+)?)$/;
const DECIMAL_COMMA = /^([+-]?\d+),(\d+)(.*)$/;

/**
 * Reads a quantity such as `60 m`, `200 ft`, `00:06:52` or a bare number, which is in the dimension's base unit: m, m/s,
 * s, degrees, %, share 0–1, %/min, V, mAh, W, kg (`minutes`: min).
 *
 * A bare percentage between 0 and 1 is refused: `0.25` is as likely meant as 25 % as as 0.25 %.
 * @returns the value in the base unit, at most a billion of it, of bytes a million times as many; never -0
 * @throws UserError `wrong-unit`, naming the units that are accepted
 */
export function parseQuantity(text: string | number, dimension: Dimension): number {
  const trimmed = String(text).trim();
  const clock = dimension === "time" ? CLOCK.exec(trimmed) : null;
  if (clock !== null) {
    return plausible(trimmed, dimension, Number(clock[1] ?? 0) * 3600 + Number(clock[2]) * 60 + Number(clock[3]));
  }
  const [, digits, unit = ""] = NUMBER_AND_UNIT.exec(trimmed) ?? [];
  const number = digits === undefined ? Number.NaN : Number(digits);
  const factor = unit === "" ? METRE : factorOf(unit, dimension);
  if (factor === undefined || !Number.isFinite(number)) throw misread(trimmed, dimension, number);
  if (dimension === "percent" && unit === "" && number > 0 && number < 1) throw doubtfulPercent(trimmed, number);
  return plausible(trimmed, dimension, (number * factor[0]) / factor[1]);
}

/** No quantity of a flight comes near it in its base unit; only a size in bytes may be larger. */
const LARGEST = 1e9;
const LARGEST_SIZE = 1e15;

function plausible(text: string, dimension: Dimension, value: number): number {
  if (Math.abs(value) <= (dimension === "size" ? LARGEST_SIZE : LARGEST)) return value + 0;
  throw new UserError("wrong-unit", `${quoted(text)} is too large for ${DIMENSIONS[dimension].noun}.`, {
    hint: acceptedUnits(dimension),
  });
}

/** @returns what to write for a quantity: "Write metres or feet, such as `60 m`." */
export function acceptedUnits(dimension: Dimension, example?: number): string {
  const row: DimensionRow = DIMENSIONS[dimension];
  return `Write ${row.accepted}, such as ${quoted(withUnit(example ?? row.example, dimension))}.`;
}

/** @returns `60 m`; the bare number for what has no unit */
export function withUnit(value: number, dimension: Dimension): string {
  return `${value} ${DIMENSIONS[dimension].base}`.trimEnd();
}

function factorOf(unit: string, dimension: Dimension): Factor | undefined {
  const { units }: DimensionRow = DIMENSIONS[dimension];
  const spelled = unit.toLowerCase().replaceAll(/\s+/g, "");
  return Object.hasOwn(units, spelled) ? units[spelled] : undefined;
}

function misread(text: string, dimension: Dimension, number: number): UserError {
  const comma = DECIMAL_COMMA.exec(text);
  const hint =
    comma === null
      ? acceptedUnits(dimension, Number.isFinite(number) ? number : undefined)
      : `Use a dot for the decimals: ${quoted(`${comma[1]}.${comma[2]}${comma[3]}`)}.`;
  return new UserError("wrong-unit", `${quoted(text)} is not ${DIMENSIONS[dimension].noun}.`, { hint });
}

function doubtfulPercent(text: string, number: number): UserError {
  const meant = Number((number * 100).toPrecision(12));
  return new UserError("wrong-unit", `${quoted(text)} may be meant as ${meant} % or as ${number} %.`, {
    hint: `Write ${quoted(`${meant} %`)} or ${quoted(`${number} %`)}.`,
  });
}
