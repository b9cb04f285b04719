import { countMissing } from "../num/columns.js";
import { clearanceAt } from "../recovery/clearances.js";
import type { Replay } from "../recovery/replay.js";
import type { Lack } from "./rule.js";

/** What is lacking, in words, and the line of homeleg.yaml that would say it (none where only the log can). */
interface LackText {
  readonly label: string;
  readonly yaml: string | undefined;
  /** How many of the flight's moments lack it. */
  readonly count: (replay: Replay) => number;
}

const all = (is: boolean, { length }: Pick<Replay, "length">): number => (is ? length : 0);

/** Moments whose way home is not known in full. */
function partlySeen({ moments }: Replay): number {
  return moments.groundSeen_share.reduce((n, share) => (share < 1 ? n + 1 : n), 0);
}

/** Of those, the ones that would be known but for what stands there with a height that nobody knows. */
function overUnknownHeights(replay: Replay): number {
  const { moments, setting } = replay;
  if (!setting.site.hasUnknownHeights) return 0;
  const { corridor } = setting.policy;
  return moments.groundSeen_share.reduce(
    (n, share, k) => (share < 1 && clearanceAt(replay, k, corridor, true).groundSeen_share === 1 ? n + 1 : n),
    0,
  );
}

/** Moments whose way home is too long to be followed over the ground. */
function tooFar({ moments, setting, length, hasCeiling }: Replay): number {
  const lacks = (column: Float64Array, k: number): boolean => Number.isNaN(column[k] ?? Number.NaN);
  let count = 0;
  for (let k = 0; k < length; k += 1) {
    if (moments.atHand[k] !== 0) continue;
    const isOverGround = hasCeiling && !lacks(moments.top_m, k) && lacks(moments.groundSeen_share, k);
    if (isOverGround || (setting.site.hasZones && lacks(moments.keepoutInside_m, k))) count += 1;
  }
  return count;
}

/** Every lack with its words; `yaml` lines are examples to be put right by hand, and say so. */
export const LACKS: Readonly<Record<Lack, LackText>> = {
  battery: {
    label: "battery percent in the log",
    yaml: undefined,
    count: ({ moments }) => countMissing(moments.battery_pct),
  },
  height: {
    label: "height above take-off in the log",
    yaml: undefined,
    count: ({ moments }) => countMissing(moments.height_m),
  },
  position: {
    label: "position in the log",
    yaml: undefined,
    count: ({ moments }) => countMissing(moments.latitude_deg),
  },
  "recovery-point": {
    label: "recovery point",
    yaml: "recovery_point: { latitude: …, longitude: … }",
    count: ({ inputs }) => countMissing(inputs.point.latitude_deg),
  },
  "recovery-height": {
    label: "recovery height",
    yaml: "settings: { recovery_height: 50 m }   # what the aircraft was set to",
    count: (replay) => all(replay.inputs.recoveryHeight.basis === "assumed", replay),
  },
  wind: {
    label: "wind",
    yaml: "wind: { speed: 4 m/s, from: 270 deg }   # what it was that day",
    count: (replay) =>
      replay.inputs.wind.basis === "assumed" ? replay.length : countMissing(replay.inputs.wind.speed_ms),
  },
  operator: {
    label: "the operator's position",
    yaml: "operator: at-takeoff   # if the operator stayed there",
    count: (replay) => (replay.inputs.operator === undefined ? replay.length : countMissing(replay.moments.adrift_m)),
  },
  terrain: {
    label: "terrain",
    yaml: "site: { terrain: flat, obstacles: [] }   # if it is flat and nothing stands there; else name the files",
    count: (replay) => all(!replay.setting.site.hasTerrain, replay),
  },
  obstacles: {
    label: "obstacles",
    yaml: "site: { obstacles: [] }   # if nothing stands there; else name the files",
    count: (replay) => all(!replay.setting.site.isSurface && !replay.setting.site.hasObstacles, replay),
  },
  "terrain-here": {
    label: "terrain that covers the whole way home",
    yaml: undefined,
    count: (replay) =>
      replay.setting.site.hasTerrain && !replay.inputs.heights.isTied
        ? replay.length
        : partlySeen(replay) - overUnknownHeights(replay),
  },
  "way-length": {
    label: "a recovery point within 100 km, the longest way home that is followed",
    yaml: undefined,
    count: tooFar,
  },
  "obstacle-heights": {
    label: "heights of obstacles under the way home that have none",
    yaml: undefined,
    count: overUnknownHeights,
  },
  voltage: {
    label: "voltage in the log",
    yaml: undefined,
    count: ({ inputs, length }) =>
      "lacks" in inputs.cellVoltage
        ? all(inputs.cellVoltage.lacks === "voltage", { length })
        : countMissing(inputs.cellVoltage.cell_V),
  },
  cells: {
    label: "the number of cells (aircraft.battery.cells)",
    yaml: "aircraft: { battery: { cells: 4 } }   # cells in series",
    count: ({ inputs, length }) =>
      all("lacks" in inputs.cellVoltage && inputs.cellVoltage.lacks === "cells", { length }),
  },
  zones: {
    label: "zones",
    yaml: "site: { zones: [] }   # if there is no cover, water, keep-out or no-landing; else name the files",
    count: (replay) => all(!replay.setting.site.hasZones, replay),
  },
  "lost-link-action": {
    label: "lost-link action",
    yaml: "settings: { lost_link_action: return }   # what the aircraft was set to",
    count: (replay) => all(replay.inputs.lostLinkAction === undefined, replay),
  },
  "heights-here": {
    label: "terrain under what stands beside the climb, or its height",
    yaml: undefined,
    count: ({ moments }) => moments.coverWhole.reduce((n, whole) => (whole === 0 ? n + 1 : n), 0),
  },
  "ground-slope": {
    label: "terrain at the recovery point that tells the slope of the ground",
    yaml: undefined,
    count: (replay) => all(replay.setting.site.hasTerrain, replay),
  },
  fix: {
    label: "satellites, HDOP or fix type in the log",
    yaml: undefined,
    count: ({ moments }) => moments.fixMissing.reduce((n, count) => (count > 0 ? n + 1 : n), 0),
  },
  link: {
    label: "link quality in the log",
    yaml: undefined,
    count: ({ track, flight, length }) =>
      track.columns.link_pct === undefined
        ? length
        : countMissing(track.columns.link_pct.subarray(flight.first, flight.last + 1)),
  },
};

/** @returns the lacks among those asked for that this flight really has, in words */
export function describeLacks(asked: readonly Lack[], replay: Replay): { lack: Lack; label: string }[] {
  return asked.flatMap((lack) => {
    const count = LACKS[lack].count(replay);
    if (count === 0) return [];
    const label = LACKS[lack].label + (lack === "height" ? orTerrain(replay) : "");
    return [{ lack, label: count < replay.length ? `${label} (in part)` : label }];
  });
}

/** A height above the ground is as good, once the ground is known. */
function orTerrain({ track, inputs }: Replay): string {
  const isLogged = track.columns.heightAboveGround_m !== undefined && !inputs.heights.isTied;
  return isLogged ? ", or site.terrain for the height above ground that it has" : "";
}
