/** Puts numbers into words for people, in the units they asked for. */
export interface Say {
  readonly length: (value_m: number) => string;
  readonly speed: (value_ms: number) => string;
  /** A speed up or down. */
  readonly climb: (value_ms: number) => string;
  readonly percent: (value_pct: number) => string;
  /** A moment as flight time: `06:58`. */
  readonly time: (at_s: number) => string;
  /** A duration: `12 s`, `3 min 05 s`. */
  readonly duration: (lasts_s: number) => string;
  /**
   * A value beside its limit, with as many decimals as keep two different numbers apart: never "20 % left, limit 20 %".
   */
  readonly beside: (
    kind: "length" | "speed" | "percent" | "count",
    value: number,
    limit: number,
  ) => readonly [string, string];
}

const FOOT_M = 0.3048;
const KNOT_MS = 1852 / 3600;

/**
 * @returns the words for metric or imperial units; imperial speeds are in knots, as the trade gives winds, and climb rates in
 *   feet a minute */
export function sayIn(units: "metric" | "imperial"): Say {
  const isMetric = units === "metric";
  const lengthUnit = isMetric ? "m" : "ft";
  const speedUnit = isMetric ? "m/s" : "kt";
  const length = (value_m: number): number => (isMetric ? value_m : value_m / FOOT_M);
  const speed = (value_ms: number): number => (isMetric ? value_ms : value_ms / KNOT_MS);
  return {
    length: (value_m) => `${short(length(value_m))} ${lengthUnit}`,
    speed: (value_ms) => `${trim(speed(value_ms))} ${speedUnit}`,
    climb: (value_ms) => (isMetric ? `${trim(value_ms)} m/s` : `${decimals((value_ms / FOOT_M) * 60, 0)} ft/min`),
    percent: (value_pct) => `${short(value_pct)} %`,
    time: clock,
    duration: lasts,
    beside: (kind, value, limit) => {
      const of = kind === "length" ? length : kind === "speed" ? speed : (x: number): number => x;
      const unit = { length: ` ${lengthUnit}`, speed: ` ${speedUnit}`, percent: " %", count: "" }[kind];
      // Winds and headways are small: without a decimal 0.4 m/s of headway would read as none.
      const pair = apart(of(value), of(limit), kind === "speed" ? 1 : 0);
      const isWhole = pair.every((text) => text.endsWith(".0"));
      return pair.map((text) => (isWhole ? text.slice(0, -2) : text) + unit) as [string, string];
    },
  };
}

/** @returns both numbers with the fewest decimals (`fewest` to 6) that print them differently, if they are different */
export function apart(value: number, limit: number, fewest: number = 0): [string, string] {
  for (let digits = fewest; digits <= 6; digits += 1) {
    const pair: [string, string] = [decimals(value, digits), decimals(limit, digits)];
    if (pair[0] !== pair[1] || value === limit) return pair;
  }
  return [String(value), String(limit)];
}

/** @returns minutes and seconds since the start of the log, `mm:ss`, rounded down; `h:mm:ss` from an hour on */
export function clock(at_s: number): string {
  const whole = Math.floor(at_s + 1e-6);
  const seconds = String(whole % 60).padStart(2, "0");
  const minutes = Math.floor(whole / 60);
  if (minutes < 60) return `${String(minutes).padStart(2, "0")}:${seconds}`;
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, "0")}:${seconds}`;
}

function lasts(lasts_s: number): string {
  if (lasts_s < 9.95) return `${short(lasts_s)} s`;
  const whole = Math.round(lasts_s);
  if (whole < 60) return `${whole} s`;
  return `${Math.floor(whole / 60)} min ${String(whole % 60).padStart(2, "0")} s`;
}

/** One decimal under ten, none above, and none for a whole number. */
function short(value: number): string {
  return Math.abs(value) < 9.95 ? trim(value) : decimals(value, 0);
}

/** One decimal, none for a whole number. */
function trim(value: number): string {
  const text = decimals(value, 1);
  return text.endsWith(".0") ? text.slice(0, -2) : text;
}

function decimals(value: number, digits: number): string {
  if (value === Number.POSITIVE_INFINITY) return "no end of";
  if (value === Number.NEGATIVE_INFINITY) return "nothing";
  // A value that rounds to nothing has no sign.
  const text = value.toFixed(digits);
  return Number(text) === 0 ? text.replace("-", "") : text;
}
