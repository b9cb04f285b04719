import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { auditLog, loadSetting } from "../../src/index.js";
import { RULES } from "../../src/rules/index.js";
import type { FlightResult } from "../../src/score/result.js";
import { distanceTo, isInside, type Shape, type Spot } from "../oracles/areas-brute-force.js";
import { metresPerDegree } from "../oracles/site-brute-force.js";

const FOLDER = "fixtures/zones";
const PER = metresPerDegree(47.13);
const [LATITUDE, LONGITUDE] = [47.130004, 8.240001];
const plane = (longitude: number, latitude: number): Spot => [
  (longitude - LONGITUDE) * PER.east,
  (latitude - LATITUDE) * PER.north,
];

/** What stands in the file of zones, in metres about the recovery point. */
const zones = (
  JSON.parse(readFileSync(`${FOLDER}/zones.geojson`, "utf8")) as {
    features: { properties: { name: string }; geometry: { coordinates: [number, number][][] } }[];
  }
).features.map(({ properties, geometry }) => {
  const rings = geometry.coordinates.map((ring) => ring.slice(1).map(([lon, lat]) => plane(lon, lat)));
  return { name: properties.name, shape: { kind: "polygon", rings, radius: 0 } satisfies Shape };
});
const shapeOf = (name: string): Shape => {
  const found = zones.find((zone) => zone.name === name);
  if (found === undefined) throw new Error(`no zone ${name}`);
  return found.shape;
};

/** Spots and heights at 5 Hz, read from the log without the program. */
const rows = readFileSync(`${FOLDER}/mere.csv`, "utf8")
  .trim()
  .split("\n")
  .slice(1)
  .map((line) => line.split(",").map(Number))
  .map(([, latitude = 0, longitude = 0, height = 0]) => ({ spot: plane(longitude, latitude), height }));
const seconds = (is: (row: (typeof rows)[number]) => boolean): number => rows.filter(is).length / 5;

async function audit(...sets: string[]): Promise<{ flight: FlightResult; notes: string[] }> {
  const setting = await loadSetting({ startFolder: FOLDER, sets });
  const path = `${FOLDER}/mere.csv`;
  const { result } = await auditLog(readFileSync(path), setting, { path });
  const [flight] = result.flights;
  if (flight === undefined) throw new Error("no flight");
  return { flight, notes: result.problems.map(({ code }) => code) };
}

const total = (flight: FlightResult, rule: string, verdict: string): number =>
  flight.findings
    .filter((finding) => finding.rule === rule && finding.verdict === verdict)
    .reduce((sum, { duration_s }) => sum + duration_s, 0);

/** Whether the straight way to the recovery point runs through a zone, by its spots. */
function crosses(shape: Shape, [x, y]: Spot): boolean {
  return Array.from({ length: 400 }, (_, k) => k / 400).some((t) => isInside(shape.rings, [x * t, y * t]));
}

describe("an invented flight over a lake, round a colony, in under branches", () => {
  it("fails where the way home runs through the colony, by another count of the same rows", async () => {
    const { flight } = await audit();
    const wanted = seconds(({ spot }) => crosses(shapeOf("tern colony"), spot));
    expect(Math.abs(total(flight, "keepout-crossed", "fail") - wanted)).toBeLessThan(0.6);
    expect(wanted).toBeGreaterThan(20);
  });

  it("fails under the branches, and is thin about them", async () => {
    const { flight } = await audit();
    const edge = shapeOf("alder edge");
    const under = seconds(({ spot, height }) => height < 7 && isInside(edge.rings, spot));
    const beside = seconds(({ spot, height }) => {
      const distance = distanceTo(edge, spot);
      return height < 7 && distance > 0 && distance <= 8;
    });
    expect(Math.abs(total(flight, "overhead-cover", "fail") - under)).toBeLessThan(0.6);
    expect(Math.abs(total(flight, "overhead-cover", "thin") - beside)).toBeLessThan(1);
    expect(flight.score).toBe(59);
    expect(flight.findings.some(({ rule }) => rule === "action-unsuited")).toBe(false);
  });

  it.each(["hold", "land"])("with %s: fails over the lake, is only thin under the branches", async (action) => {
    const { flight } = await audit(`settings.lost_link_action=${action}`);
    const track = ["Fallow Mere", "cart track"].map(shapeOf);
    const bad = seconds(({ spot, height }) => height > 0.5 && track.some(({ rings }) => isInside(rings, spot)));
    // Crossings of the cart track are short; those under a second are in the score alone.
    expect(total(flight, "action-unsuited", "fail")).toBeGreaterThan(bad - 3);
    expect(total(flight, "action-unsuited", "fail")).toBeLessThan(bad + 0.6);
    expect(total(flight, "overhead-cover", "fail")).toBe(0);
    expect(total(flight, "overhead-cover", "thin")).toBeGreaterThan(40);
    const far = total(flight, "action-unsuited", "thin");
    if (action === "land") expect(far).toBe(0);
    else expect(far).toBeGreaterThan(60);
  });

  it("fails at a point that is declared in the lake", async () => {
    const point = "recovery_point={ latitude: 47.1305, longitude: 8.2418 }";
    const { flight } = await audit(point);
    const finding = flight.findings.find(({ rule }) => rule === "point-unsafe");
    expect(finding?.message).toBe(
      "The recovery point lies in the water of Fallow Mere: a recovery comes down there by itself.",
    );
    expect(flight.score ?? 0).toBeLessThanOrEqual(59);
  });

  it("says which heights were taken by default, as a note and as an input", async () => {
    const { flight, notes } = await audit();
    expect(notes).toEqual(["obstacle-default-height", "obstacle-default-height"]);
    expect(flight.inputs["site.default_heights.woods"]).toEqual({
      value: 25,
      unit: "m",
      basis: "assumed",
      from: "project default, for 1 without height",
    });
    expect(flight.inputs["site.zones"]?.value).toBe("4");
    expect(flight.coverage.share).toBe(1);
  });

  it("fails by a default height only where it was declared", async () => {
    const low = "settings.recovery_height=10 m";
    const assumed = await audit(low, "recovery_point={ latitude: 47.1305, longitude: 8.2372 }");
    const ceilings = assumed.flight.findings.filter(({ rule }) => rule === "ceiling-low");
    expect(ceilings.length).toBeGreaterThan(0);
    expect(ceilings.every(({ verdict }) => verdict === "thin")).toBe(true);
    expect(
      ceilings.some(({ by_assumption_alone, decided_by }) => by_assumption_alone && decided_by === "assumed"),
    ).toBe(true);
    const declared = await audit(
      low,
      "recovery_point={ latitude: 47.1305, longitude: 8.2372 }",
      "site.default_heights.woods=25 m",
    );
    const fails = declared.flight.findings.filter(({ rule, verdict }) => rule === "ceiling-low" && verdict === "fail");
    expect(fails[0]?.message).toMatch(/under the top of Alder Carr \(height taken as 25 m\)/);
  });

  it("leaves no moment rule unasked", async () => {
    const { flight } = await audit();
    const asked = RULES.filter(({ kind }) => kind === "moment").map(({ id }) => flight.coverage.rules[id]);
    expect(asked.every((share) => share === 1)).toBe(true);
  });
});
