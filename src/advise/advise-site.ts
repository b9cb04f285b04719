import { roundDegrees, roundValue } from "../num/round.js";
import { heightFrom_m } from "../recovery/needed-height.js";
import type { Replay } from "../recovery/replay.js";
import { describeLacks, LACKS } from "../rules/lacks.js";
import type { Lack } from "../rules/rule.js";
import type { HeightAdvice, SiteAdvice } from "./advice.js";
import { adviseHeight } from "./height-advice.js";
import { adviseLostLink, type AdviceZone } from "./lost-link.js";
import { turnbackTable } from "./turnback-table.js";
import { lastWithPoint, type SourcedReplay, waysFlown, waysFromCircle, type WayHome } from "./ways-home.js";

/** A log whose flights were audited. */
export interface AdvisedLog {
  readonly path: string;
  readonly replays: readonly Replay[];
}

/** What is asked besides the flights. */
export interface AdviseOptions {
  /** Also everywhere this near to the recovery point, m. */
  readonly radius_m?: number | undefined;
}

/** What can be declared, or logged, for better advice. */
const WANTED: readonly Lack[] = [
  "recovery-point",
  "recovery-height",
  "terrain",
  "obstacles",
  "terrain-here",
  "way-length",
  "obstacle-heights",
  "wind",
  "height",
  "battery",
];

/**
 * Advice for the next flight at a site, from flights that were made there: the least recovery height, the battery with
 * which to turn back, the lost-link action, and what to declare to know more.
 *
 * It rests on the same clearances and needs as an audit of these flights. Numbers are in SI and rounded as in a result.
 */
export function adviseOn(logs: readonly AdvisedLog[], { radius_m }: AdviseOptions = {}): SiteAdvice {
  const flights = logs.flatMap(({ path, replays }) => replays.map((replay) => ({ log: path, replay })));
  const last = flights.findLast(({ replay }) => lastWithPoint(replay) !== undefined);
  const k = last === undefined ? undefined : lastWithPoint(last.replay);
  const height = heightFor(flights, last, k, radius_m);
  const farthest_m = flights.map(({ replay }) => farthestOf(replay));
  const leg_m = last === undefined || k === undefined ? Number.NaN : legHeight_m(last.replay, k, height);
  const table = turnbackTable(
    flights.map(({ replay }) => replay),
    Math.max(radius_m ?? 0, ...farthest_m.map((value) => value ?? 0)),
    leg_m,
  );
  return rounded({
    format: "homeleg-advice",
    format_version: 1,
    flights: flights.map(({ log, replay }, i) => ({
      log,
      flight: replay.flight.index,
      farthest_m: farthest_m[i] ?? null,
    })),
    recovery_point: last === undefined || k === undefined ? null : pointAt(last.replay, k),
    radius_m: radius_m ?? null,
    recovery_height: height,
    turnback: table ?? null,
    lost_link: adviseLostLink(last?.replay.inputs.lostLinkAction?.value ?? null, height, zonesOf(last?.replay)),
    wants: wantsOf(flights),
  });
}

/** @returns undefined where nobody declared zones, not even that there are none */
function zonesOf(replay: Replay | undefined): AdviceZone[] | undefined {
  const site = replay?.setting.site;
  if (site === undefined || !site.hasZones) return undefined;
  return site.zoneTypes.map((zone, i) => ({ name: site.zoneNames[i] ?? "", zone }));
}

function heightFor(
  flights: readonly SourcedReplay[],
  last: SourcedReplay | undefined,
  k: number | undefined,
  radius_m: number | undefined,
): HeightAdvice {
  // Heights only meet the ground where the take-off lies on it.
  const tied = flights.filter(({ replay }) => replay.setting.site.hasTerrain && replay.inputs.heights.isTied);
  const isCircled = last !== undefined && k !== undefined && radius_m !== undefined && tied.includes(last);
  function* ways(): Generator<WayHome> {
    for (const flight of tied) yield* waysFlown(flight);
    if (isCircled) yield* waysFromCircle(last, k, radius_m);
  }
  const inputs = last?.replay.inputs;
  const was_m = inputs === undefined || inputs.recoveryHeight.basis === "assumed" ? null : inputs.recoveryHeight.value;
  const found = adviseHeight(ways, was_m);
  const isAll = tied.length === flights.length;
  if (found !== undefined) return isAll || found.status !== "safe" ? found : { ...found, status: "partly" };
  return {
    status: "unknown",
    set_m: null,
    least_m: null,
    counts_from: inputs?.recoveryHeightAbove.value ?? "recovery-point",
    clearance_m: flights[0]?.replay.setting.policy.clearance ?? Number.NaN,
    dictated_by: null,
    over_ground: null,
    was_m,
    asked: 0,
    unseen: 0,
    unseen_from: null,
    knows_obstacles: false,
  };
}

/** The leg of the table: at what is set now, or at what is advised where that is higher. */
function legHeight_m(replay: Replay, k: number, { set_m }: HeightAdvice): number {
  const over_m = heightFrom_m(replay, k) - (replay.pointGround_m[k] ?? Number.NaN);
  return Math.max(replay.inputs.recoveryHeight.value, set_m ?? Number.NEGATIVE_INFINITY) + over_m;
}

function farthestOf({ moments }: Replay): number | null {
  const most = moments.distance_m.reduce((top, value) => (value > top ? value : top), -1);
  return most < 0 ? null : most;
}

function pointAt({ inputs }: Replay, k: number): SiteAdvice["recovery_point"] {
  const { latitude_deg, longitude_deg, basis } = inputs.point;
  return { latitude_deg: latitude_deg[k] ?? Number.NaN, longitude_deg: longitude_deg[k] ?? Number.NaN, basis };
}

function wantsOf(flights: readonly SourcedReplay[]): SiteAdvice["wants"] {
  const wants = new Map<string, string | null>();
  for (const { replay } of flights) {
    const { setting, inputs } = replay;
    const isNamed = setting.site.hasTerrain;
    for (const { lack } of describeLacks(WANTED, replay)) {
      // The line for terrain says the obstacles too.
      if (lack === "obstacles" && !isNamed) continue;
      if (lack === "terrain-here" && !isNamed) continue;
      wants.set(LACKS[lack].label, LACKS[lack].yaml ?? null);
    }
    if (inputs.drain.basis === "assumed") {
      wants.set("drain rates", "aircraft: { drain: { hover: …, climb: …, cruise: …, descent: … } }");
    }
    if (inputs.lostLinkAction === undefined) {
      wants.set("lost-link action", "settings: { lost_link_action: return }   # what the aircraft was set to");
    }
    if (!setting.site.hasZones) {
      wants.set("zones", "site: { zones: [] }   # if there are none; else name the files");
    }
  }
  return [...wants].map(([label, yaml]) => ({ label, yaml }));
}

/** Numbers as in every result: degrees to 1e-9, others to 1e-6, what is not known null. */
function rounded<T>(value: T, key?: string): T;
function rounded(value: unknown, key = ""): unknown {
  if (typeof value === "number") return key.endsWith("_deg") ? roundDegrees(value) : roundValue(value);
  if (Array.isArray(value)) return value.map((item: unknown) => rounded(item));
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([name, item]) => [name, rounded(item as unknown, name)]));
}
