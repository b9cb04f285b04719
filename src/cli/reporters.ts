import {
  type AuditToShow,
  findingsCsvPieces,
  type FlightGeometry,
  flightGeometry,
  flightsCsvPieces,
  geojsonPieces,
  type GateOptions,
  htmlPage,
  jsonPieces,
  junitPieces,
  type MappedLog,
  markdownPieces,
  ndjsonPieces,
  type RunToReport,
  textPieces,
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
  readonly render: (run: RunToReport, context: ReportContext, parts: Iterable<unknown>) => ReportFiles;
}

/** A report of the result alone, in one file. */
function ofRun(
  fileName: string,
  render: (run: RunToReport, context: ReportContext) => ReportText,
): Pick<Reporter, "fileName" | "render"> {
  return { fileName, render: (run, context) => new Map([[fileName, render(run, context)]]) };
}

/** Every format of `audit`, in the order of help. A new one is one line here. */
export const REPORTERS: readonly Reporter[] = [
  { id: "text", ...ofRun("report.txt", (run, { look }) => textPieces(run, look)) },
  { id: "json", ...ofRun("result.json", jsonPieces) },
  { id: "ndjson", ...ofRun("result.ndjson", ({ logs }) => ndjsonPieces(logs)) },
  {
    id: "csv",
    fileName: "flights.csv",
    others: ["findings.csv"],
    render: (run) =>
      new Map([
        ["flights.csv", flightsCsvPieces(run)],
        ["findings.csv", findingsCsvPieces(run)],
      ]),
  },
  { id: "junit", ...ofRun("junit.xml", (run, { gate }) => junitPieces(run, { gate })) },
  {
    id: "geojson",
    fileName: "flights.geojson",
    take: ({ flights }) => flights.map(flightGeometry),
    render: ({ logs }, _context, parts) => new Map([["flights.geojson", geojsonPieces(mapped(logs, parts))]]),
  },
  {
    id: "html",
    fileName: "index.html",
    take: (audit, { pageIndex, ...look }) => htmlPage(audit, look, pageIndex),
    // Written log by log: see `HtmlPages`.
    render: () => new Map(),
  },
  { id: "markdown", ...ofRun("record.md", (run, { look }) => markdownPieces(run, look)) },
];

function* mapped(logs: RunToReport["logs"], parts: Iterable<unknown>): Generator<MappedLog> {
  const results = logs[Symbol.iterator]();
  for (const part of parts) {
    const { value: result, done } = results.next();
    // `take` of the geojson reporter made the part.
    if (done !== true) yield { result, geometries: part as readonly FlightGeometry[] };
  }
}
