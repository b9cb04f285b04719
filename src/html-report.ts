import { createHash } from "node:crypto";
import { flightPicture } from "./pictures/flight-picture.js";
import { pageNamer } from "./reporters/html/page-names.js";
import type { FlightAudit } from "./score/flight-result.js";
import type { RehearsalResult } from "./score/rehearsal-result.js";
import type { SignoffRecord } from "./score/signoff-record.js";
import type { LogResult, RunResult, RunToReport } from "./score/result.js";

/** How pages are to look. */
export interface HtmlReportOptions {
  /** Of lengths and speeds for people; `data` elements hold SI whatever this says. */
  readonly units?: "metric" | "imperial";
  readonly toolVersion?: string;
}

/** What a page is made from: an audit of `auditLog`, or the result alone of a log that could not be read. */
export interface AuditToShow {
  readonly result: LogResult;
  readonly flights: readonly FlightAudit[];
}

const given = ({ units = "metric", toolVersion = "" }: HtmlReportOptions) => ({
  units,
  toolVersion,
  sha256: (text: string) => createHash("sha256").update(text).digest("base64"),
});

/**
 * One log as a page: one file that loads nothing, readable without script. What draws it is loaded only now, so that a
 * text report never pays for it.
 * @param indexName file name of an index beside it, to link back to
 */
export async function htmlPage(
  { result, flights }: AuditToShow,
  options: HtmlReportOptions = {},
  indexName?: string,
): Promise<string> {
  const { logPage } = await import("./reporters/html/log-page.js");
  return logPage(result, flights.map(flightPicture), given(options), indexName);
}

/** The index of a folder of pages; `names` are the file names of the pages of `run.logs`, in that order. */
export async function htmlIndex(
  run: RunToReport,
  names: readonly string[],
  options: HtmlReportOptions = {},
): Promise<string> {
  const { indexPage } = await import("./reporters/html/index-page.js");
  return indexPage(run, names, given(options));
}

/** One recovery as a page of its own. */
export async function rehearsalHtml(rehearsal: RehearsalResult, options: HtmlReportOptions = {}): Promise<string> {
  const { rehearsalPage } = await import("./reporters/html/rehearsal-page.js");
  return rehearsalPage(rehearsal, given(options));
}

/** One recovery from the side as an SVG file, light or dark as the reader's screen is. */
export async function rehearsalSvg(
  rehearsal: RehearsalResult,
  options: Pick<HtmlReportOptions, "units"> = {},
): Promise<string> {
  const { rehearsalDrawing } = await import("./reporters/html/rehearsal-page.js");
  return rehearsalDrawing(rehearsal, given(options));
}

/** A sign-off as a page of its own, to print and to sign. */
export async function htmlSignoff(record: SignoffRecord): Promise<string> {
  const { signoffPage } = await import("./reporters/html/signoff-page.js");
  return signoffPage(record, given({}));
}

/**
 * A whole run as pages, for runs that fit in memory; the command line writes each page as soon as it is made.
 * @param audits of `run.logs`, in that order
 * @returns text by file name: `index.html`, and a page for each log
 */
export async function htmlReport(
  run: RunResult,
  audits: readonly AuditToShow[],
  options: HtmlReportOptions = {},
): Promise<Map<string, string>> {
  const nameOf = pageNamer();
  const names = audits.map(({ result }) => nameOf(result.path));
  const pages = new Map([["index.html", await htmlIndex(run, names, options)]]);
  for (const [i, audit] of audits.entries()) pages.set(names[i] ?? "", await htmlPage(audit, options, "index.html"));
  return pages;
}
