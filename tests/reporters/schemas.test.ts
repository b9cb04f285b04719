import { readFile } from "node:fs/promises";
import { beforeAll, describe, expect, it } from "vitest";
import {
  adviseSite,
  auditLog,
  fitAircraft,
  inspectSite,
  loadSetting,
  type LogAudit,
  rehearse,
  type Setting,
  signedFiles,
  signOff,
} from "../../src/index.js";
import { ADVICE_MATCHES } from "../../src/reporters/schemas/advice-schema.js";
import { FIT_MATCHES } from "../../src/reporters/schemas/fit-schema.js";
import { JSON_SCHEMAS } from "../../src/reporters/schemas/index.js";
import { REHEARSAL_MATCHES } from "../../src/reporters/schemas/rehearsal-schema.js";
import { SIGNOFF_MATCHES } from "../../src/reporters/schemas/signoff-schema.js";
import { SITE_INSPECTION_MATCHES } from "../../src/reporters/schemas/site-inspection-schema.js";
import { flownLog } from "../helpers/fit-logs.js";
import { DEMO } from "../helpers/pages.js";
import { notFinite, validator } from "../helpers/validator.js";

type Name = keyof typeof JSON_SCHEMAS;
const TOOL = { tool_version: "0.0.0" };

/** Real outputs of each kind, as the command line would write them; among them what is unknown, at hand, or without end. */
const outputs: Record<Exclude<Name, "result.schema.json">, unknown[]> = {
  "rehearsal.schema.json": [],
  "advice.schema.json": [],
  "fit.schema.json": [],
  "signoff.schema.json": [],
  "site-inspection.schema.json": [],
};

async function audited(path: string, setting: Setting): Promise<LogAudit> {
  return auditLog(await readFile(path), setting, { path, around_m: 300 });
}

beforeAll(async () => {
  const setting = await loadSetting({ startFolder: "fixtures/demo" });
  const bare = await loadSetting({ startFolder: "/" });
  const zones = await loadSetting({ startFolder: "fixtures/zones" });
  const against = await loadSetting({ startFolder: "fixtures/demo", sets: ["aircraft.speeds.recovery=6.5m/s"] });
  const moments: [string, string, Setting][] = [
    [DEMO.ridge, "4:11", setting],
    [DEMO.ridge, "0:18", setting],
    [DEMO.bare, "2:00", bare],
    [DEMO.late, "7:00", against],
    ["fixtures/zones/mere.csv", "60", zones],
  ];
  for (const [path, at, own] of moments) {
    const rehearsal = await rehearse(await readFile(path), own, { path, at });
    outputs["rehearsal.schema.json"].push({ ...rehearsal, ...TOOL });
  }
  const audits = [await audited(DEMO.ridge, setting), await audited(DEMO.clean, setting)];
  const unknown = await audited(DEMO.bare, bare);
  const mere = await audited("fixtures/zones/mere.csv", zones);
  const advice = [adviseSite(audits, { radius_m: 300 }), adviseSite(audits), adviseSite([unknown]), adviseSite([mere])];
  outputs["advice.schema.json"].push(...advice.map((one) => ({ ...one, ...TOOL })));
  const fits = [
    fitAircraft(
      [1, 2, 3].map((seed) => flownLog({ seed })),
      { check: true },
    ),
    fitAircraft([1, 2, 3, 4].map((seed) => flownLog({ seed, factor: seed > 3 ? 2 : 1 }))),
    fitAircraft([]),
  ];
  const head = { format: "homeleg-fit", format_version: 1, ...TOOL, config: [] };
  outputs["fit.schema.json"].push(...fits.map((one) => ({ ...head, ...one })));
  const files = await signedFiles(setting, process.cwd());
  const notes = { asOf: "2025-06-01", remark: undefined, toolVersion: "0.0.0" };
  const logs = audits.map(({ result }) => result);
  outputs["signoff.schema.json"].push(
    signOff(logs, setting, { ...notes, trainee: "A", instructor: "B", sets: ["policy.clearance=5m"], files }),
    signOff([unknown.result], bare, { ...notes, trainee: undefined, instructor: undefined, sets: [], files: [] }),
    signOff([], bare, { ...notes, trainee: undefined, instructor: undefined, sets: [], files: [] }),
  );
  const inspections = [
    await inspectSite(setting, audits),
    await inspectSite(bare, [unknown]),
    await inspectSite(zones, []),
  ];
  const siteHead = { format: "homeleg-site-inspection", format_version: 1, ...TOOL, config: setting.config.files };
  outputs["site-inspection.schema.json"].push(...inspections.map((one) => ({ ...siteHead, ...one })));
}, 60_000);

describe.each(Object.keys(outputs) as (keyof typeof outputs)[])("%s", (name) => {
  const validate = validator(JSON_SCHEMAS[name]);

  it("holds for real outputs, which have no number that JSON cannot hold", () => {
    expect(outputs[name].length).toBeGreaterThan(2);
    for (const output of outputs[name]) {
      expect(notFinite(output)).toEqual([]);
      expect(validate(JSON.parse(JSON.stringify(output)))).toEqual([]);
    }
  });

  it("refuses anything missing, added or of another version", () => {
    const [first] = outputs[name];
    if (typeof first !== "object" || first === null) throw new Error("there is an output");
    for (const key of Object.keys(first)) expect(validate({ ...first, [key]: undefined }), key).not.toEqual([]);
    expect(validate({ ...first, surplus: 1 })).not.toEqual([]);
    expect(validate({ ...first, format_version: 2 })).not.toEqual([]);
    expect(validate({ ...first, format: "homeleg-result" })).not.toEqual([]);
  });
});

it("drifts from no type", () => {
  expect([ADVICE_MATCHES, FIT_MATCHES, REHEARSAL_MATCHES, SIGNOFF_MATCHES, SITE_INSPECTION_MATCHES]).toEqual(
    Array(5).fill(true),
  );
});
