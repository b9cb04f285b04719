// One case of the fuzzer: files made from a seed and a number, read and reported in every way, and checked.
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import * as homeleg from "../../../dist/index.js";
import { REPORTERS } from "../../../dist/cli/reporters.js";
import { randomOf } from "../random-csv.mjs";
import { readLog } from "../../../dist/parsers/read-log.js";
import { checkError, checkProblems, checkRun, checkText, checkTrack, checkValues, checkXml, Fault } from "./check.mjs";
import { corrupt, pick } from "./mutate.mjs";
import { SEEDS } from "./seeds.mjs";

const TARGETS = ["log", "log", "log", "log", "settings", "settings", "site", "site", "site"];
const WORK = ["audit", "audit", "audit", "audit", "inspect", "fit", "rehearse", "advise", "signoff"];
/** Of the audits; pages are what costs the most. */
const PAGES_SHARE = 0.2;
const LOOK = { color: 0, ascii: false, width: 80, units: "metric", quiet: false, explainScore: false };

/**
 * @param wholeShare of the cases that go through the whole program; the others end with what the parsers made
 * @returns the files of a case, and what is done with them
 */
export function caseOf(seed, number, wholeShare) {
  const random = randomOf(Math.imul(seed, 0x9e3779b1) ^ Math.imul(number + 1, 0x85ebca6b));
  for (let k = 0; k < 4; k += 1) random();
  const target = pick(TARGETS, random);
  let [name, log] = pick(SEEDS.logs, random);
  if (target !== "log") [name, log] = SEEDS.logs[SEEDS.logs.length - 3 - Math.floor(random() * 40)];
  let settings = pick(SEEDS.settings, random);
  const site = new Map(Object.entries(SEEDS.site).map(([file, [, bytes]]) => [file, bytes]));
  let corrupted = name;
  if (target === "log") log = corrupt(log, name.endsWith(".gz") ? "binary" : "text", random);
  if (target === "settings") settings = corrupt(settings, "text", random);
  if (target === "site") {
    const named = [...site.keys()].filter((file) => settings.includes(file));
    corrupted = named.length === 0 ? "hill.asc" : pick(named, random);
    const [kind, bytes] = SEEDS.site[corrupted];
    // Of a packed file the heights count too, but a damaged stream is soon told.
    site.set(corrupted, corrupt(bytes, kind, random));
  }
  const work = random() < wholeShare ? pick(WORK, random) : "parse";
  const hasPages = random() < PAGES_SHARE;
  const look = { ...LOOK, ascii: random() < 0.2, units: pick(["metric", "imperial"], random), quiet: random() < 0.1 };
  return {
    name,
    log,
    settings,
    site,
    target,
    work,
    hasPages,
    look,
    what: `${work}, ${target === "settings" ? target : corrupted}`,
  };
}

/** Reads and reports cases in a folder of its own, which `close` removes. */
export class Runner {
  #folder = mkdtempSync(join(tmpdir(), "homeleg-fuzz-"));
  #written = new Map();

