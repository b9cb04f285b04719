import { readFile } from "node:fs/promises";
import { beforeAll, describe, expect, it } from "vitest";
import { auditLog, loadSetting, type LogAudit, momentsTable } from "../../src/index.js";
import { flightPicture } from "../../src/pictures/flight-picture.js";
import type { FlightPicture } from "../../src/pictures/picture.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { LATE } from "../helpers/run.js";
import { replayRows } from "../helpers/replay.js";
import { openPlain } from "../helpers/sites.js";

const PATH = "fixtures/demo/3-behind-the-ridge.csv";

async function ridge(): Promise<{
  audit: LogAudit;
  picture: FlightPicture;
  moments: Map<number, Map<string, unknown>>;
}> {
  const setting = await loadSetting({ startFolder: "fixtures/demo" });
  const audit = await auditLog(await readFile(PATH), setting, { path: PATH });
  const [flight] = audit.flights;
  if (flight === undefined) throw new Error("the demo has a flight");
  const { columns, rows } = momentsTable(PATH, audit.flights);
  const moments = new Map(
    [...rows].map((row) => [Number(row[0]), new Map(columns.map((name, i) => [name, row[i]]))] as const),
  );
  return { audit, picture: flightPicture(flight), moments };
}

describe("flightPicture", () => {
  let made: Awaited<ReturnType<typeof ridge>>;
  beforeAll(async () => {
    made = await ridge();
  }, 60_000);

  it("draws the numbers of the table of moments", () => {
    const { picture, moments } = made;
    const drawn = picture.moments;
    expect(drawn.at_s.length).toBeGreaterThan(100);
    expect(drawn.at_s.length).toBeLessThanOrEqual(620);
    drawn.at_s.forEach((at_s, i) => {
      const row = moments.get(at_s);
      expect(row?.get("battery_pct")).toBe(drawn.battery_pct[i]);
      expect(row?.get("need_middle_pct")).toBe(drawn.needMiddle_pct[i]);
      expect(row?.get("need_upper_pct")).toBe(drawn.needUpper_pct[i]);
      expect(row?.get("touchdown_middle_pct")).toBe(drawn.touchdownMiddle_pct[i]);
      expect(row?.get("distance_m")).toBe(drawn.distance_m[i]);
      expect(row?.get("height_m")).toBe(drawn.height_m[i]);
    });
  });

  it("has a recovery for every finding that is not an assumption alone, at its worst moment", () => {
    const { audit, picture } = made;
    const findings = audit.result.flights[0]?.findings ?? [];
    const drawn = picture.recoveries.flatMap((one) => one.findings.map((number) => [number, one.at_s]));
    const wanted = findings.flatMap((one, i) => (one.by_assumption_alone ? [] : [[i, one.worst.at_s]]));
    expect([...drawn].sort((a, b) => (a[0] ?? 0) - (b[0] ?? 0))).toEqual(wanted);
  });

  it("draws the ridge where the finding says that it is in the way", () => {
    const { audit, picture } = made;
    const finding = audit.result.flights[0]?.findings.find(({ verdict }) => verdict === "fail");
    const recovery = picture.recoveries.find(({ at_s }) => at_s === finding?.worst.at_s);
    expect(recovery?.centre?.clearance_m).toBeCloseTo(finding?.worst.value ?? Number.NaN, 6);
    const { ground_m = [], along_m = [] } = recovery?.profile ?? {};
    const highest = Math.max(...ground_m.filter((z) => !Number.isNaN(z)));
    // The leg is cut into equal stretches and each shows its highest, so nothing of the ridge is cut off.
    expect((recovery?.top_m ?? Number.NaN) - highest).toBeCloseTo(recovery?.centre?.clearance_m ?? 0, 1);
    expect(along_m[ground_m.indexOf(highest)]).toBeCloseTo(recovery?.centre?.along_m ?? Number.NaN, -1.5);
    expect(recovery?.distance_m).toBeCloseTo((along_m[along_m.length - 1] ?? 0) * (480 / 479), 3);
  });

  it("has the phases sum to the need", () => {
    for (const { phases, needMiddle_pct, battery_pct, touchdownMiddle_pct } of made.picture.recoveries) {
      expect(phases.reduce((sum, { energy_pct }) => sum + energy_pct, 0)).toBeCloseTo(needMiddle_pct, 9);
      expect(battery_pct - needMiddle_pct).toBeCloseTo(touchdownMiddle_pct, 9);
    }
  });

  it("covers the time of every rule with bands that know each finding", () => {
    const { audit, picture } = made;
    for (const finding of audit.result.flights[0]?.findings ?? []) {
      const rule = picture.bands.find((one) => one.rule === finding.rule);
      if (rule === undefined) continue;
      const meets = rule.bands.filter(({ from_s, to_s }) => from_s <= finding.end_s && to_s >= finding.start_s);
      expect(meets.map(({ verdict }) => verdict.replace("?", ""))).toContain(finding.verdict);
    }
  });

  it("keeps the turn-back moment and the one after it", () => {
    const replay = replayRows(LATE, { site: openPlain(), drain: { hover: 5, climb: 6, cruise: 6, descent: 4 } });
    const flight = auditFlight(replay);
    const { moments } = flightPicture(flight);
    const safe = moments.at_s.indexOf(flight.result.turnback?.last_safe_s ?? Number.NaN);
    expect(safe).toBeGreaterThan(0);
    expect(moments.touchdownMiddle_pct[safe]).toBeGreaterThanOrEqual(25);
    expect(moments.touchdownMiddle_pct[safe + 1]).toBeLessThan(25);
  });

  it("draws the whole track, the point and the ground about it", () => {
    const plan = made.picture.plan;
    if (plan === undefined) throw new Error("this flight has positions");
    const { west_m, east_m, south_m, north_m } = plan;
    const spots = plan.track.flatMap(({ spots }) => spots);
    expect(spots.every(([x, y]) => x >= west_m && x <= east_m && y >= south_m && y <= north_m)).toBe(true);
    expect(new Set(plan.track.map(({ verdict }) => verdict))).toEqual(new Set(["clear", "thin", "fail"]));
    // Pieces meet: each begins where the one before it ended.
    plan.track.slice(1).forEach(({ spots: [first] }, i) => expect(first).toEqual(plan.track[i]?.spots.at(-1)));
    expect(plan.points).toHaveLength(1);
    expect(plan.terrain?.elevations_m).toHaveLength((plan.terrain?.columns ?? 0) * (plan.terrain?.rows ?? 0));
    expect(plan.obstacles.length).toBeGreaterThan(0);
  });
});
