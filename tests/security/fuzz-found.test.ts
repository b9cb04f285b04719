import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { auditLog, htmlPage, loadSetting } from "../../src/index.js";
import { loadProjection, systemOfText } from "../../src/site/projection.js";

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
