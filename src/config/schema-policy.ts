import * as z from "zod";
import { POLICY } from "./policy.js";
import { RULE_IDS } from "./rule-ids.js";
import { always, choice, group, numberOf, quantity, type Complaint } from "./schema-fields.js";
import { withUnit } from "./units.js";

const notNegative = { atLeast: 0 };
const positive = { moreThan: 0 };
const percent = () => quantity("percent", { atLeast: 0, atMost: 100 });

/** The first must not be over the second, be they declared or by default. */
const ORDERS = [
  ["touchdown_floor", "touchdown_reserve", "percent"],
  ["touchdown_floor", "low_battery_floor", "percent"],
  ["adrift.thin", "adrift.fail", "length"],
  ["fix.least_satellites", "fix.satellites", "count"],
  ["conduct_points.thin", "conduct_points.fail", "count"],
  ["record_gap.thin", "record_gap.fail", "share"],
] as const;

/** `policy:` in homeleg.yaml: every limit, and what a sign-off asks. */
export const policy = group({
  touchdown_floor: percent().optional(),
  touchdown_reserve: percent().optional(),
  low_battery_floor: percent().optional(),
  upper: quantity("percent", { atLeast: 50, under: 100 }).optional(),
  clearance: quantity("length", notNegative).optional(),
  corridor: quantity("length", notNegative).optional(),
  adrift: group({
    thin: quantity("length", notNegative).optional(),
    fail: quantity("length", notNegative).optional(),
    away: quantity("angle", { atLeast: 0, atMost: 180 }).optional(),
  }).optional(),
  at_hand: quantity("length", notNegative).optional(),
  hold_within: quantity("length", notNegative).optional(),
  least_ground_speed: quantity("speed", notNegative).optional(),
  fix: group({
    satellites: quantity("count", { atLeast: 0, isWhole: true }).optional(),
    hdop: quantity("count", positive).optional(),
    least_satellites: quantity("count", { atLeast: 0, isWhole: true }).optional(),
    jump: quantity("speed", positive).optional(),
    satellites_at_start: quantity("count", { atLeast: 0, isWhole: true }).optional(),
  }).optional(),
  height_before_point: quantity("length", notNegative).optional(),
  legal_height: quantity("length", positive).optional(),
  link: percent().optional(),
  link_for: quantity("time", notNegative).optional(),
  action_within: quantity("time", notNegative).optional(),
  action_signs: group({
    vertical: quantity("speed", notNegative).optional(),
    still: quantity("speed", notNegative).optional(),
    homeward: quantity("angle", { atLeast: 0, atMost: 180 }).optional(),
  }).optional(),
  cell_sag: group({
    margin: quantity("voltage", notNegative).optional(),
    mean_over: quantity("time", positive).optional(),
    known: quantity("share", { atLeast: 0, atMost: 1 }).optional(),
  }).optional(),
  turnback_late: quantity("time", notNegative).optional(),
  turnback_beyond: quantity("length", notNegative).optional(),
  reserve_floor_for: quantity("time", notNegative).optional(),
  record_gap: group({
    thin: quantity("share", { atLeast: 0, atMost: 1 }).optional(),
    fail: quantity("share", { atLeast: 0, atMost: 1 }).optional(),
  }).optional(),
  slope: quantity("angle", { atLeast: 0, atMost: 90 }).optional(),
  shortest_stretch: quantity("time", notNegative).optional(),
  shortest_flight: quantity("time", notNegative).optional(),
  longest_gap: quantity("time", positive).optional(),
  coverage_floor: quantity("share", { atLeast: 0, atMost: 1 }).optional(),
  conduct_points: group({
    thin: quantity("count", { atLeast: 0, atMost: 100 }).optional(),
    fail: quantity("count", { atLeast: 0, atMost: 100 }).optional(),
  }).optional(),
  signoff: group({
    flights: quantity("count", { atLeast: 1, isWhole: true }).optional(),
    minutes: quantity("minutes", notNegative).optional(),
    score: quantity("count", { atLeast: 0, atMost: 100 }).optional(),
    coverage: quantity("share", { atLeast: 0, atMost: 1 }).optional(),
    must_be_clear: z
      .array(choice(RULE_IDS, "Write the id of a rule."), { error: "Write a list of rules: `[ reserve-short ]`." })
      .optional(),
    within: quantity("time", positive).optional(),
    sites: quantity("count", { atLeast: 1, isWhole: true }).optional(),
    site_minutes: quantity("minutes", notNegative).optional(),
  }).optional(),
}).check(
  always((value, complain) => {
    for (const order of ORDERS) complainOfOrder(value, order, complain);
  }),
);

function complainOfOrder(
  declared: unknown,
  [low, high, dimension]: (typeof ORDERS)[number],
  complain: (complaint: Complaint) => void,
): void {
  const least = declaredAt(declared, low);
  const most = declaredAt(declared, high);
  const low_ = least === undefined ? POLICY[low].value : numberOf(least);
  const high_ = most === undefined ? POLICY[high].value : numberOf(most);
  if (low_ === undefined || high_ === undefined || low_ <= high_) return;
  const byDefault = least === undefined || most === undefined ? " by default" : "";
  if (least === undefined) {
    const bound = `\`policy.${low}\`, ${withUnit(low_, dimension)}${byDefault}`;
    complain({ path: high.split("."), message: `It must be at least ${bound}.` });
  } else {
    const bound = `\`policy.${high}\`, ${withUnit(high_, dimension)}${byDefault}`;
    complain({ path: low.split("."), message: `It must be at most ${bound}.` });
  }
}

function declaredAt(declared: unknown, key: string): unknown {
  return key.split(".").reduce<unknown>((node, step) => {
    return typeof node === "object" && node !== null
      ? Object.entries(node).find(([name]) => name === step)?.[1]
      : undefined;
  }, declared);
}
