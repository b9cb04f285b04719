import { describe, expect, it } from "vitest";
import { standardAir } from "../../src/air/atmosphere.js";
import { climbFactor, discArea_m2, hoverFlow_ms, hoverPower_W } from "../../src/aircraft/momentum.js";

/**
 * The rotary-wing power model of Y. Zeng, J. Xu, R. Zhang, Energy Minimization for Wireless Communication With Rotary-Wing
 * UAV, IEEE Trans. Wireless Commun. 18(4), 2019: a generic aircraft, the inputs of its Table I as five public
 * repositories transcribe it. The program does not use it: it is here to show what it makes of a hover, and that cruise
 * taken as hover is the safe side.
 */
const TABLE = { weight_N: 20, density: 1.225, radius_m: 0.4, area_m2: 0.503, solidity: 0.05, omega: 300, tip_ms: 120 };
const INDUCED_CORRECTION = 0.1;
const PROFILE_DRAG = 0.012;
const FUSELAGE_DRAG = 0.6;
/** As the paper rounds it. */
const ROUNDED_FLOW_MS = 4.03;

const blade_W =
  (PROFILE_DRAG / 8) * TABLE.density * TABLE.solidity * TABLE.area_m2 * TABLE.omega ** 3 * TABLE.radius_m ** 3;
const induced_W = ((1 + INDUCED_CORRECTION) * TABLE.weight_N ** 1.5) / Math.sqrt(2 * TABLE.density * TABLE.area_m2);

function forwardPower_W(speed_ms: number): number {
  const ratio = speed_ms ** 2 / (2 * ROUNDED_FLOW_MS ** 2);
  const parasite_W = 0.5 * FUSELAGE_DRAG * TABLE.density * TABLE.solidity * TABLE.area_m2 * speed_ms ** 3;
  return (
    blade_W * (1 + (3 * speed_ms ** 2) / TABLE.tip_ms ** 2) +
    induced_W * Math.sqrt(Math.sqrt(1 + ratio ** 2) - ratio) +
    parasite_W
  );
}

/** Where something is least, to 1 mm/s. */
function lowestAt(of: (speed_ms: number) => number): number {
  let best = 1;
  for (let speed = 1; speed < 30; speed += 0.001) if (of(speed) < of(best)) best = speed;
  return best;
}

/** Of the same weight and discs, in the program's terms. */
const ROTORS = { mass_kg: TABLE.weight_N / 9.80665, discArea_m2: TABLE.area_m2 };

describe("momentum theory against Zeng, Xu and Zhang (2019)", () => {
  it("has their flow through the discs, 4.03 m/s", () => {
    expect(hoverFlow_ms(ROTORS, TABLE.density)).toBeCloseTo(4.02854, 5);
    expect(Math.abs(hoverFlow_ms(ROTORS, TABLE.density) - ROUNDED_FLOW_MS)).toBeLessThan(0.005);
  });

  it("has their induced power, 88.6279 W, of which 1/1.1 is ideal", () => {
    expect(Math.abs(induced_W / 88.6279 - 1)).toBeLessThan(1e-4);
    expect(hoverPower_W(ROTORS, TABLE.density, 1)).toBeCloseTo(induced_W / 1.1, 9);
    expect(hoverPower_W(ROTORS, TABLE.density, 1)).toBeCloseTo(80.571, 3);
    expect(hoverPower_W(ROTORS, TABLE.density, 1 / 1.1)).toBeCloseTo(induced_W, 9);
  });

  it("meets their hover, blades and all, at the efficiency that it implies, 0.478", () => {
    expect(Math.abs(blade_W / 79.8563 - 1)).toBeLessThan(1e-4);
    const efficiency = hoverPower_W(ROTORS, TABLE.density, 1) / forwardPower_W(0);
    expect(efficiency).toBeCloseTo(0.4782, 4);
    expect(hoverPower_W(ROTORS, TABLE.density, efficiency)).toBeCloseTo(168.484, 3);
  });

  it("cruise and descent taken as hover are on the safe side at every speed of a recovery", () => {
    for (let speed = 0; speed <= 18; speed += 0.5) expect(forwardPower_W(speed)).toBeLessThanOrEqual(forwardPower_W(0));
    expect(forwardPower_W(20)).toBeGreaterThan(forwardPower_W(0));
  });
});

describe("the published model itself, as transcribed here", () => {
  // Computed for this project with the published constants.
  it.each([
    [0, 168.484],
    [5, 143.608],
    [10, 126.029],
    [15, 138.543],
    [20, 178.296],
    [25, 248.952],
    [30, 356.284],
  ])("at %d m/s it is %d W", (speed_ms, watts) => {
    expect(forwardPower_W(speed_ms)).toBeCloseTo(watts, 3);
  });

  it("is least at 10.2 m/s, and least for a metre at 18.3 m/s (both printed in the paper, from memory)", () => {
    const slow = lowestAt(forwardPower_W);
    expect(Math.abs(slow - 10.2)).toBeLessThan(0.05);
    expect(forwardPower_W(slow)).toBeCloseTo(126.003, 3);
    const far = lowestAt((speed) => forwardPower_W(speed) / speed);
    expect(Math.abs(far - 18.3)).toBeLessThan(0.05);
    expect(forwardPower_W(far) / far).toBeCloseTo(8.829, 3);
  });

  it("warns of one power a metre: from 10 to 20 m/s a metre goes from 12.60 to 8.92 J", () => {
    expect(forwardPower_W(10) / 10).toBeCloseTo(12.6, 2);
    expect(forwardPower_W(20) / 20).toBeCloseTo(8.915, 3);
  });
});

describe("actuator disc, consequences that need no data", () => {
  const rotors = { mass_kg: 1.4, discArea_m2: discArea_m2(4, 0.24) };

  it("takes mass^1.5", () => {
    const heavy = { ...rotors, mass_kg: 2.8 };
    expect(hoverPower_W(heavy, 1.2, 0.6) / hoverPower_W(rotors, 1.2, 0.6)).toBeCloseTo(2 ** 1.5, 12);
  });

  it("takes density^−½: 16.08 % more at 3000 m", () => {
    const thin = hoverPower_W(rotors, standardAir(3000).density_kgm3, 0.6);
    expect(thin / hoverPower_W(rotors, 1.225, 0.6)).toBeCloseTo(1.1608, 4);
  });

  it("does not follow a circulating article that prints 93.1 W for 1.5 kg on a 0.25 m disc: its formula gives 162.8 W", () => {
    expect(hoverPower_W({ mass_kg: 1.5, discArea_m2: discArea_m2(1, 0.25) }, 1.225, 1)).toBeCloseTo(162.8, 0);
  });

  it("climbs at the golden ratio of a hover's power where the climb is as fast as the flow through the discs", () => {
    // x = ½: ½ + √(¼ + 1) = 1.618….
    expect(climbFactor(4, 4)).toBeCloseTo((1 + Math.sqrt(5)) / 2, 12);
    expect(climbFactor(0, 4)).toBe(1);
  });
});