  close() {
    rmSync(this.#folder, { recursive: true, force: true });
  }

  #write(files) {
    for (const [name, bytes] of files) {
      if (this.#written.get(name) === bytes) continue;
      writeFileSync(join(this.#folder, name), bytes);
      this.#written.set(name, bytes);
    }
  }

  /**
   * @returns "refused" where the files were refused with a line, else "read"
   * @throws Fault, or whatever the program threw that is no message for people
   */
  async run(made) {
    try {
      if (made.work === "parse" && made.target === "log") {
        checkTrack((await readLog([made.log], { path: made.name })).track);
        return "read";
      }
      this.#write([["homeleg.yaml", made.settings], ...made.site]);
      const setting = await homeleg.loadSetting({
        configPath: "homeleg.yaml",
        cwd: this.#folder,
        units: made.look.units,
      });
      await DO[made.work](made, setting, [made.log, made.settings, ...made.site.values()]);
      return "read";
    } catch (error) {
      if (!(error instanceof homeleg.UserError)) throw error;
      checkError(error);
      return "refused";
    }
  }
}

const DO = { parse, audit, inspect, fit, rehearse, advise, signoff };

async function parse(_made, setting) {
  checkValues((await setting.site.summaries({ countVoids: true })).map((file) => ({ ...file })));
  checkProblems(setting.problems);
}

async function audited({ log, name }, setting, options = {}) {
  const read = await homeleg.auditLog(log, setting, { path: name, ...options });
  for (const [rule, error] of read.crashes) throw new Fault(`the rule ${rule} crashed: ${error?.stack ?? error}`);
  return read;
}

function runOf(logs, setting) {
  const config = setting.config.files.map(({ path, sha256 }) => ({ path, sha256 }));
  const summary = homeleg.summarize(logs, {});
  return { format: "homeleg-result", format_version: 1, tool_version: "0.0.0", config, logs, summary };
}

async function audit(made, setting, inputs) {
  const read = await audited(made, setting);
  const run = runOf([read.result], setting);
  checkRun(run);
  const options = { units: made.look.units, toolVersion: "0.0.0", pageIndex: "index.html" };
  for (const { id, take, render } of REPORTERS) {
    if (id === "html" && !made.hasPages) continue;
    const part = await take?.(read, options);
    if (id === "html") checkText("page.html", part, inputs);
    for (const [name, pieces] of render(run, { look: made.look, gate: "fail" }, [part])) {
      const text = typeof pieces === "string" ? pieces : [...pieces].join("");
      checkText(name, text, inputs);
      if (name.endsWith("xml")) checkXml(name, text);
      if (name.endsWith("json")) checkJson(name, text);
    }
  }
  if (made.hasPages) checkText("index.html", await homeleg.htmlIndex(run, ["page.html"], options), inputs);
  const { rows } = homeleg.momentsTable(made.name, read.flights);
  for (const row of rows) checkValues([...row]);
}

function checkJson(name, text) {
  if (name.endsWith("ndjson")) for (const line of text.trimEnd().split("\n")) checkValues(JSON.parse(line));
  else checkValues(JSON.parse(text));
}

async function inspect(made, setting, inputs) {
  const inspection = await homeleg.inspectLog(made.log, setting, { path: made.name });
  checkValues(inspection);
  checkText("inspection", homeleg.inspectionReport([inspection], made.look), inputs);
  if (inspection.parser !== null) checkText("homeleg.yaml", homeleg.starterConfig(inspection), inputs);
  const site = await homeleg.inspectSite(setting, [await audited(made, setting)]);
  checkValues(site);
  checkText("site", homeleg.siteReport(site, made.look), inputs);
}

async function fit(made, setting, inputs) {
  const logs = [await homeleg.readFitLog(made.log, setting, { path: made.name })];
  const [, other] = SEEDS.logs.at(-3);
  logs.push(await homeleg.readFitLog(other, setting, { path: "other.csv" }));
  const result = homeleg.fitAircraft(logs, { check: true });
  checkValues(result);
  checkText("fit", homeleg.fitReport(result, made.look), inputs);
  if (result.drain === null) return;
  const declared = homeleg.sharedAircraft([setting]);
  checkText("aircraft.yaml", homeleg.aircraftYaml(result, { toolVersion: "0.0.0", declared }), inputs);
}

async function rehearse(made, setting, inputs) {
  const rehearsal = await homeleg.rehearse(made.log, setting, { path: made.name, at: "1:30" });
  checkValues(rehearsal);
  checkText("rehearsal", homeleg.rehearsalText(rehearsal, made.look), inputs);
  checkText("rehearsal.html", await homeleg.rehearsalHtml(rehearsal, made.look), inputs);
  const svg = await homeleg.rehearsalSvg(rehearsal, made.look);
  checkText("rehearsal.svg", svg, inputs);
  checkXml("rehearsal.svg", svg);
}

async function advise(made, setting, inputs) {
  const read = await audited(made, setting, { around_m: 300 });
  if (read.flights.length === 0) return;
  const advice = homeleg.adviseSite([read], { radius_m: 300 });
  checkValues(advice);
  checkText("advice", homeleg.adviseReport(advice, made.look), inputs);
}

async function signoff(made, setting, inputs) {
  const { result } = await audited(made, setting);
  const notes = {
    asOf: "2025-06-01",
    trainee: "A",
    instructor: "B",
    remark: undefined,
    sets: [],
    toolVersion: "0.0.0",
  };
  const record = homeleg.signOff([result], setting, { ...notes, files: [] });
  checkValues(record);
  checkText("sign-off", homeleg.signoffText(record, made.look), inputs);
}
