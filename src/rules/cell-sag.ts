import { cellResistanceOf_mOhm, type CellVoltage, type LowestCell, lowestCell } from "../recovery/lowest-cell.js";
import type { Replay } from "../recovery/replay.js";
import { type Conduct, conductRule } from "./rule.js";
import { apart, type Say } from "./say.js";

/** Fewest decimals of a cell voltage. */
const DIGITS = 2;

/**
 * The lowest voltage of a cell under load, as a mean over a few seconds in the air.
 *
 * A percentage is worked out by the gauge; the voltage under load is what the motors get. With a floor that is only
 * assumed, the least that a published guide allows under load decides `fail`. Where it is known for too little of the
 * flight, a voltage that never was low is not known to be so.
 */
export const cellSag = conductRule({
  id: "cell-sag",
  question: "Did every cell keep its voltage under load?",
  unit: "V",
  limits: { margin_V: "cell_sag.margin", over_s: "cell_sag.mean_over", known_share: "cell_sag.known" },
  judge(replay, { margin_V, over_s, known_share }, say): Conduct {
    const { cellVoltage, cellFloor } = replay.inputs;
    if ("lacks" in cellVoltage) return { verdict: "unknown", lacks: [cellVoltage.lacks] };
    const found = lowestCell(replay, cellVoltage.cell_V, over_s);
    if (found === undefined) return { verdict: "unknown", lacks: ["voltage"] };
    // A running mean of equal readings may be a hair off them.
    const isUnder = (limit_V: number): boolean => found.mean_V < limit_V - 1e-9;
    if (!isUnder(cellFloor.value + margin_V)) {
      return found.knownShare >= known_share ? { verdict: "clear" } : { verdict: "unknown", lacks: ["voltage"] };
    }
    const verdict = isUnder(cellFloor.least_V) ? "fail" : "thin";
    const limit_V = verdict === "fail" ? cellFloor.least_V : cellFloor.value + margin_V;
    return {
      verdict,
      // Clear, were the floor at the favourable end of what was assumed; a declared one has no other end.
      byAssumptionAlone: !isUnder(cellFloor.least_V + margin_V),
      finding: tell(replay, cellVoltage, found, { limit_V, over_s }, say),
    };
  },
  bases: ({ inputs }) => {
    const { cellVoltage, cellFloor } = inputs;
    // An assumed floor fails by its favourable end alone, so it did not decide that.
    const floor = cellFloor.basis === "assumed" ? [] : [cellFloor.basis];
    return "lacks" in cellVoltage ? [] : [cellVoltage.basis, ...floor];
  },
});

function tell(
  replay: Replay,
  { isOfCells, cells, cell_V }: CellVoltage,
  { k, mean_V, means_V }: LowestCell,
  { limit_V, over_s }: { limit_V: number; over_s: number },
  say: Say,
): NonNullable<Conduct["finding"]> {
  const { inputs, moments, track, flight } = replay;
  const isUnder = (volts: number): boolean => volts < limit_V;
  const known = (value: number = Number.NaN): number | null => (Number.isNaN(value) ? null : value);
  const battery_pct = known(moments.battery_pct[k]);
  const [value, limit] = apart(mean_V, limit_V, DIGITS);
  const who = isOfCells ? "The lowest cell" : "A cell, as the mean of the pack,";
  const left = battery_pct === null ? "" : ` with ${say.percent(battery_pct)} left`;
  return {
    first: flight.first + means_V.findIndex(isUnder),
    last: flight.first + means_V.findLastIndex(isUnder),
    at: flight.first + k,
    value: mean_V,
    limit: limit_V,
    message:
      `${who} was down to ${value} V under load for ${say.duration(over_s)} at ${say.time(moments.at_s[k] ?? Number.NaN)}${left} ` +
      `(limit ${limit} V).`,
    advice: "Land earlier on this pack, fly it gently when it is low, and look at its age: old cells sag more.",
    evidence: {
      lowest_mean_cell_V: mean_V,
      cell_floor_V: inputs.cellFloor.value,
      cells: cells ?? null,
      current_A: known(track.columns.current_A?.[flight.first + k]),
      battery_pct,
      cell_resistance_mohm: cellResistanceOf_mOhm(replay, cell_V),
    },
  };
}
