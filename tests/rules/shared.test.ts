import { describe, expect, it } from "vitest";
import type { Basis } from "../../src/config/declared.js";
import type { Replay } from "../../src/recovery/replay.js";
import { concerns, energyBases } from "../../src/rules/shared.js";
import { ALL_KNOWN, shortReplay } from "../helpers/moments.js";

const INPUTS = [
  "battery",
  "drain",
  "point",
  "recovery",
  "climb",
  "descent",
  "landing",
  "recoveryHeight",
  "wind",
] as const;

/** A replay whose inputs have these bases, in the order of `INPUTS`. */
function based(bases: Readonly<Partial<Record<(typeof INPUTS)[number], Basis>>>): Replay {
  const replay = shortReplay();
  const { inputs } = replay;
  const of = (name: (typeof INPUTS)[number]): { basis: Basis } => ({ basis: bases[name] ?? "assumed" });
  const { recovery, climb, descent, landing } = inputs.speeds;
  return {
    ...replay,
    inputs: {
      ...inputs,
      battery: { ...inputs.battery, ...of("battery") },
      drain: { ...inputs.drain, ...of("drain") },
      point: { ...inputs.point, ...of("point") },
      speeds: {
        recovery: { ...recovery, ...of("recovery") },
        climb: { ...climb, ...of("climb") },
        descent: { ...descent, ...of("descent") },
        landing: { ...landing, ...of("landing") },
      },
      recoveryHeight: { ...inputs.recoveryHeight, ...of("recoveryHeight") },
      wind: { ...inputs.wind, ...of("wind") },
    },
  };
}

describe("energyBases", () => {
  it("always names battery, rates and point", () => {
    expect(energyBases(based({}))).toEqual(["assumed", "assumed", "assumed"]);
    expect(energyBases(based({ battery: "measured", drain: "fitted", point: "inferred" }))).toEqual([
      "measured",
      "fitted",
      "inferred",
    ]);
  });

  it.each(INPUTS.slice(3))("names that of %s only where it was not assumed", (name) => {
    expect(energyBases(based({ [name]: "declared" }))).toEqual(["assumed", "assumed", "assumed", "declared"]);
  });
});

describe("concerns", () => {
  it.each([
    [undefined, ""],
    ["return", ""],
    ["hold", " (Low battery or the pilot's command: a lost link would hold.)"],
    ["land", " (Low battery or the pilot's command: a lost link would land.)"],
  ] as const)("with the lost-link action %s says: %s", (lostLinkAction, words) => {
    const settings = { ...ALL_KNOWN.settings, ...(lostLinkAction === undefined ? {} : { lostLinkAction }) };
    expect(concerns(shortReplay(20, { ...ALL_KNOWN, settings }))).toBe(words);
  });
});
