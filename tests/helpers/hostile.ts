import type { LogResult } from "../../src/index.js";

/** Text as a bad log or site file could carry it: HTML, script, quotes, Markdown, controls, bidirectional controls. */
export const HOSTILE =
  `<script>alert(1)</script><img src=x onerror="a()"> & 'q' ]]> \u202Eabc\u2066 \u001b[31m\u0007 | [x](javascript:1) ` +
  "`c` \\ https://a.example www.a.example\r\n# h\u0000\uFFFF\uD800";

/** The same, as a spreadsheet would run it. */
export const FORMULA = `=HYPERLINK("https://a.example","${HOSTILE}")`;

/** Characters that must never come through as they are, in any format. */
export const UNSAFE =
  // oxlint-disable-next-line no-control-regex
  /[\u0000-\u0009\u000b\u000c\u000e-\u001f\u007f-\u009f\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/u;

/** @returns the log with hostile text wherever text of a log, a site or a settings file can get into a result */
export function hostileLog(log: LogResult): LogResult {
  return {
    ...log,
    path: FORMULA,
    channels: { battery: { source: HOSTILE, unit: "%", filled_share: 1 } },
    problems: [{ severity: "warning", code: "test", message: HOSTILE, line: 3 }],
    flights: log.flights.map((flight) => ({
      ...flight,
      inputs: { ...flight.inputs, operator: { value: HOSTILE, unit: "", basis: "declared", from: HOSTILE } },
      findings: flight.findings.map((finding) => ({ ...finding, message: HOSTILE, advice: FORMULA })),
      not_assessed: [{ rule: "fix-weak", missing: [HOSTILE], share: 1 }],
      coverage_hints: [HOSTILE],
    })),
  };
}
