import { roundDegrees, roundValue } from "../num/round.js";
import { VERDICT, verdictOf } from "../rules/verdict.js";
import { coverageRules } from "./coverage.js";
import type { FlightAudit } from "./flight-result.js";
import { shownCodes } from "./strip.js";
import type { Finding, ResultPosition } from "./result.js";

/** A position with its time, s from the log's first sample. */
export interface TimedPosition extends ResultPosition {
  readonly at_s: number;
}

/** A part of the track whose moments have one verdict. */
export interface TrackPiece {
  /** Worst verdict of its moments; clear only where no main question is open. */
  readonly verdict: "clear" | "thin" | "fail" | "unknown";
  readonly start_s: number;
  /** The sample where the next piece begins, or the last of it. */
  readonly end_s: number;
  /** From its first sample to that at `end_s`; a lone one is a sample at a gap or at the end. */
  readonly positions: readonly TimedPosition[];
}

/** The recovery from the worst moment of a finding, seen from above. */
export interface RecoveryLine {
  readonly finding: Finding;
  readonly from: ResultPosition;
  /** null where the recovery point is not known then. */
  readonly to: ResultPosition | null;
  readonly distance_m: number | null;
}

/** What a plan of a flight needs beyond its result. */
export interface FlightGeometry {
  readonly pieces: readonly TrackPiece[];
  readonly recoveries: readonly RecoveryLine[];
  /** Where the operator was: one entry where they stood still; empty where that is not known. */
  readonly operator: readonly TimedPosition[];
}

/** @returns the flight as lines and points, cut where the log has a gap or no position */
export function flightGeometry({ result, judgement }: FlightAudit): FlightGeometry {
  const { moments, inputs } = judgement.replay;
  return {
    pieces: piecesOf({ result, judgement }),
    recoveries: result.findings.flatMap((finding) => {
      const k = moments.at_s.findIndex((at_s) => roundValue(at_s) === finding.worst.at_s);
      const from = positionAt(moments.latitude_deg, moments.longitude_deg, k);
      if (from === undefined) return [];
      const to = positionAt(inputs.point.latitude_deg, inputs.point.longitude_deg, k) ?? null;
      return [{ finding, from, to, distance_m: roundValue(moments.distance_m[k] ?? Number.NaN) }];
    }),
    operator: operatorWay({ result, judgement }),
  };
}

function positionAt(latitudes: Float64Array, longitudes: Float64Array, k: number): ResultPosition | undefined {
  const latitude_deg = roundDegrees(latitudes[k] ?? Number.NaN);
  const longitude_deg = roundDegrees(longitudes[k] ?? Number.NaN);
  return latitude_deg === null || longitude_deg === null ? undefined : { latitude_deg, longitude_deg };
}

function timedAt({ judgement }: FlightAudit, k: number): TimedPosition | undefined {
  const { moments } = judgement.replay;
  const position = positionAt(moments.latitude_deg, moments.longitude_deg, k);
  return position === undefined ? undefined : { at_s: roundValue(moments.at_s[k] ?? 0) ?? 0, ...position };
}

interface Draft {
  readonly verdict: TrackPiece["verdict"];
  readonly positions: TimedPosition[];
}

/** A moment stands for the time to the next sample, so a piece ends where the next begins. */
function piecesOf(audit: FlightAudit): TrackPiece[] {
  const { flight } = audit.judgement.replay;
  const shown = shownCodes(audit.judgement, coverageRules(audit.judgement.replay));
  const drafts: Draft[] = [];
  for (const { from, to } of flight.segments) {
    let open: Draft | undefined;
    for (let k = from - flight.first; k < to - flight.first; k += 1) {
      const here = timedAt(audit, k);
      if (here === undefined) {
        open = undefined;
        continue;
      }
      const verdict = drawnAs(shown[k] ?? VERDICT.unknown);
      open?.positions.push(here);
      if (open?.verdict === verdict) continue;
      // The last sample of a run has no way of its own to draw.
      const isLast = k === to - flight.first - 1 || timedAt(audit, k + 1) === undefined;
      if (open !== undefined && isLast && verdict === "clear") continue;
      open = { verdict, positions: [here] };
      drafts.push(open);
    }
  }
  return drafts.map(({ verdict, positions }) => ({
    verdict,
    start_s: positions[0]?.at_s ?? 0,
    end_s: positions.at(-1)?.at_s ?? 0,
    positions,
  }));
}

function drawnAs(code: number): TrackPiece["verdict"] {
  const verdict = verdictOf(code);
  return verdict === "n/a" ? "unknown" : verdict;
}

/** The operator's way through the flight, one entry a place. */
function operatorWay({ judgement }: FlightAudit): TimedPosition[] {
  const { inputs, moments, length } = judgement.replay;
  const { operator } = inputs;
  if (operator === undefined) return [];
  const way: TimedPosition[] = [];
  for (let k = 0; k < length; k += 1) {
    const position = positionAt(operator.latitude_deg, operator.longitude_deg, k);
    const before = way.at(-1);
    if (position === undefined) continue;
    if (before?.latitude_deg === position.latitude_deg && before.longitude_deg === position.longitude_deg) continue;
    way.push({ at_s: roundValue(moments.at_s[k] ?? 0) ?? 0, ...position });
  }
  return way;
}
