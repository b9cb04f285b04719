import { describe, expect, it } from "vitest";
import { describeLacks } from "../../src/rules/lacks.js";
import { at } from "../helpers/flights.js";
import { replayRows } from "../helpers/replay.js";
import { openPlain } from "../helpers/sites.js";

const rows = (height: object): Parameters<typeof replayRows>[0] =>
  Array.from({ length: 30 }, (_, i) => ({ time_s: i, ...at(i * 10, 90), airborne: 1, ...height }));

describe("describeLacks", () => {
  it("says that terrain makes up for a height above take-off where there is one above ground", () => {
    const [lack] = describeLacks(["height"], replayRows(rows({ heightAboveGround_m: 30 })));
    expect(lack?.label).toBe(
      "height above take-off in the log, or site.terrain for the height above ground that it has",
    );
  });

  it("does not where there is none, or where the terrain is there", () => {
    expect(describeLacks(["height"], replayRows(rows({})))[0]?.label).toBe("height above take-off in the log");
    expect(describeLacks(["height"], replayRows(rows({ heightAboveGround_m: 30 }), { site: openPlain() }))).toEqual([]);
  });
});
