import { describe, expect, it } from "vitest";
import type { Replay } from "../../src/recovery/replay.js";
import { describeLacks, LACKS } from "../../src/rules/lacks.js";
import type { Lack } from "../../src/rules/rule.js";
import { at } from "../helpers/flights.js";
import { replayRows } from "../helpers/replay.js";
import { ALL_KNOWN } from "../helpers/moments.js";
import { openPlain } from "../helpers/sites.js";

const CELLS = { basis: "measured", from: "", isOfCells: true, cells: 4 } as const;

const rows = (height: object): Parameters<typeof replayRows>[0] =>
  Array.from({ length: 30 }, (_, i) => ({ time_s: i, ...at(i * 10, 90), airborne: 1, ...height }));

describe("describeLacks", () => {
  it("says that terrain makes up for a height above take-off where there is one above ground", () => {
    const [lack] = describeLacks(["height"], replayRows(rows({ heightAboveGround_m: 30 })));
    expect(lack?.label).toBe(
      "height above take-off in the log, or site.terrain for the height above ground that it has",
    );
  });

  /** Counts of the rows that lack something, over the replay of thirty rows. */
  const count = (lack: Lack, over: Partial<Replay>): number => LACKS[lack].count({ ...whole, ...over });
  const whole = replayRows(rows({ heightAboveTakeoff_m: 30 }), ALL_KNOWN);
  const inputs = (more: Partial<Replay["inputs"]>): Partial<Replay> => ({ inputs: { ...whole.inputs, ...more } });
  const site = (more: Partial<Replay["setting"]["site"]>): Partial<Replay> => ({
    setting: { ...whole.setting, site: { ...whole.setting.site, ...more } },
  });
  const column = (...values: number[]): Float64Array => Float64Array.from({ length: 30 }, (_, k) => values[k] ?? 1);
  const moments = (more: Partial<Replay["moments"]>): Partial<Replay> => ({ moments: { ...whole.moments, ...more } });
  const N = Number.NaN;
  /** Away from home, with all of every way home seen. */
  const followed = (more: Partial<Replay["moments"]> = {}): Partial<Replay> => ({
    hasCeiling: true,
    ...site({ hasZones: true }),
    ...moments({
      atHand: new Float64Array(30),
      top_m: column(),
      groundSeen_share: column(),
      keepoutInside_m: column(),
      ...more,
    }),
  });

  it.each<[Lack, Partial<Replay>, number]>([
    ["battery", moments({ battery_pct: column(N, 0, N) }), 2],
    ["height", moments({ height_m: column(N, 0) }), 1],
    ["position", moments({ latitude_deg: column(N, N, N) }), 3],
    ["recovery-point", inputs({ point: { ...whole.inputs.point, latitude_deg: column(N, N) } }), 2],
    ["recovery-point", {}, 0],
    ["recovery-height", {}, 0],
    ["recovery-height", inputs({ recoveryHeight: { ...whole.inputs.recoveryHeight, basis: "assumed" } }), 30],
    ["wind", {}, 0],
    ["wind", inputs({ wind: { ...whole.inputs.wind, basis: "assumed" } }), 30],
    ["wind", inputs({ wind: { ...whole.inputs.wind, basis: "measured", speed_ms: column(N) } }), 1],
    ["operator", {}, 0],
    ["operator", inputs({ operator: undefined }), 30],
    ["operator", moments({ adrift_m: column(N) }), 1],
    ["terrain", {}, 0],
    ["terrain", site({ hasTerrain: false }), 30],
    ["obstacles", {}, 0],
    ["obstacles", site({ hasObstacles: false }), 30],
    ["obstacles", site({ hasObstacles: false, isSurface: true }), 0],
    ["terrain-here", moments({ groundSeen_share: column(0.5, 1, N, 0) }), 2],
    [
      "terrain-here",
      {
        ...inputs({ heights: { ...whole.inputs.heights, isTied: false } }),
        ...moments({ groundSeen_share: column() }),
      },
      30,
    ],
    [
      "terrain-here",
      {
        ...inputs({ heights: { ...whole.inputs.heights, isTied: false } }),
        ...site({ hasTerrain: false }),
        ...moments({ groundSeen_share: column() }),
      },
      0,
    ],
    ["terrain-here", moments({ groundSeen_share: column() }), 0],
    ["way-length", followed(), 0],
    ["way-length", followed({ groundSeen_share: column(N, 0, N) }), 2],
    ["way-length", followed({ groundSeen_share: column(N, N, N), top_m: column(1, N) }), 2],
    ["way-length", followed({ groundSeen_share: column(N, N, N), atHand: Float64Array.from([0, 1, N]) }), 1],
    ["way-length", { ...followed({ groundSeen_share: column(N) }), hasCeiling: false }, 0],
    ["way-length", followed({ keepoutInside_m: column(0, N, N), top_m: column(N, N, N) }), 2],
    ["way-length", { ...followed({ keepoutInside_m: column(N) }), ...site({ hasZones: false }) }, 0],
    ["voltage", inputs({ cellVoltage: { lacks: "voltage", from: "" } }), 30],
    ["voltage", inputs({ cellVoltage: { lacks: "cells", from: "" } }), 0],
    ["voltage", inputs({ cellVoltage: { ...CELLS, cell_V: column(N, N) } }), 2],
    ["cells", inputs({ cellVoltage: { lacks: "cells", from: "" } }), 30],
    ["cells", inputs({ cellVoltage: { lacks: "voltage", from: "" } }), 0],
    ["cells", inputs({ cellVoltage: { ...CELLS, cell_V: column() } }), 0],
    ["zones", {}, 0],
    ["zones", site({ hasZones: false }), 30],
    ["lost-link-action", {}, 30],
    ["lost-link-action", inputs({ lostLinkAction: { value: "hold", basis: "declared", from: "" } }), 0],
    ["heights-here", moments({ coverWhole: column(0, N, 0) }), 2],
    ["ground-slope", {}, 30],
    ["ground-slope", site({ hasTerrain: false }), 0],
    ["fix", moments({ fixMissing: column(0, 2, ...Array.from({ length: 28 }, () => 0)) }), 1],
    ["link", {}, 30],
  ])("counts the rows that lack %s (%#)", (lack, over, rows) => {
    expect(count(lack, over)).toBe(rows);
  });

  it("counts the link at the flight's own rows", () => {
    const ground = Array.from({ length: 10 }, (_, time_s) => ({
      time_s,
      ...at(0, 90),
      airborne: 0,
      height_m: 0,
      link_pct: N,
    }));
    const flown = rows({ height_m: 30 }).map((row, i) => ({ ...row, time_s: i + 10, link_pct: i < 3 ? N : 90 }));
    expect(LACKS.link.count(replayRows([...ground, ...flown]))).toBe(3);
  });

  it("leaves out what the flight has, and says where it lacks it in part", () => {
    const part = { ...whole, ...moments({ battery_pct: column(N) }) };
    expect(describeLacks(["wind", "battery", "lost-link-action"], part)).toEqual([
      { lack: "battery", label: "battery percent in the log (in part)" },
      { lack: "lost-link-action", label: "lost-link action" },
    ]);
  });

  it("does not where there is none, or where the terrain is there", () => {
    expect(describeLacks(["height"], replayRows(rows({})))[0]?.label).toBe("height above take-off in the log");
    expect(describeLacks(["height"], replayRows(rows({ heightAboveGround_m: 30 }), { site: openPlain() }))).toEqual([]);
  });
});
