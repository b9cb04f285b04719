import { angleBetween_deg } from "../num/bearing.js";
import { line } from "../num/geodesic.js";
import type { Replay } from "../recovery/replay.js";
import { type Asked, type Conduct, conductRule } from "./rule.js";
import type { Say } from "./say.js";
import { VERDICT } from "./verdict.js";

/**
 * The quality of the control link. A link is lost where it reads 0 %, or reads nothing while the log's recovery flag is
 * up; a reading that is merely missing is unknown.
 */
export const linkFading = conductRule({
  id: "link-fading",
  question: "Did the control link hold, and where it did not, did the aircraft do what it was set to?",
  unit: "%",
  limits: {
    link_pct: "link",
    held_s: "link_for",
    within_s: "action_within",
    vertical_ms: "action_signs.vertical",
    still_ms: "action_signs.still",
    homeward_deg: "action_signs.homeward",
  },
  judge(replay, { link_pct, held_s, within_s, ...signs }, say, asked): Conduct {
    const link = linkOf(replay);
    if (link === undefined) return { verdict: "unknown", lacks: ["link"] };
    const delay_s = replay.inputs.triggerDelay.value;
    const lost = runsWhere(replay, (k) => link[k] === 0).filter(({ lasts_s }) => lasts_s >= delay_s - 1e-6);
    const ignored = lost.find((run) => isIgnored(replay, run, within_s, signs));
    if (ignored !== undefined) return { verdict: "fail", finding: tellIgnored(replay, ignored, within_s, say) };
    const isFailing = (k: number): boolean => asked.worst[k] === VERDICT.fail;
    const grave = lost.find(({ from, to }) => indicesOf(from, to).some(isFailing));
    if (grave !== undefined) return { verdict: "fail", finding: tellLost(replay, grave, asked, say) };
    const weak = runsWhere(replay, (k) => (link[k] ?? Number.NaN) < link_pct).filter(
      ({ lasts_s }) => lasts_s >= held_s - 1e-6,
    );
    if (weak.length > 0) return { verdict: "thin", finding: tellWeak(replay, link, weak, link_pct, say) };
    const unknown_s = runsWhere(replay, (k) => Number.isNaN(link[k] ?? Number.NaN)).map(({ lasts_s }) => lasts_s);
    return Math.max(0, ...unknown_s) >= Math.max(held_s, 1e-6)
      ? { verdict: "unknown", lacks: ["link"] }
      : { verdict: "clear" };
  },
  bases: () => ["measured"],
});

/** What shows that the declared action began. */
interface Signs {
  readonly vertical_ms: number;
  readonly still_ms: number;
  readonly homeward_deg: number;
}

type Finding = NonNullable<Conduct["finding"]>;

/** Neighbouring moments; indices are among the flight's rows. */
interface Run {
  readonly from: number;
  readonly to: number;
  readonly lasts_s: number;
}

/** The link at the flight's rows, 0 where it is lost; undefined where the log has none. */
function linkOf({ track, flight }: Replay): Float64Array | undefined {
  const { link_pct, recoveryActive } = track.columns;
  const link = link_pct?.slice(flight.first, flight.last + 1);
  if (link === undefined || link.every(Number.isNaN)) return undefined;
  return link.map((value, k) => {
    const isFlown = (recoveryActive?.[flight.first + k] ?? 0) > 0;
    return Number.isNaN(value) && isFlown ? 0 : value;
  });
}

function runsWhere({ flight, moments, length }: Replay, is: (k: number) => boolean): Run[] {
  const starts = new Set(flight.segments.map(({ from }) => from - flight.first));
  const runs: { from: number; to: number; lasts_s: number }[] = [];
  for (let k = 0; k < length; k += 1) {
    if (!is(k)) continue;
    const weight_s = moments.weight_s[k] ?? 0;
    const before = runs[runs.length - 1];
    if (before === undefined || before.to !== k - 1 || starts.has(k)) runs.push({ from: k, to: k, lasts_s: weight_s });
    else Object.assign(before, { to: k, lasts_s: before.lasts_s + weight_s });
  }
  return runs;
}

function indicesOf(from: number, to: number): number[] {
  return Array.from({ length: to - from + 1 }, (_, i) => from + i);
}

/** Whether the link stayed lost for the whole time in which the action had to begin, and nothing shows that it did. */
function isIgnored(replay: Replay, { from, to }: Run, within_s: number, signs: Signs): boolean {
  const { moments, inputs } = replay;
  const action = inputs.lostLinkAction?.value;
  if (action === undefined) return false;
  const due_s = (moments.at_s[from] ?? 0) + inputs.triggerDelay.value + within_s;
  if ((moments.at_s[to] ?? 0) < due_s) return false;
  const asked = indicesOf(from, to).filter((k) => (moments.at_s[k] ?? 0) <= due_s);
  const shown = asked.map((k) => showsAction(replay, k, action, signs));
  return shown.includes(false) && !shown.includes(true);
}

