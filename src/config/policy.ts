const PROJECT_DEFAULT = "project default";
const COMMON_PRACTICE = "common practice, no source";

/**
 * Every limit that a policy can set: default in SI (or in the unit shown), unit, and where the number comes from.
 * Keys are the paths under `policy:` in homeleg.yaml.
 */
export const POLICY = {
  touchdown_floor: { value: 10, unit: "%", source: PROJECT_DEFAULT },
  touchdown_reserve: { value: 25, unit: "%", source: COMMON_PRACTICE },
  low_battery_floor: { value: 25, unit: "%", source: COMMON_PRACTICE },
  upper: { value: 90, unit: "%", source: PROJECT_DEFAULT },
  clearance: { value: 10, unit: "m", source: PROJECT_DEFAULT },
  corridor: { value: 8, unit: "m", source: PROJECT_DEFAULT },
  "adrift.thin": { value: 15, unit: "m", source: PROJECT_DEFAULT },
  "adrift.fail": { value: 30, unit: "m", source: PROJECT_DEFAULT },
  "adrift.away": { value: 90, unit: "deg", source: PROJECT_DEFAULT },
  at_hand: { value: 15, unit: "m", source: PROJECT_DEFAULT },
  hold_within: { value: 50, unit: "m", source: PROJECT_DEFAULT },
  least_ground_speed: { value: 1, unit: "m/s", source: PROJECT_DEFAULT },
  "fix.satellites": { value: 8, unit: "1", source: PROJECT_DEFAULT },
  "fix.hdop": { value: 4, unit: "1", source: PROJECT_DEFAULT },
  "fix.least_satellites": { value: 4, unit: "1", source: "four unknowns: three coordinates and the clock" },
  "fix.jump": { value: 50, unit: "m/s", source: PROJECT_DEFAULT },
  "fix.satellites_at_start": { value: 12, unit: "1", source: COMMON_PRACTICE },
  height_before_point: { value: 30, unit: "m", source: COMMON_PRACTICE },
  legal_height: { value: 120, unit: "m", source: "UAS.OPEN.010, 14 CFR 107.51 (400 ft); local rules decide" },
  link: { value: 30, unit: "%", source: PROJECT_DEFAULT },
  link_for: { value: 3, unit: "s", source: PROJECT_DEFAULT },
  action_within: { value: 10, unit: "s", source: PROJECT_DEFAULT },
  "action_signs.vertical": { value: 0.5, unit: "m/s", source: PROJECT_DEFAULT },
  "action_signs.still": { value: 1, unit: "m/s", source: PROJECT_DEFAULT },
  "action_signs.homeward": { value: 45, unit: "deg", source: PROJECT_DEFAULT },
  "cell_sag.margin": { value: 0.1, unit: "V", source: PROJECT_DEFAULT },
  "cell_sag.mean_over": { value: 3, unit: "s", source: PROJECT_DEFAULT },
  "cell_sag.known": { value: 0.95, unit: "1", source: PROJECT_DEFAULT },
  turnback_late: { value: 10, unit: "s", source: PROJECT_DEFAULT },
  turnback_beyond: { value: 50, unit: "m", source: PROJECT_DEFAULT },
  reserve_floor_for: { value: 15, unit: "s", source: PROJECT_DEFAULT },
  "record_gap.thin": { value: 0.02, unit: "1", source: PROJECT_DEFAULT },
  "record_gap.fail": { value: 0.2, unit: "1", source: PROJECT_DEFAULT },
  slope: { value: 10, unit: "deg", source: PROJECT_DEFAULT },
  shortest_stretch: { value: 1, unit: "s", source: PROJECT_DEFAULT },
  shortest_flight: { value: 10, unit: "s", source: PROJECT_DEFAULT },
  longest_gap: { value: 5, unit: "s", source: PROJECT_DEFAULT },
  coverage_floor: { value: 0.5, unit: "1", source: PROJECT_DEFAULT },
  "conduct_points.thin": { value: 2, unit: "points", source: PROJECT_DEFAULT },
  "conduct_points.fail": { value: 6, unit: "points", source: PROJECT_DEFAULT },
} as const satisfies Readonly<Record<string, { value: number; unit: string; source: string }>>;

/** The path of a limit under `policy:` in homeleg.yaml. */
export type PolicyKey = keyof typeof POLICY;

/** Every limit, as declared or by default, in the unit of `POLICY`. */
export type Policy = Readonly<Record<PolicyKey, number>>;

/** @returns the policy with what was declared, and the defaults for the rest */
export function completePolicy(declared: Readonly<Partial<Record<PolicyKey, number>>>): Policy {
  // At once, since it is read for every moment: an object that grows key by key is a hash table.
  return Object.fromEntries(
    (Object.keys(POLICY) as PolicyKey[]).map((key) => [key, declared[key] ?? POLICY[key].value]),
  ) as Policy;
}
