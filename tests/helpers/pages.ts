import { readFile } from "node:fs/promises";
import { auditLog, htmlPage, loadSetting, type LogAudit, type Setting } from "../../src/index.js";

/** The demo's logs. */
export const DEMO = {
  clean: "fixtures/demo/1-clean-survey.csv",
  walked: "fixtures/demo/2-walked-away.csv",
  ridge: "fixtures/demo/3-behind-the-ridge.csv",
  late: "fixtures/demo/4-late-into-wind.csv",
  bare: "fixtures/demo/5-bare-track.gpx",
} as const;

/** A log audited, and its page. */
export interface Shown {
  readonly audit: LogAudit;
  readonly page: string;
}

const made = new Map<string, Promise<Shown>>();

/** @returns a log of the demo with its page; each is made once a test file */
export async function shown(path: string, units: "metric" | "imperial" = "metric"): Promise<Shown> {
  const key = `${units} ${path}`;
  const known = made.get(key) ?? make(path, units);
  made.set(key, known);
  return known;
}

async function make(path: string, units: "metric" | "imperial"): Promise<Shown> {
  return shownWith(await readFile(path), await loadSetting({ startFolder: "fixtures/demo", units }), units, path);
}

/** @returns a log under a setting with its page */
export async function shownWith(
  bytes: Uint8Array,
  setting: Setting,
  units: "metric" | "imperial",
  name: string,
): Promise<Shown> {
  const audit = await auditLog(bytes, setting, { path: name });
  return { audit, page: await htmlPage(audit, { units, toolVersion: "0.0.0" }) };
}

/** @returns text of a page with its entities read back */
export function unescaped(text: string): string {
  return text
    .replaceAll("&lt;", "<")
    .replaceAll("&gt;", ">")
    .replaceAll("&quot;", '"')
    .replaceAll("&#39;", "'")
    .replaceAll("&#96;", "`")
    .replaceAll("&amp;", "&");
}

/** @returns the value that a JSON pointer points at (RFC 6901) */
export function pointedAt(root: unknown, pointer: string): unknown {
  return pointer
    .split("/")
    .slice(1)
    .map((step) => step.replaceAll("~1", "/").replaceAll("~0", "~"))
    .reduce<unknown>((value, step) => (value as Record<string, unknown> | undefined)?.[step], root);
}

/** What a hostile log or site file would carry, of every kind. */
export const HOSTILE = [
  `<script>window.harmed=1</script>`,
  `"><img src=x onerror="window.harmed=1">`,
  `'><svg onload='window.harmed=1'>`,
  `</title></style></script><script>window.harmed=1</script>`,
  "`${window.harmed=1}`",
  `&lt;b&gt; &amp; &#x3c;`,
  `]]><!-- --><?x ?>`,
  `javascript:window.harmed=1`,
  `\u202Egpj.exe\u202C \u2066a\u2069 \u200F \u061C`,
  `bell\u0007 null\u0000 escape\u001b[31m del\u007f c1\u0085 tab\t line\r\nend`,
  `\u2028\u2029\ufeff\ufffe \ud800 lone`,
  `=HYPERLINK("http://example.org")`,
];
