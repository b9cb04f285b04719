/**
 * How long the question "what is highest under this line?" takes, over an invented 2000 × 2000 grid: the legs of one
 * flight to one recovery point, and legs scattered over the grid; and what the pyramid saves against looking at every
 * cell. Prints ratios and microseconds; asserts nothing, since times are the machine's.
 *
 * Usage: npm run bench:terrain
 */
import { buildSite } from "../../dist/site/build-site.js";

const SIDE = 2000;
const LEGS = 18_000;
const LEG_M = 600;
const WARM_UP = 3;
const ROUNDS = 9;
const STEP_DEG = 0.0002;
const WEST = 8;
const SOUTH = 47;
const M_PER_DEG = { east: 76_056, north: 111_180 };

/** Hills of several sizes with rough ground on them, in metres. */
function heights() {
  const all = new Float64Array(SIDE * SIDE);
  for (let j = 0; j < SIDE; j += 1) {
    for (let i = 0; i < SIDE; i += 1) {
      const hills =
        90 * Math.sin(i / 61) * Math.cos(j / 83) + 35 * Math.sin((i + 2 * j) / 23) + 12 * Math.cos((3 * i - j) / 9);
      all[j * SIDE + i] = 500 + hills + ((i * 7919 + j * 104_729) % 37) / 12;
    }
  }
  return all;
}

let seed = 7;
function random() {
  seed = (seed * 48_271) % 2_147_483_647;
  return seed / 2_147_483_647;
}

function around(latitude_deg, longitude_deg, course, far_m) {
  return {
    latitude_deg: latitude_deg + (far_m * Math.cos(course)) / M_PER_DEG.north,
    longitude_deg: longitude_deg + (far_m * Math.sin(course)) / M_PER_DEG.east,
  };
}

const middle = { latitude_deg: SOUTH + (SIDE / 2) * STEP_DEG, longitude_deg: WEST + (SIDE / 2) * STEP_DEG };
const flight = Array.from({ length: LEGS }, (_, k) => ({
  // Once round the point, as an aircraft flies: each moment is near the one before.
  from: around(middle.latitude_deg, middle.longitude_deg, (2 * Math.PI * k) / LEGS, LEG_M),
  to: middle,
  path_m: 700,
  corridor_m: 8,
}));
const scattered = Array.from({ length: LEGS }, () => {
  const from = {
    latitude_deg: SOUTH + (0.05 + 0.9 * random()) * SIDE * STEP_DEG,
    longitude_deg: WEST + (0.05 + 0.9 * random()) * SIDE * STEP_DEG,
  };
  return {
    from,
    to: around(from.latitude_deg, from.longitude_deg, 2 * Math.PI * random(), LEG_M),
    path_m: 700,
    corridor_m: 8,
  };
});

const grid = {
  columns: SIDE,
  rows: SIDE,
  west_deg: WEST,
  south_deg: SOUTH,
  stepEast_deg: STEP_DEG,
  stepNorth_deg: STEP_DEG,
};
const heights_m = heights();
const site = buildSite({
  terrain: { kind: "grids", grids: [{ grid: { ...grid, heights_m }, surface: false, error_m: 0 }] },
  obstacles: undefined,
});
const out = { centre_m: 0, corridor_m: 0, latitude_deg: 0, longitude_deg: 0, over: -1, groundSeen_share: 0 };

/** Median over rounds once the code is compiled, µs of processor time a leg. */
function median_us(legs, ask) {
  const times = [];
  for (let round = 0; round < WARM_UP + ROUNDS; round += 1) {
    const start = process.cpuUsage();
    for (const leg of legs) ask(leg);
    const { user } = process.cpuUsage(start);
    if (round >= WARM_UP) times.push(user / legs.length);
  }
  return times.sort((a, b) => a - b)[Math.floor(ROUNDS / 2)];
}

/** The centre line without pyramid: every crossing of a grid line, and the middle between two. */
function plainly(leg) {
  const [u1, v1] = [(leg.from.longitude_deg - WEST) / STEP_DEG, (leg.from.latitude_deg - SOUTH) / STEP_DEG];
  const [u2, v2] = [(leg.to.longitude_deg - WEST) / STEP_DEG, (leg.to.latitude_deg - SOUTH) / STEP_DEG];
  let highest = Number.NEGATIVE_INFINITY;
  const crossings = [0, 1];
  const cut = (from, to) => {
    for (let k = Math.ceil(Math.min(from, to)); k <= Math.max(from, to); k += 1)
      crossings.push((k - from) / (to - from));
  };
  cut(u1, u2);
  cut(v1, v2);
  crossings.sort((a, b) => a - b);
  const at = (t) => {
    const [u, v] = [u1 + (u2 - u1) * t, v1 + (v2 - v1) * t];
    const [i, j] = [Math.floor(u), Math.floor(v)];
    const [x, y] = [u - i, v - j];
    const k = j * SIDE + i;
    const south = heights_m[k] * (1 - x) + heights_m[k + 1] * x;
    return south * (1 - y) + (heights_m[k + SIDE] * (1 - x) + heights_m[k + SIDE + 1] * x) * y;
  };
  for (const [k, t] of crossings.entries()) {
    highest = Math.max(highest, at(t));
    const next = crossings[k + 1];
    if (next !== undefined) highest = Math.max(highest, at((t + next) / 2));
  }
  return highest;
}

/** @param {string} name @param {typeof flight} legs */
function report(name, legs) {
  const pyramid_us = median_us(legs, (leg) => site.legClearance(leg, out));
  const centre_us = median_us(legs, (leg) => site.legClearance({ ...leg, corridor_m: 0 }, out));
  const plain_us = median_us(legs, plainly);
  process.stdout.write(
    `${name}: ${pyramid_us.toFixed(2)} µs a leg with its corridor, ${centre_us.toFixed(2)} µs without; ` +
      `stepping through every cell ${plain_us.toFixed(2)} µs, ${(plain_us / centre_us).toFixed(1)} times as long\n`,
  );
}

report("one flight, one recovery point", flight);
report("scattered over the grid", scattered);
