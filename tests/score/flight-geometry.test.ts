import { describe, expect, it } from "vitest";
import type { Replay } from "../../src/recovery/replay.js";
import type { MomentRule } from "../../src/rules/rule.js";
import { VERDICT } from "../../src/rules/verdict.js";
import { flightGeometry } from "../../src/score/flight-geometry.js";
import { auditFlight, type FlightAudit } from "../../src/score/flight-result.js";
import { at, trackOf } from "../helpers/flights.js";
import { ALL_KNOWN, shortReplay } from "../helpers/moments.js";
import { replayOf, replayRows } from "../helpers/replay.js";
import { findingOf, flightOf } from "../helpers/results.js";
import { LATE_FIXED, THIRSTY } from "../helpers/run.js";

const { notAsked, unknown, clear, thinAssumed, thin, fail } = VERDICT;
const LENGTH = 12;
/** The flight's first row of the track. */
const FIRST = 5;

/** What a rule says of each moment: a code so many times. */
type Codes = readonly (readonly [code: number, times: number])[];

/**
 * Twelve moments, a second each from 100 s on and a thousandth of a degree north of each other, with the verdicts of one
 * rule that coverage counts.
 */
function audited(codes: Codes, change: (replay: Replay) => Replay = (replay) => replay): FlightAudit {
  const replay = shortReplay(LENGTH);
  const { moments, flight } = replay;
  for (let k = 0; k < LENGTH; k += 1) {
    moments.at_s[k] = 100 + k + 1e-8;
    moments.latitude_deg[k] = 47 + k * 1e-3;
    moments.longitude_deg[k] = 8 + 1e-11;
  }
  const segments = [{ from: FIRST, to: FIRST + LENGTH }];
  const changed = change({ ...replay, flight: { ...flight, first: FIRST, segments } });
  const rule = { id: "reserve-short" } as MomentRule;
  const judged = { rule, codes: Uint8Array.from(codes.flatMap(([code, times]) => Array<number>(times).fill(code))) };
  const judgement = { replay: changed, moments: [judged], conducts: [], crashes: new Map<string, unknown>() };
  return { result: flightOf(), judgement };
}

const without =
  (...rows: readonly (readonly [k: number, column: "latitude_deg" | "longitude_deg"])[]) =>
  (replay: Replay): Replay => {
    for (const [k, column] of rows) replay.moments[column][k] = Number.NaN;
    return replay;
  };
const piecesOf = (...given: Parameters<typeof audited>): [string, number, number][] =>
  flightGeometry(audited(...given)).pieces.map(({ verdict, start_s, end_s }) => [verdict, start_s, end_s]);