/** Undefined where the log does not tell. */
function showsAction(
  replay: Replay,
  k: number,
  action: "return" | "land" | "hold",
  { vertical_ms, still_ms, homeward_deg }: Signs,
): boolean | undefined {
  const { motion, track, flight, moments } = replay;
  const i = flight.first + k;
  const climb_ms = motion.climbRate_ms[i] ?? Number.NaN;
  const speed_ms = motion.groundSpeed_ms[i] ?? Number.NaN;
  if (action === "land") return Number.isNaN(climb_ms) ? undefined : climb_ms < -vertical_ms;
  if (action === "hold") return Number.isNaN(speed_ms) ? undefined : speed_ms < still_ms;
  if ((track.columns.recoveryActive?.[i] ?? 0) > 0) return true;
  // A return climbs first, and at hand it lands.
  if (climb_ms > vertical_ms || (moments.atHand[k] === 1 && climb_ms < -vertical_ms)) return true;
  if (speed_ms < still_ms) return false;
  const off_deg = angleBetween_deg(courseOver(replay, k), moments.courseHome_deg[k] ?? Number.NaN);
  return Number.isNaN(off_deg) ? undefined : off_deg <= homeward_deg;
}

/** The course made good from a moment to the next; NaN where it did not move. */
function courseOver({ moments }: Replay, k: number): number {
  const at = (column: Float64Array, j: number): number => column[j] ?? Number.NaN;
  const { latitude_deg, longitude_deg } = moments;
  const step = line(at(latitude_deg, k), at(longitude_deg, k), at(latitude_deg, k + 1), at(longitude_deg, k + 1));
  return step.distance_m > 0 ? step.course_deg : Number.NaN;
}

function place(replay: Replay, { from, to }: Run, at: number): Pick<Finding, "first" | "last" | "at"> {
  const { first } = replay.flight;
  return { first: first + from, last: first + to, at: first + at };
}

const OUTCOME = { return: "set off home", land: "descended", hold: "stood still" } as const;

function tellIgnored(replay: Replay, run: Run, within_s: number, say: Say): Finding {
  const { moments, inputs } = replay;
  const action = inputs.lostLinkAction?.value ?? "return";
  const lost_s = moments.at_s[run.from] ?? Number.NaN;
  const out = outText(moments.distance_m[run.from] ?? Number.NaN, say);
  return {
    ...place(replay, run, run.from),
    value: 0,
    limit: replay.setting.policy.link,
    message:
      `The link was lost at ${say.time(lost_s)} for ${say.duration(run.lasts_s)}, ${out}, and nothing shows the declared ` +
      `action ${action}: the aircraft never ${OUTCOME[action]} within ${say.duration(within_s)} of the trigger.`,
    advice: `Check what the aircraft is really set to do, and try it near by: switch the link off within ${say.length(replay.setting.policy.turnback_beyond)} and watch.`,
    evidence: { lost_s, lasted_s: run.lasts_s, declared_action: action, trigger_delay_s: inputs.triggerDelay.value },
  };
}

function tellLost(replay: Replay, run: Run, { worst }: Asked, say: Say): Finding {
  const { moments } = replay;
  const at = worst.indexOf(VERDICT.fail, run.from);
  const lost_s = moments.at_s[run.from] ?? Number.NaN;
  const distance_m = moments.distance_m[at] ?? Number.NaN;
  return {
    ...place(replay, run, at),
    value: 0,
    limit: replay.setting.policy.link,
    message:
      `The link was lost for ${say.duration(run.lasts_s)} from ${say.time(lost_s)}, ${outText(distance_m, say)}, where the ` +
      `recovery that this starts would have failed.`,
    advice: Number.isNaN(distance_m)
      ? "Mend what fails there, and stay nearer until the link holds."
      : `Stay nearer than ${say.length(Math.floor(distance_m + 1e-6))} in this direction until the link holds, and first mend what fails there.`,
    evidence: { lost_s, lasted_s: run.lasts_s, failing_at_s: moments.at_s[at] ?? null, distance_m },
  };
}

function outText(distance_m: number, say: Say): string {
  return Number.isNaN(distance_m) ? "at an unknown distance" : `${say.length(distance_m)} out`;
}

function tellWeak(replay: Replay, link: Float64Array, weak: readonly Run[], limit: number, say: Say): Finding {
  const { moments } = replay;
  const all = weak.flatMap(({ from, to }) => indicesOf(from, to));
  const at = all.reduce((low, k) => ((link[k] ?? Number.NaN) < (link[low] ?? Number.NaN) ? k : low), all[0] ?? 0);
  const run = weak.find(({ to }) => at <= to) ?? { from: at, to: at, lasts_s: 0 };
  const [value, wanted] = say.beside("percent", link[at] ?? Number.NaN, limit);
  const distances_m = all.map((k) => moments.distance_m[k] ?? Number.NaN).filter((value) => !Number.isNaN(value));
  const nearest_m = distances_m.reduce((near, value) => Math.min(near, value), Number.POSITIVE_INFINITY);
  const isFar = Number.isFinite(nearest_m) && nearest_m > replay.setting.policy.at_hand;
  const more = weak.length > 1 ? ` It was that weak ${weak.length} times.` : "";
  return {
    ...place(replay, run, at),
    value: link[at] ?? Number.NaN,
    limit,
    message:
      `The link was down to ${value} (limit ${wanted}) for ${say.duration(run.lasts_s)} from ` +
      `${say.time(moments.at_s[run.from] ?? Number.NaN)}, ${outText(moments.distance_m[at] ?? Number.NaN, say)}.${more}`,
    advice: isFar
      ? `Stay nearer than ${say.length(Math.floor(nearest_m + 1e-6))} here, or keep the antennas and the line of sight clear.`
      : "It was weak even near the recovery point: check the antennas and what else transmits there before the next flight.",
    evidence: {
      lowest_link_pct: link[at] ?? null,
      lasted_s: run.lasts_s,
      nearest_m: Number.isFinite(nearest_m) ? nearest_m : null,
      times: weak.length,
    },
  };
}
