import { flightAir } from "../air/flight-air.js";
import type { Config } from "../config/declared.js";
import type { Flight } from "../track/flights.js";
import type { Problem, Track } from "../track/track.js";
import { assumedDrain, completeDrain, declaredDrain, type Drain } from "./drain.js";
import { declaredSource, measuredPower } from "./drain-sources.js";
import { type DrainStep, fitDrain } from "./fit-drain.js";
import { alignedDrainSteps } from "./gauge-lag.js";
import { REGIMES, regimeTimes_min } from "./regimes.js";
import { tiedDrain } from "./tied-drain.js";

/** Declared and fitted rates further apart than this are worth a word. */
const APART_SHARE = 0.2;

/** The rates of a flight and what they were chosen over. */
export interface DrainChoice {
  readonly drain: Drain;
  /** The flight's own fit, whatever was chosen. */
  readonly fitted: Drain | undefined;
  /** What that fit rests on; empty without a reading. */
  readonly steps: readonly DrainStep[];
  readonly problems: readonly Problem[];
}

/**
 * Chooses the drain rates of a flight: declared `drain`, else fitted from the flight, else measured power, else declared
 * power, endurance or body, else assumed. Each source that tells only some regimes is completed by the next.
 * @param reading battery percent of the track without its dropouts; undefined where not logged
 * @param regimes of the flight's rows
 * @param climb_ms of a recovery
 */
export function chooseDrain(
  config: Config,
  track: Track,
  flight: Flight,
  { reading, regimes, climb_ms }: { reading: Float64Array | undefined; regimes: Uint8Array; climb_ms: number },
): DrainChoice {
  const problems: Problem[] = [];
  const times_min = regimeTimes_min(track, flight, regimes);
  const other = declaredSource(config, flightAir(track, flight), climb_ms, problems);
  const measured = measuredPower(config, track, flight, regimes);
  const weakest = assumedDrain();
  const told = (other && completeDrain(other, weakest, times_min)) ?? weakest;
  const next = (measured && completeDrain(measured, told, times_min)) ?? told;
  const { steps, fitted } =
    reading === undefined ? { steps: [], fitted: undefined } : fitFlight(track, flight, reading, regimes, next);
  const { drain_pctPerMin: rates, drainSpread_pct, drainTied } = config.declared.aircraft;
  const place = config.places.get("aircraft.drain") ?? "declared";
  const declared = rates && tiedDrain(declaredDrain(rates, drainSpread_pct, place), drainTied);
  const said = declared ?? (other?.basis === "declared" ? told : undefined);
  if (said !== undefined && fitted !== undefined) problems.push(...apart(said, fitted));
  return { drain: declared ?? fitted ?? next, fitted, steps, problems };
}

function fitFlight(
  track: Track,
  flight: Flight,
  reading: Float64Array,
  regimes: Uint8Array,
  next: Drain,
): Pick<DrainChoice, "steps" | "fitted"> {
  const { steps, lag_s } = alignedDrainSteps(track, flight, reading, regimes, next);
  const from = lag_s === 0 ? "this flight" : `this flight, its gauge lagging by about ${lag_s} s`;
  return { steps, fitted: fitDrain(steps, from, next) };
}

/** A warning where rates that both tell themselves differ. */
function apart(declared: Drain, fitted: Drain): Problem[] {
  const rows = REGIMES.flatMap((regime, r) => {
    const given = declared.middle[r] ?? Number.NaN;
    const flown = fitted.middle[r] ?? Number.NaN;
    const isBoth = declared.told[r] === true && fitted.told[r] === true;
    if (!isBoth || !(Math.abs(flown - given) > APART_SHARE * given)) return [];
    return [`${regime} ${given.toFixed(1)} declared, ${flown.toFixed(1)} flown`];
  });
  if (rows.length === 0) return [];
  const message = `Declared drain is over ${100 * APART_SHARE} % from what this flight used (%/min): ${rows.join("; ")}.`;
  return [{ severity: "warning", code: "drain-apart", message, line: undefined }];
}
