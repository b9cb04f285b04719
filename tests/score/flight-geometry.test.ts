import { describe, expect, it } from "vitest";
import { flightGeometry } from "../../src/score/flight-geometry.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { at, trackOf } from "../helpers/flights.js";
import { ALL_KNOWN, shortReplay } from "../helpers/moments.js";
import { replayOf, replayRows } from "../helpers/replay.js";
import { LATE_FIXED, THIRSTY } from "../helpers/run.js";

describe("flightGeometry", () => {
  const audit = auditFlight(replayRows(LATE_FIXED, THIRSTY));
  const { pieces, recoveries, operator } = flightGeometry(audit);

  it("cuts the track where the verdict changes, each piece up to where the next begins", () => {
    expect(pieces.map(({ verdict }) => verdict)).toEqual(["clear", "thin", "fail", "thin"]);
    pieces.slice(1).forEach((piece, i) => expect(piece.start_s).toBe(pieces[i]?.end_s));
    expect(pieces[0]?.start_s).toBe(audit.result.start_s);
    expect(pieces.at(-1)?.end_s).toBe(audit.result.end_s);
    // A piece lasts as long as the result says that its verdict did.
    const failed_s = pieces
      .filter(({ verdict }) => verdict === "fail")
      .reduce((sum, { start_s, end_s }) => sum + end_s - start_s, 0);
    expect(failed_s).toBeCloseTo(audit.result.fail_s, 6);
    expect(pieces.reduce((sum, { positions }) => sum + positions.length - 1, 0)).toBe(
      audit.judgement.replay.length - 1,
    );
  });

  it("has one recovery a finding, from its worst moment", () => {
    expect(recoveries.map(({ finding }) => finding)).toEqual(audit.result.findings);
    recoveries.forEach(({ finding, from, to, distance_m }) => {
      expect(from).toEqual({ latitude_deg: finding.worst.latitude_deg, longitude_deg: finding.worst.longitude_deg });
      expect(to).toEqual({ latitude_deg: 47, longitude_deg: 8 });
      expect(distance_m).toBeGreaterThanOrEqual(0);
    });
  });

  it("has one place for an operator who stands still, and none for one who is not known", () => {
    expect(operator).toEqual([{ at_s: 0, latitude_deg: 47, longitude_deg: 8 }]);
    expect(flightGeometry(auditFlight(shortReplay(20, { ...ALL_KNOWN, operator: undefined }))).operator).toEqual([]);
  });

  it("never draws over a gap or a missing position", () => {
    const rows = Array.from({ length: 60 }, (_, i) => ({
      time_s: i < 30 ? i : i + 60,
      ...(i === 10 ? { latitude_deg: Number.NaN, longitude_deg: Number.NaN } : at(100 + i, 90)),
      height_m: i === 0 ? 0 : 30,
      battery_pct: 90,
      airborne: 1,
    }));
    const found = flightGeometry(auditFlight(replayOf(trackOf(rows), ALL_KNOWN))).pieces;
    expect(found.map(({ start_s, end_s }) => [start_s, end_s])).toEqual([
      [0, 9],
      [11, 29],
      [90, 119],
    ]);
  });
});
