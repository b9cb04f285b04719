import { clock, sayIn } from "../rules/say.js";
import type { FlightResult, RecoveryFlown } from "../score/result.js";
import { type Style, wrap } from "./text-style.js";

const BASIS: Readonly<Record<string, string>> = {
  measured: "by the log's flag",
  declared: "by its mode",
  inferred: "by its shape, perhaps by hand: not scored",
};
const ENDED = {
  landed: "landed",
  "taken-over": "taken over",
  "record-ends": "at the end of the record",
} as const;

/** @returns a line for each recovery that was flown: predicted and actual side by side */
export function flownLines({ recoveries_flown }: FlightResult, style: Style): string[] {
  if (recoveries_flown.length === 0) return [];
  return ["", ...recoveries_flown.flatMap((one) => wrap(textOf(one, style), style.options.width, "", "    "))];
}

function textOf({ start_s, end_s, basis, ended, predicted, actual }: RecoveryFlown, { options, dash }: Style): string {
  const say = sayIn(options.units);
  const known = (value: number | null, show: (value: number) => string): string => (value === null ? "?" : show(value));
  const away = actual.ended_m_from_point === null ? "" : ` ${say.length(actual.ended_m_from_point)} from the point`;
  const path = actual.path_ratio === null ? "" : `, way ${actual.path_ratio.toFixed(2)} of the straight line`;
  return (
    `Recovery flown ${clock(start_s)}${dash}${clock(end_s)} (${BASIS[basis] ?? basis}): ` +
    `used ${known(actual.used_pct, say.percent)} in ${say.duration(actual.time_s)} at up to ${known(actual.height_m, say.length)}, ` +
    `${ENDED[ended]}${away}${path}; rehearsed ${known(predicted.need_middle_pct, say.percent)}, ` +
    `at most ${known(predicted.need_upper_pct, say.percent)}, in ${known(predicted.time_s, say.duration)} at ` +
    `${known(predicted.height_m, say.length)}.`
  );
}
