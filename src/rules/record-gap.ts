import { total } from "../num/columns.js";
import type { Replay } from "../recovery/replay.js";
import { type Conduct, conductRule } from "./rule.js";

/**
 * Share of the flight that the record leaves out, and whether the record ends in the air: what is not recorded cannot be
 * judged.
 */
export const recordGap = conductRule({
  id: "record-gap",
  question: "Does the record cover the whole flight, to the landing?",
  unit: "share",
  limits: { thin: "record_gap.thin", fail: "record_gap.fail" },
  judge(replay, limits, say): Conduct {
    const { flight, moments, length } = replay;
    const at = (column: Float64Array, k: number): number => column[k] ?? Number.NaN;
    const share = unjudgedShare(replay);
    if (share <= limits.thin && !flight.endsInAir) return { verdict: "clear" };
    const last = length - 1;
    const battery_pct = at(moments.battery_pct, last);
    const distance_m = at(moments.distance_m, last);
    const ends = flight.endsInAir
      ? `The record ends in the air, ${Number.isNaN(distance_m) ? "at an unknown distance" : `${say.length(distance_m)} out`}` +
        `${Number.isNaN(battery_pct) ? "" : ` with ${say.percent(battery_pct)}`}. `
      : "";
    const gaps = share > 0 ? `${say.percent(share * 100)} of the flight is not in the record.` : "";
    const gap = longestGap(replay);
    return {
      verdict: share > limits.fail ? "fail" : "thin",
      finding: {
        first: flight.endsInAir ? flight.last : gap.before,
        last: flight.endsInAir ? flight.last : gap.after,
        at: flight.endsInAir ? flight.last : gap.before,
        ...(share > limits.thin
          ? { value: share, limit: share > limits.fail ? limits.fail : limits.thin }
          : { value: distance_m, limit: 0, unit: "m" }),
        message: (ends + gaps).trim(),
        advice: flight.endsInAir
          ? "Find out why the record stops there before you fly this aircraft again; keep recording until after the landing."
          : "Find out why the recorder loses data; nothing can be said of what it missed.",
        evidence: {
          unjudged_share: share,
          ends_in_air: flight.endsInAir ? "yes" : "no",
          distance_at_end_m: Number.isNaN(distance_m) ? null : distance_m,
          battery_at_end_pct: Number.isNaN(battery_pct) ? null : battery_pct,
        },
      },
    };
  },
  bases: () => ["measured"],
});

/** Share of the time from take-off to landing that no moment stands for. */
function unjudgedShare({ flight, moments, track }: Replay): number {
  const { time_s } = track.columns;
  const span_s = (time_s[flight.last] ?? 0) - (time_s[flight.first] ?? 0) + flight.step_s;
  const judged_s = total(moments.weight_s);
  return span_s > 0 ? Math.max(0, 1 - judged_s / span_s) : 0;
}

function longestGap({ flight, track }: Replay): { before: number; after: number } {
  const { time_s } = track.columns;
  let longest = { before: flight.first, after: flight.first, lasts_s: 0 };
  flight.segments.slice(1).forEach(({ from }) => {
    const lasts_s = (time_s[from] ?? 0) - (time_s[from - 1] ?? 0);
    if (lasts_s > longest.lasts_s) longest = { before: from - 1, after: from, lasts_s };
  });
  return longest;
}
