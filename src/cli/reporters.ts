import {
  findingsCsv,
  flightGeometry,
  flightsCsv,
  geojsonReport,
  type GateOptions,
  jsonReport,
  junitReport,
  type LogAudit,
  markdownReport,
  ndjsonReport,
  type RunResult,
  textReport,
  type TextOptions,
} from "../index.js";

/** What the command line knows when a report is made. */
export interface ReportContext {
  /** The look of text; colour and width are those of where it goes. */
  readonly look: TextOptions;
  readonly gate: GateOptions["gate"];
}

/** Files of a report by name, the principal one first. */
export type ReportFiles = ReadonlyMap<string, string>;

/** One report in the making. */
export interface ReportInProgress {
  /** Takes each log as it is audited; what it does not keep of the moments is free again. */
  readonly add: (audit: LogAudit) => void;
  readonly finish: (run: RunResult, context: ReportContext) => ReportFiles;
}

/** A format of `audit`. */
export interface Reporter {
  /** What `--format` calls it. */
  readonly id: string;
  /** Of its principal file, in a folder. */
  readonly fileName: string;
  /** Other files of which the names are known, in a folder. */
  readonly others?: readonly string[];
  /** True: its files belong together, so that several of them want a folder. Else the principal one stands alone. */
  readonly isOneWork?: boolean;
  readonly begin: () => ReportInProgress;
}

/** A report of the result alone. */
function ofRun(
  fileName: string,
  render: (run: RunResult, context: ReportContext) => string,
): Pick<Reporter, "fileName" | "begin"> {
  return {
    fileName,
    begin: () => ({ add: () => undefined, finish: (run, context) => new Map([[fileName, render(run, context)]]) }),
  };
}

/** A report that also needs moments: `keep` takes from each log what `render` will want. */
function ofAudits<Kept>(
  fileName: string,
  keep: (audit: LogAudit) => Kept,
  render: (kept: readonly Kept[], run: RunResult, context: ReportContext) => string | ReportFiles,
): Pick<Reporter, "fileName" | "begin"> {
  return {
    fileName,
    begin: () => {
      const kept: Kept[] = [];
      return {
        add: (audit) => void kept.push(keep(audit)),
        finish: (run, context) => {
          const report = render(kept, run, context);
          return typeof report === "string" ? new Map([[fileName, report]]) : report;
        },
      };
    },
  };
}

/** Every format of `audit`, in the order of help. A new one is one line here. */
export const REPORTERS: readonly Reporter[] = [
  { id: "text", ...ofRun("report.txt", (run, { look }) => textReport(run, look)) },
  { id: "json", ...ofRun("result.json", jsonReport) },
  { id: "ndjson", ...ofRun("result.ndjson", ({ logs }) => ndjsonReport(logs)) },
  {
    id: "csv",
    fileName: "flights.csv",
    others: ["findings.csv"],
    begin: () => ({
      add: () => undefined,
      finish: (run) =>
        new Map([
          ["flights.csv", flightsCsv(run)],
          ["findings.csv", findingsCsv(run)],
        ]),
    }),
  },
  { id: "junit", ...ofRun("junit.xml", (run, { gate }) => junitReport(run, { gate })) },
  { id: "geojson", ...ofAudits("flights.geojson", mapped, geojsonReport) },
  // Made log by log: see `HtmlPages`.
  { id: "html", fileName: "index.html", begin: () => ({ add: () => undefined, finish: () => new Map() }) },
  { id: "markdown", ...ofRun("record.md", (run, { look }) => markdownReport(run, look)) },
];

function mapped({ result, flights }: LogAudit): Parameters<typeof geojsonReport>[0][number] {
  return { result, geometries: flights.map(flightGeometry) };
}
