import {
  type AuditToShow,
  findingsCsv,
  type FlightGeometry,
  flightGeometry,
  flightsCsv,
  geojsonReport,
  type GateOptions,
  htmlPage,
  jsonPieces,
  junitReport,
  markdownReport,
  ndjsonPieces,
  type RunResult,
  textReport,
  type TextOptions,
} from "../index.js";
import type { Placed, ReportFiles, ReportText } from "./output.js";

/** What the command line knows when a report is made. */
export interface ReportContext {
  /** The look of text; colour and width are those of where it goes. */
  readonly look: TextOptions;
  readonly gate: GateOptions["gate"];
}

/** What the parts of a report are made with: plain data, for another thread too. */
export interface TakeOptions {
  readonly units: "metric" | "imperial";
  readonly toolVersion: string;
  /** File name of the index that pages link back to; undefined for a page that stands alone. */
  readonly pageIndex?: string | undefined;
}

/** A format of `audit`. */
export interface Reporter extends Placed {
  /** What it needs of a log's moments, as plain data, made while they are there; what it does not take is free again. */
  readonly take?: (audit: AuditToShow, options: TakeOptions) => unknown;
  /** @param parts what was taken from each log of `run.logs` */
  readonly render: (run: RunResult, context: ReportContext, parts: readonly unknown[]) => ReportFiles;
}

/** A report of the result alone, in one file. */
function ofRun(
  fileName: string,
  render: (run: RunResult, context: ReportContext) => ReportText,
): Pick<Reporter, "fileName" | "render"> {
  return { fileName, render: (run, context) => new Map([[fileName, render(run, context)]]) };
}

/** Every format of `audit`, in the order of help. A new one is one line here. */
export const REPORTERS: readonly Reporter[] = [
  { id: "text", ...ofRun("report.txt", (run, { look }) => textReport(run, look)) },
  { id: "json", ...ofRun("result.json", jsonPieces) },
  { id: "ndjson", ...ofRun("result.ndjson", ({ logs }) => ndjsonPieces(logs)) },
  {
    id: "csv",
    fileName: "flights.csv",
    others: ["findings.csv"],
    render: (run) =>
      new Map([
        ["flights.csv", flightsCsv(run)],
        ["findings.csv", findingsCsv(run)],
      ]),
  },
  { id: "junit", ...ofRun("junit.xml", (run, { gate }) => junitReport(run, { gate })) },
  {
    id: "geojson",
    fileName: "flights.geojson",
    take: ({ flights }) => flights.map(flightGeometry),
    render: ({ logs }, _context, parts) =>
      new Map([
        ["flights.geojson", geojsonReport(logs.map((result, i) => ({ result, geometries: geometriesOf(parts[i]) })))],
      ]),
  },
  {
    id: "html",
    fileName: "index.html",
    take: (audit, { pageIndex, ...look }) => htmlPage(audit, look, pageIndex),
    // Written log by log: see `HtmlPages`.
    render: () => new Map(),
  },
  { id: "markdown", ...ofRun("record.md", (run, { look }) => markdownReport(run, look)) },
];

/** `take` of the geojson reporter made it. */
function geometriesOf(part: unknown): readonly FlightGeometry[] {
  return part as readonly FlightGeometry[];
}
