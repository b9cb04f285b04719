import { clock, type Say } from "../rules/say.js";
import type { RehearsalResult } from "../score/rehearsal-result.js";

/** Heads of the table of phases. */
export const PHASE_HEADS = ["Phase", "Begins", "Lasts", "Distance", "Height then", "Over ground", "Battery"] as const;

const WORDS: Readonly<Record<string, string>> = {
  delay: "wait and turn",
  climb: "climb",
  transit: "way home",
  descent: "descent",
  landing: "last metres",
};

/** What stands for a number that is not known, or has no end. */
function known(value: number | null, is: string, put: (value: number) => string): string {
  return value === null ? is : put(value);
}

/** @returns the cells of the table of phases, with a last row of sums */
export function phaseRows({ phases, need_pct, at_s, distance_m, at_hand }: RehearsalResult, say: Say): string[][] {
  const endless = need_pct.middle === null && need_pct.reason === "no_headway";
  const lack = endless ? "no end" : "unknown";
  const percent = (value: number | null): string => known(value, lack, (x) => `${x.toFixed(1)} %`);
  const lasts_s = phases.reduce((sum, { duration_s }) => sum + (duration_s ?? Number.NaN), 0);
  const rows = phases.map(({ phase, start_s, duration_s, ...facts }) => {
    const isLeg = phase === "transit";
    return [
      WORDS[phase] ?? phase,
      known(start_s, lack, (x) => `+${clock(x - at_s)}`),
      known(duration_s, lack, (x) => `${x.toFixed(1)} s`),
      isLeg ? known(facts.distance_m, "unknown", say.length) : "",
      known(facts.height_m, "unknown", say.length),
      isLeg ? known(facts.ground_speed_ms, "unknown", say.speed) : "",
      percent(facts.energy_pct),
    ];
  });
  const way = at_hand ? "" : known(distance_m, "unknown", say.length);
  return [
    ...rows,
    [
      "in all",
      "",
      known(Number.isNaN(lasts_s) ? null : lasts_s, lack, (x) => `${x.toFixed(1)} s`),
      way,
      "",
      "",
      percent(need_pct.middle),
    ],
  ];
}

/** @returns sentences: where it begins, what it needs, what is left */
export function rehearsalFacts(rehearsal: RehearsalResult, say: Say): string[] {
  const { at_s, at_utc, distance_m, height_m, battery_pct, leg_height_m, wind, flight } = rehearsal;
  const utc = at_utc === null ? "" : `, ${at_utc.slice(0, 19).replace("T", " ")} UTC`;
  const place = [
    known(distance_m, "distance to the recovery point unknown", (x) => `${say.length(x)} from the recovery point`),
    known(height_m, "height unknown", (x) => `${say.length(x)} above it`),
    known(battery_pct, "battery unknown", (x) => `battery ${say.percent(x)}`),
  ].join(", ");
  const climb =
    height_m === null || leg_height_m === null || rehearsal.at_hand
      ? []
      : leg_height_m > height_m
        ? [`It climbs to ${say.length(leg_height_m)}.`]
        : [`It stays at ${say.length(leg_height_m)}: a start at or above the recovery height gets no extra climb.`];
  const breeze = known(wind.speed_ms, "wind unknown", (x) =>
    wind.basis === "assumed"
      ? "calm assumed"
      : `wind ${say.speed(x)} from ${known(wind.from_deg, "?", (d) => d.toFixed(0))} deg at that height, ${wind.basis}`,
  );
  return [
    `A recovery begun at ${clock(at_s)} (${Number(at_s.toFixed(1))} s${utc}) in flight ${flight}: ${place}; ${breeze}.`,
    ...(rehearsal.at_hand ? ["At hand: it only lands, from where it is."] : climb),
    needText(rehearsal, say),
    ...clearanceText(rehearsal, say),
  ];
}

function clearanceText({ clearance, profile }: RehearsalResult, say: Say): string[] {
  if (clearance === null || clearance.corridor_m === null) return [];
  const { centre_m, corridor_m, over, along_m } = clearance;
  const gap = (value_m: number): string => `${say.length(Math.abs(value_m))} ${value_m < 0 ? "too low" : "clear"}`;
  const where = along_m === null ? "" : ` ${say.length(along_m)} from here`;
  const centre = centre_m === null ? "" : `${gap(centre_m)} on the centre line, `;
  const isPartly = profile?.ground_m.includes(null) === true || profile?.obstacle_unknown.includes(true) === true;
  // What runs into something does so whatever else stands there.
  const limit = isPartly && corridor_m >= 0 ? ", as far as is known" : "";
  return [`Nearest to ${over}${where}: ${centre}${gap(corridor_m)} in the corridor${limit}.`];
}

function needText({ need_pct, touchdown_pct, battery_pct }: RehearsalResult, say: Say): string {
  const { middle, upper, upper_is, reason } = need_pct;
  if (middle === null) {
    return reason === "no_headway"
      ? "It makes no headway against the wind: no battery is enough."
      : "What it needs is not known, for what it rests on is not.";
  }
  const most =
    upper === null
      ? "without end in the adverse wind"
      : `at most ${say.percent(upper)} (${upper_is === "bound" ? "with bounds of what was assumed" : "at the policy's level"})`;
  const needs = `It needs ${say.percent(middle)}, ${most}`;
  if (battery_pct === null || touchdown_pct.middle === null)
    return `${needs}; what would be left is not known, for the battery is not.`;
  return `${needs}; ${leftText(touchdown_pct.middle, touchdown_pct.upper, say)}.`;
}

/** What is left at touchdown, and at the upper need; under nothing is short, not a negative rest. */
function leftText(middle_pct: number, upper_pct: number | null, say: Say): string {
  const of = (value_pct: number): string => say.percent(Math.abs(value_pct));
  const middle = middle_pct < 0 ? `it falls ${of(middle_pct)} short` : `${of(middle_pct)} would be left`;
  if (upper_pct === null) return middle;
  if (upper_pct >= 0) return `${middle}, at least ${of(upper_pct)}`;
  return `${middle}, at worst it is ${of(upper_pct)} short`;
}

/** The gravest first. */
const GRAVITY = ["fail", "thin", "unknown", "clear", "n/a"] as const;

/** @returns every rule with its verdict and why, the gravest first */
export function verdictRows({ verdicts, reasons }: RehearsalResult): {
  readonly rule: string;
  readonly verdict: (typeof GRAVITY)[number];
  readonly why: string;
}[] {
  return GRAVITY.flatMap((verdict) =>
    Object.keys(verdicts)
      .filter((rule) => verdicts[rule] === verdict)
      .map((rule) => ({ rule, verdict, why: reasons[rule] ?? "" })),
  );
}
