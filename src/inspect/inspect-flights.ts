import { roundValue } from "../num/round.js";
import type { FlightAudit } from "../score/flight-result.js";
import { medianStep_s, segmentsOf } from "../track/segments.js";
import type { Track } from "../track/track.js";
import type { InspectedFlight, Sampling } from "./inspection.js";

/** @returns how often the log has a row, and where it is silent or begins anew */
export function inspectSampling(track: Track, longestGap_s: number): Sampling {
  const { time_s } = track.columns;
  const breaks = new Set(track.breaks);
  const gaps_s = segmentsOf(track, longestGap_s)
    .slice(1)
    .filter(({ from }) => !breaks.has(from))
    .map(({ from }) => (time_s[from] ?? 0) - (time_s[from - 1] ?? 0));
  const step_s = medianStep_s(track);
  return {
    median_step_s: step_s > 0 ? roundValue(step_s) : null,
    rate_hz: step_s > 0 ? roundValue(1 / step_s) : null,
    gaps: gaps_s.length,
    longest_gap_s: gaps_s.length === 0 ? null : roundValue(gaps_s.reduce((most, gap) => Math.max(most, gap))),
    breaks: breaks.size,
  };
}

/** @returns a flight as it was found, and the rules that cannot be asked of it */
export function inspectFlight({ result, judgement }: FlightAudit): InspectedFlight {
  const { flight, inputs } = judgement.replay;
  const { basis, from, setRow } = inputs.point;
  return {
    index: result.index,
    start_utc: result.start_utc,
    start_s: result.start_s,
    end_s: result.end_s,
    airborne_s: result.airborne_s,
    basis: flight.basis,
    begins_in_air: flight.beginsInAir,
    ends_in_air: flight.endsInAir,
    recovery_point: { basis, from, is_known: setRow !== undefined },
    coverage_share: result.coverage.share,
    not_assessed: result.not_assessed,
  };
}