describe("the pieces of a track", () => {
  it("are cut where the verdict changes, each up to where the next begins", () => {
    const codes: Codes = [
      [clear, 3],
      [thin, 3],
      [fail, 6],
    ];
    expect(piecesOf(codes)).toEqual([
      ["clear", 100, 103],
      ["thin", 103, 106],
      ["fail", 106, 111],
    ]);
    expect(flightGeometry(audited(codes)).pieces[0]?.positions).toEqual([
      { at_s: 100, latitude_deg: 47, longitude_deg: 8 },
      { at_s: 101, latitude_deg: 47.001, longitude_deg: 8 },
      { at_s: 102, latitude_deg: 47.002, longitude_deg: 8 },
      { at_s: 103, latitude_deg: 47.003, longitude_deg: 8 },
    ]);
  });

  it.each([
    [notAsked, "unknown"],
    [unknown, "unknown"],
    [clear, "clear"],
    [thinAssumed, "thin"],
    [thin, "thin"],
    [fail, "fail"],
  ])("of the code %d are %s", (code, verdict) => {
    expect(piecesOf([[code, 12]])).toEqual([[verdict, 100, 111]]);
  });

  it("are not clear where a main question is open", () => {
    const audit = audited([[unknown, 12]]);
    const other = { rule: { id: "ceiling-low" } as MomentRule, codes: new Uint8Array(LENGTH).fill(clear) };
    const moments = [...audit.judgement.moments, other];
    const { pieces } = flightGeometry({ ...audit, judgement: { ...audit.judgement, moments } });
    expect(pieces.map(({ verdict }) => verdict)).toEqual(["unknown"]);
  });

  it("end with the last row, which has a piece of its own only where it is worse than clear", () => {
    const last = (code: number, before: number): [string, number, number][] =>
      piecesOf([
        [before, 11],
        [code, 1],
      ]);
    expect(last(clear, fail)).toEqual([["fail", 100, 111]]);
    expect(last(fail, clear)).toEqual([
      ["clear", 100, 111],
      ["fail", 111, 111],
    ]);
    expect(last(unknown, thin)).toEqual([
      ["thin", 100, 111],
      ["unknown", 111, 111],
    ]);
    // A clear one before the last has its way to it.
    expect(
      piecesOf([
        [fail, 10],
        [clear, 2],
      ]),
    ).toEqual([
      ["fail", 100, 110],
      ["clear", 110, 111],
    ]);
  });

  it("end at a gap, and at a row without a position, as at the last row", () => {
    const gap = (replay: Replay): Replay => ({
      ...replay,
      flight: {
        ...replay.flight,
        segments: [
          { from: FIRST, to: FIRST + 6 },
          { from: FIRST + 6, to: FIRST + LENGTH },
        ],
      },
    });
    expect(
      piecesOf(
        [
          [fail, 5],
          [clear, 7],
        ],
        gap,
      ),
    ).toEqual([
      ["fail", 100, 105],
      ["clear", 106, 111],
    ]);
    for (const column of ["latitude_deg", "longitude_deg"] as const) {
      expect(
        piecesOf(
          [
            [fail, 5],
            [clear, 7],
          ],
          without([6, column]),
        ),
      ).toEqual([
        ["fail", 100, 105],
        ["clear", 107, 111],
      ]);
    }
  });

  it("are drawn of a row that is alone between two without a position, clear or not", () => {
    const alone = without([4, "latitude_deg"], [6, "longitude_deg"]);
    const pieces = (code: number): [string, number, number][] => piecesOf([[code, 12]], alone);
    expect(pieces(clear)[1]).toEqual(["clear", 105, 105]);
    expect(pieces(fail)[1]).toEqual(["fail", 105, 105]);
    expect(piecesOf([[clear, 12]], (replay) => ({ ...replay, flight: { ...replay.flight, segments: [] } }))).toEqual(
      [],
    );
  });

  it("last as long as the result of a whole audit says of their verdicts", () => {
    const audit = auditFlight(replayRows(LATE_FIXED, THIRSTY));
    const { pieces } = flightGeometry(audit);
    expect(pieces.map(({ verdict }) => verdict)).toEqual(["clear", "thin", "fail", "thin"]);
    expect([pieces[0]?.start_s, pieces.at(-1)?.end_s]).toEqual([audit.result.start_s, audit.result.end_s]);
    const failed_s = pieces
      .filter(({ verdict }) => verdict === "fail")
      .reduce((sum, { start_s, end_s }) => sum + end_s - start_s, 0);
    expect(failed_s).toBeCloseTo(audit.result.fail_s, 6);
    const steps = pieces.reduce((sum, { positions }) => sum + positions.length - 1, 0);
    expect(steps).toBe(audit.judgement.replay.length - 1);
  });

  it("never go over a gap or a missing position of a log", () => {
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

describe("the recoveries of the findings", () => {
  const findingAt = (at_s: number) => {
    const finding = findingOf("reserve-short", "fail");
    return { ...finding, worst: { ...finding.worst, at_s } };
  };
  const recoveries = (at_s: readonly number[], change: (replay: Replay) => Replay = (replay) => replay) => {
    const audit = audited([[clear, 12]], (replay) => {
      replay.moments.distance_m.forEach((_, k, all) => (all[k] = 10 * k + 1e-8));
      return change(replay);
    });
    return flightGeometry({ ...audit, result: flightOf({ findings: at_s.map(findingAt) }) }).recoveries;
  };

  it("lead from each finding's worst moment to the point of that moment", () => {
    const point = (replay: Replay): Replay => {
      replay.inputs.point.latitude_deg[3] = 47.5;
      replay.inputs.point.longitude_deg[3] = 8.5;
      return replay;
    };
    expect(recoveries([107, 103], point)).toEqual([
      {
        finding: findingAt(107),
        from: { latitude_deg: 47.007, longitude_deg: 8 },
        to: { latitude_deg: 47, longitude_deg: 8 },
        distance_m: 70,
      },
      {
        finding: findingAt(103),
        from: { latitude_deg: 47.003, longitude_deg: 8 },
        to: { latitude_deg: 47.5, longitude_deg: 8.5 },
        distance_m: 30,
      },
    ]);
  });

  it("lead nowhere where the point is not known then", () => {
    const lost = (replay: Replay): Replay => {
      replay.inputs.point.latitude_deg.fill(Number.NaN, 0, 5);
      replay.moments.distance_m.fill(Number.NaN, 0, 5);
      return replay;
    };
    expect(recoveries([104, 105], lost).map(({ to, distance_m }) => [to, distance_m])).toEqual([
      [null, null],
      [{ latitude_deg: 47, longitude_deg: 8 }, 50],
    ]);
  });

  it("are none from a moment without a position, or that is not in the flight", () => {
    expect(recoveries([103, 104], without([3, "latitude_deg"])).map(({ finding }) => finding.worst.at_s)).toEqual([
      104,
    ]);
    expect(recoveries([99])).toEqual([]);
  });

  it("are one a finding of a whole audit", () => {
    const audit = auditFlight(replayRows(LATE_FIXED, THIRSTY));
    const found = flightGeometry(audit).recoveries;
    expect(found.map(({ finding }) => finding)).toEqual(audit.result.findings);
    for (const { finding, from, to } of found) {
      expect(from).toEqual({ latitude_deg: finding.worst.latitude_deg, longitude_deg: finding.worst.longitude_deg });
      expect(to).toEqual({ latitude_deg: 47, longitude_deg: 8 });
    }
  });
});

describe("the operator's way", () => {
  const way = (places: readonly (readonly [number, number])[]) =>
    flightGeometry(
      audited([[clear, 12]], (replay) => {
        const column = (which: 0 | 1): Float64Array =>
          Float64Array.from({ length: LENGTH }, (_, k) => (places[k] ?? places.at(-1) ?? [0, 0])[which]);
        const operator = {
          basis: "declared",
          from: "declared",
          latitude_deg: column(0),
          longitude_deg: column(1),
        } as const;
        return { ...replay, inputs: { ...replay.inputs, operator } };
      }),
    ).operator.map(({ at_s, latitude_deg, longitude_deg }) => [at_s, latitude_deg, longitude_deg]);

  it("has one place for one who stands still", () => {
    expect(way([[47, 8]])).toEqual([[100, 47, 8]]);
  });

  it("has each place for one who walks, either way and back", () => {
    expect(
      way([
        [47, 8],
        [47, 8],
        [47.1, 8],
        [47.1, 8.1],
        [47, 8],
      ]),
    ).toEqual([
      [100, 47, 8],
      [102, 47.1, 8],
      [103, 47.1, 8.1],
      [104, 47, 8],
    ]);
  });

  it("has nothing of the time for which it is not known", () => {
    expect(
      way([
        [Number.NaN, 8],
        [47, 8],
        [47, Number.NaN],
        [47, 8],
        [47, 8.2],
      ]),
    ).toEqual([
      [101, 47, 8],
      [104, 47, 8.2],
    ]);
  });

  it("is empty where it is not known at all", () => {
    const audit = auditFlight(shortReplay(20, { ...ALL_KNOWN, operator: undefined }));
    expect(flightGeometry(audit).operator).toEqual([]);
  });
});
