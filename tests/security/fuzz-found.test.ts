import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, it } from "vitest";
import { auditLog, htmlPage, loadSetting } from "../../src/index.js";
import { loadProjection, systemOfText } from "../../src/site/projection.js";

const folder = mkdtempSync(join(tmpdir(), "homeleg-fuzz-found-"));
afterAll(() => rmSync(folder, { recursive: true }));

// Faults that `npm run fuzz` brought to light, each as small as it gets; others stand with what they are about.

it("a position that is not known is not known in a projected system either", async () => {
  const projection = await loadProjection(systemOfText("EPSG:32632", "homeleg.yaml"), "homeleg.yaml");
  for (const [a, b] of [
    [NaN, 47],
    [8, NaN],
    [Infinity, 47],
  ] as const) {
    expect(projection?.forward(a, b)).toEqual([NaN, NaN]);
    expect(projection?.inverse(a, b)).toEqual([NaN, NaN]);
  }
  expect(projection?.forward(9, 0)).toEqual([expect.closeTo(500_000, 3), expect.closeTo(0, 3)]);
});

it("a way home without end is no number in a page", async () => {
  const path = "fixtures/demo/4-late-into-wind.csv";
  const lines = readFileSync(path, "utf8").split("\n");
  const log = lines.filter((_line, row) => row % 30 === 0).join("\n");
  const sets = [
    "aircraft.speeds={ recovery: 2 m/s, climb: 3, descent: 3, landing: 0.8 }",
    "settings.recovery_height=50",
  ];
  const audit = await auditLog(Buffer.from(log), await loadSetting({ sets }), { path });
  const page = await htmlPage(audit);
  expect(page).toContain("no headway");
  expect(page.replace(/<script>[^]*?<\/script>/g, "")).not.toMatch(/NaN|Infinity|undefined/);
});

it("a way home of thousands of kilometres is not followed over the ground, and not clear", async () => {
  const path = "fixtures/quiet/height-only.gpx";
  const sets = [
    "recovery_point={ latitude: 90, longitude: 8.2 }",
    "settings.recovery_height=50",
    "site={ terrain: flat, obstacles: [], zones: [] }",
  ];
  const { result } = await auditLog(readFileSync(path), await loadSetting({ sets }), { path });
  const wants = new Map(result.flights[0]?.not_assessed.map(({ rule, share, missing }) => [rule, { share, missing }]));
  const label = "a recovery point within 100 km, the longest way home that is followed (in part)";
  expect(wants.get("ceiling-low")).toEqual({ share: expect.any(Number) as number, missing: [label] });
  expect(wants.get("ceiling-low")?.share).toBeGreaterThan(0.5);
  expect(wants.get("ceiling-high")?.missing).toContain(label);
  // Without a zone to cross there is nothing to follow.
  expect(wants.has("keepout-crossed")).toBe(false);
});

it("an obstacle too wide to be drawn is told, as wide as can be, and nothing near it is clear", async () => {
  const mast = { type: "Point", coordinates: [8.238, 47.131] };
  const feature = { type: "Feature", properties: { name: "mast", height: 900, radius: 1e308 }, geometry: mast };
  const map = join(folder, "mast.geojson");
  writeFileSync(map, JSON.stringify(feature));
  const path = "fixtures/demo/1-clean-survey.csv";
  const lines = readFileSync(path, "utf8").split("\n");
  const log = lines.filter((_line, row) => row % 60 === 0).join("\n");
  const sets = ["settings.recovery_height=50", `site={ terrain: flat, obstacles: ["${map}"], zones: [] }`];
  const audit = await auditLog(Buffer.from(log), await loadSetting({ sets }), { path });
  const [flight] = audit.result.flights;
  expect(audit.result.problems.map(({ message }) => message)).toContainEqual(
    expect.stringContaining("feature 1 (mast) has the radius 1e+308, which is over 100 km: 100000 m is taken."),
  );
  expect(flight?.findings.some(({ rule, verdict }) => rule === "ceiling-low" && verdict === "fail")).toBe(true);
  const page = await htmlPage(audit);
  expect(page.replace(/<script>[^]*?<\/script>/g, "")).not.toMatch(/NaN|Infinity|undefined/);
});

it.each([
  ["-0 %", 0],
  ["9.12345678 %", 9.123457],
])("a declared spread of %s is a number of a result", async (spread, wanted) => {
  const path = "fixtures/quiet/height-only.gpx";
  const sets = [`aircraft.drain={ hover: 4, climb: 6, cruise: 5, descent: 3.5, spread: ${spread} }`];
  const { result } = await auditLog(readFileSync(path), await loadSetting({ sets }), { path });
  expect(result.flights[0]?.drain).toMatchObject({ basis: "declared", spread_pct: wanted });
  expect(Object.is(result.flights[0]?.drain.spread_pct, -0)).toBe(false);
});
