import { parse } from "csv-parse/sync";
import { SaxesParser } from "saxes";
import { beforeAll, describe, expect, it } from "vitest";
import { REPORTERS } from "../../src/cli/reporters.js";
import {
  auditLog,
  htmlSignoff,
  inspectionReport,
  inspectLog,
  type LogAudit,
  loadSetting,
  momentsTable,
  rehearsalHtml,
  rehearsalSvg,
  rehearsalText,
  rehearse,
  type Setting,
  signOff,
  signoffMarkdown,
  signoffText,
  starterConfig,
  UserError,
} from "../../src/index.js";
import { csvLine } from "../../src/reporters/escape/csv-cell.js";
import { LATE } from "../helpers/run.js";
import { csvOf } from "../helpers/csv.js";
import { FORMULA, HOSTILE, UNSAFE } from "../helpers/hostile.js";
import { runOf } from "../helpers/run.js";

const LOOK = { color: 0, ascii: false, width: 80, units: "metric", quiet: false, explainScore: true } as const;
/** What a sender decides: names of the file and of columns, words in cells, what cannot be read. */
const PATH = `${FORMULA}.csv`;
const quoted = (text: string): string => `"${text.replaceAll('"', '""')}"`;

function hostileLog(): Uint8Array {
  const [head = "", ...rows] = csvOf(LATE).trimEnd().split("\n");
  const bad = [HOSTILE, FORMULA, "=1+1", "@SUM(1)"];
  const lines = rows.map((row, k) => `${row},${quoted(k % 50 === 0 ? HOSTILE : "manual")},${quoted(bad[k % 4] ?? "")}`);
  return Buffer.from([`${head},mode,${quoted(FORMULA)}`, ...lines, quoted(HOSTILE)].join("\n"));
}

let setting: Setting;
let audit: LogAudit;
/** Every text that the program makes of it, by name. */
const texts = new Map<string, string>();

beforeAll(async () => {
  setting = await loadSetting({ sets: [`aircraft.name=${quoted("<b>=1")}`, "settings.recovery_height=50"] });
  const log = hostileLog();
  audit = await auditLog(log, setting, { path: PATH });
  const run = runOf([audit.result]);
  for (const { id, take, render } of REPORTERS) {
    const part = await take?.(audit, { units: "metric", toolVersion: "0", pageIndex: "index.html" });
    if (id === "html") texts.set("page.html", String(part));
    for (const [name, pieces] of render(run, { look: LOOK, gate: "fail" }, [part])) {
      texts.set(name, typeof pieces === "string" ? pieces : [...pieces].join(""));
    }
  }
  const moments = momentsTable(PATH, audit.flights);
  texts.set("moments.csv", Array.from(moments.rows, (row) => csvLine([...row])).join(""));
  const inspection = await inspectLog(log, setting, { path: PATH });
  texts.set("inspection.txt", inspectionReport([inspection], LOOK));
  texts.set("homeleg.yaml", starterConfig(inspection));
  const rehearsal = await rehearse(log, setting, { path: PATH, at: "200" });
  texts.set("rehearsal.txt", rehearsalText(rehearsal, LOOK));
  texts.set("rehearsal.html", await rehearsalHtml(rehearsal, LOOK));
  texts.set("rehearsal.svg", await rehearsalSvg(rehearsal, LOOK));
  const notes = { asOf: "2025-06-01", instructor: FORMULA, remark: undefined, sets: [], toolVersion: "0", files: [] };
  const record = signOff([audit.result], setting, { ...notes, trainee: HOSTILE });
  texts.set("signoff.txt", signoffText(record, LOOK));
  texts.set("signoff.md", signoffMarkdown(record));
  texts.set("signoff.html", await htmlSignoff(record));
});

describe("a log that would rather be run than read", () => {
  it("is read, and gets into the texts", () => {
    expect(audit.result.flights).toHaveLength(1);
    expect([...texts.keys()].length).toBeGreaterThan(14);
    for (const name of ["report.txt", "page.html", "junit.xml", "flights.csv", "rehearsal.html"]) {
      expect(texts.get(name), name).toMatch(/HYPERLINK/);
    }
  });

  it("moves no cursor, hides nothing and turns nothing round", () => {
    for (const [name, text] of texts) expect(UNSAFE.exec(text.replaceAll("\r\n", "\n")), name).toBeNull();
  });

  it("is no formula in any cell", () => {
    for (const name of ["flights.csv", "findings.csv", "moments.csv"]) {
      const rows: string[][] = parse(texts.get(name) ?? "", { relax_column_count: true });
      const cells = rows.flat().filter((cell) => !/^-?[\d.]+(e[+-]\d+)?$/.test(cell));
      expect(cells.length, name).toBeGreaterThan(10);
      expect(
        cells.filter((cell) => /^\s*[=+\-@]/.test(cell)),
        name,
      ).toEqual([]);
    }
  });

  it("opens no element, in no page, picture or XML", () => {
    for (const name of ["page.html", "rehearsal.html", "signoff.html", "rehearsal.svg", "junit.xml"]) {
      const text = texts.get(name) ?? "";
      expect(text, name).not.toMatch(/<script>alert|<img|onerror="|javascript:1[^)]/);
    }
    for (const name of ["rehearsal.svg", "junit.xml"]) {
      const parser = new SaxesParser({});
      parser.on("error", (error) => {
        throw error;
      });
      parser.write(texts.get(name) ?? "").close();
    }
  });

  it("is no link, image or HTML in Markdown", () => {
    for (const name of ["record.md", "signoff.md"]) {
      const text = texts.get(name) ?? "";
      expect(text, name).toMatch(/HYPERLINK/);
      expect(text, name).not.toMatch(/<script|<img|[^\\]\]\(|[^\\]!\[/);
    }
  });

  it("adds no key to a homeleg.yaml that is made of it", () => {
    const keys = (texts.get("homeleg.yaml") ?? "").split("\n").filter((line) => line !== "" && !/^\s*#/.test(line));
    expect(keys).toEqual([]);
  });

  it("comes through JSON as it was written", () => {
    const { logs } = JSON.parse(texts.get("result.json") ?? "") as { logs: { path: string }[] };
    expect(logs[0]?.path).toBe(PATH);
  });
});

it("an error line is one line, whatever a name in it holds", async () => {
  const { printError } = await import("../../src/cli/print-error.js");
  const written: string[] = [];
  const write = process.stderr.write.bind(process.stderr);
  process.stderr.write = (text) => written.push(String(text)) > 0;
  printError(new UserError("test", `The file ${HOSTILE.replaceAll("\n", "")} cannot be read.`));
  process.stderr.write = write;
  expect(written).toHaveLength(1);
  expect(written[0]?.slice(0, -1)).not.toMatch(UNSAFE);
});
