/** In which order a date is written. */
export type DateOrder = "y-m-d" | "d/m/y" | "m/d/y";

/** A date, a time of day, or both, taken apart. */
export interface TimeText {
  /** Microseconds since 1970-01-01 of the date at midnight; undefined where there is no date. */
  readonly date_us: number | undefined;
  /** Microseconds since midnight; undefined where there is no time of day. */
  readonly clock_us: number | undefined;
  /** How far the zone is ahead of UTC, microseconds; undefined where none is stated. */
  readonly zone_us: number | undefined;
}

export const SECOND_US = 1e6;
export const DAY_US = 86_400 * SECOND_US;

const LONGEST = 60;
const YEAR_FIRST = /^(\d{4})([-/.])(\d{1,2})\2(\d{1,2})(?=$|[T\s])/;
const YEAR_LAST = /^(\d{1,2})([-/.])(\d{1,2})\2(\d{4})(?=$|[T\s,])/;
const CLOCK = /^[T\s,]*(\d{1,3}):(\d{2})(?::(\d{2})(?:[.,](\d+))?)?(?:\s*([AP])\.?M\.?)?/i;
const ZONE = /^\s*(?:(Z|UTC|GMT)|(?:UTC|GMT)?\s*([+-])(\d{1,2}):?(\d{2})?)$/i;

/**
 * Reads a date, a time of day or both: ISO 8601 with its usual relatives (a blank for the T, slashes, dots, AM / PM).
 *
 * @param text trimmed
 * @param order how dates with the year last are meant; dotted ones are always day first
 * @returns undefined for anything else, and for a day or a time that does not exist
 */
export function readTimeText(text: string, order: DateOrder): TimeText | undefined {
  if (text.length > LONGEST) return undefined;
  const date = readDate(text, order);
  if (date === undefined) return undefined;
  const rest = text.slice(date.length);
  if (rest.trim() === "") {
    return date.length === 0 ? undefined : { date_us: date.date_us, clock_us: undefined, zone_us: undefined };
  }
  const clock = CLOCK.exec(rest);
  const clock_us = clock === null ? undefined : readClock(clock, date.length > 0);
  if (clock === null || clock_us === undefined) return undefined;
  const zone = rest.slice(clock[0].length);
  if (zone.trim() === "") return { date_us: date.date_us, clock_us, zone_us: undefined };
  const zone_us = readZone(zone);
  return zone_us === undefined ? undefined : { date_us: date.date_us, clock_us, zone_us };
}

/** @returns the day and how many characters it took; none if the text begins with no date; undefined if there is no such day */
function readDate(text: string, order: DateOrder): { date_us: number | undefined; length: number } | undefined {
  const first = YEAR_FIRST.exec(text);
  if (first !== null) return dayOf(first[1], first[3], first[4], first[0].length);
  const last = YEAR_LAST.exec(text);
  if (last === null) return { date_us: undefined, length: 0 };
  const isDayFirst = last[2] === "." || order !== "m/d/y";
  return dayOf(last[4], last[isDayFirst ? 3 : 1], last[isDayFirst ? 1 : 3], last[0].length);
}

function dayOf(
  year: string | undefined,
  month: string | undefined,
  day: string | undefined,
  length: number,
): { date_us: number; length: number } | undefined {
  const time_ms = Date.UTC(Number(year), Number(month) - 1, Number(day));
  const date = new Date(time_ms);
  const exists = date.getUTCMonth() === Number(month) - 1 && date.getUTCDate() === Number(day) && Number(year) >= 1900;
  return exists ? { date_us: time_ms * 1000, length } : undefined;
}

function readClock(match: RegExpExecArray, hasDate: boolean): number | undefined {
  const [, hours = "", minutes = "", seconds = "0", fraction = "", half] = match;
  let hour = Number(hours);
  if (half !== undefined) {
    if (hour < 1 || hour > 12) return undefined;
    hour = (hour % 12) + (half.toUpperCase() === "P" ? 12 : 0);
  }
  // Seconds go to 60 for a leap second; without a date the hours may count from the start of a long recording.
  if (Number(minutes) > 59 || Number(seconds) > 60 || (hasDate && hour > 23)) return undefined;
  const fraction_us = fraction === "" ? 0 : Math.round(Number(`0.${fraction}`) * SECOND_US);
  return ((hour * 60 + Number(minutes)) * 60 + Number(seconds)) * SECOND_US + fraction_us;
}

function readZone(text: string): number | undefined {
  const match = ZONE.exec(text);
  if (match === null) return undefined;
  const [, utc, sign, hours, minutes = "0"] = match;
  if (utc !== undefined) return 0;
  if (Number(hours) > 14 || Number(minutes) > 59) return undefined;
  return (sign === "-" ? -1 : 1) * (Number(hours) * 60 + Number(minutes)) * 60 * SECOND_US;
}
