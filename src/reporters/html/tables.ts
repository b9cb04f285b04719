import { clock } from "../../rules/say.js";
import type { Finding, LogResult } from "../../score/result.js";
import { withoutFolders } from "../without-folders.js";
import { Markup, markup, type Part } from "./markup.js";
import { datum, pointerStep, quantity } from "./quantity.js";
import type { GivenSheet, Sheet } from "./sheet.js";

/**
 * @param heads of the columns; one that begins with `<` stands over prose, to the left
 * @returns a table that can be scrolled where the page is narrower than it
 */
export function table(label: string, heads: readonly string[], rows: readonly Part[]): Markup {
  return markup`<div class="wide" tabindex="0" role="group" aria-label="${label}"><table><thead><tr>${heads.map((head) => (head.startsWith("<") ? markup`<th scope="col" class="prose">${head.slice(1)}</th>` : markup`<th scope="col">${head}</th>`))}</tr></thead><tbody>${rows}</tbody></table></div>`;
}

/** @returns all findings of a flight as a table */
export function findingsTable(sheet: Sheet): Markup {
  const { flight, pointer, say } = sheet;
  if (flight.findings.length === 0) return markup`<p class="none">No findings.</p>`;
  const rows = flight.findings.map((finding, i) => {
    const at = `${pointer}/findings/${i}`;
    const { worst } = finding;
    return markup`<tr data-at="${worst.at_s}"><th scope="row">${finding.rule}</th><td><span class="verdictword ${finding.verdict}">${finding.verdict}</span>${finding.by_assumption_alone ? " ?" : ""}</td><td>${datum(`${at}/start_s`, finding.start_s, clock(finding.start_s))}</td><td>${datum(`${at}/end_s`, finding.end_s, clock(finding.end_s))}</td><td>${datum(`${at}/duration_s`, finding.duration_s, say.duration(finding.duration_s))}</td><td>${datum(`${at}/worst/at_s`, worst.at_s, clock(worst.at_s))}</td><td>${bounded(sheet, finding, at, "value")}</td><td>${bounded(sheet, finding, at, "limit")}</td><td>${finding.decided_by}</td></tr>`;
  });
  return table(
    "Findings",
    ["Rule", "Verdict", "From", "To", "Lasts", "Worst at", "Value", "Limit", "Decided by"],
    rows,
  );
}

/** Value and limit of a finding, with as many decimals as keep the two apart. */
function bounded({ say }: Sheet, { worst }: Finding, at: string, which: "value" | "limit"): Markup {
  const kinds = { m: "length", "m/s": "speed", "%": "percent" } as const;
  const value = worst[which];
  if (value === null) return datum(`${at}/worst/${which}`, value, "–");
  const kind = kinds[worst.unit as keyof typeof kinds];
  if (kind === undefined) return datum(`${at}/worst/${which}`, value, quantity(value, worst.unit, say));
  const pair = say.beside(kind, worst.value ?? Number.NaN, worst.limit ?? Number.NaN);
  return datum(
    `${at}/worst/${which}`,
    value,
    worst.value === null || worst.limit === null ? quantity(value, worst.unit, say) : pair[which === "value" ? 0 : 1],
  );
}

/** @returns everything that was taken as given, with where it came from */
export function givenTable({ flight, pointer, say }: GivenSheet): Markup {
  const rows = Object.entries(flight.inputs).map(
    ([path, { value, unit, basis, from }]) =>
      markup`<tr class="${basis}"><th scope="row">${path}</th><td>${datum(`${pointer}/inputs/${pointerStep(path)}/value`, value, quantity(value, unit, say))}</td><td>${basis}</td><td class="prose">${withoutFolders(from)}</td></tr>`,
  );
  const drains = (["drain", "drain_fitted"] as const).flatMap((name) => {
    const drain = flight[name];
    if (drain === null) return [];
    const rate = (
      key: "hover_pct_per_min" | "climb_pct_per_min" | "cruise_pct_per_min" | "descent_pct_per_min",
    ): Markup => datum(`${pointer}/${name}/${key}`, drain[key], drain[key].toFixed(2));
    const from =
      name === "drain"
        ? markup`% a minute at the hover, climb, cruise, descent; spread ${datum(`${pointer}/${name}/spread_pct`, drain.spread_pct, String(drain.spread_pct))} %`
        : markup`what this flight used, for comparison`;
    return [
      markup`<tr class="${drain.basis}"><th scope="row">${name === "drain" ? "drain" : "drain flown"}</th><td>${rate("hover_pct_per_min")} / ${rate("climb_pct_per_min")} / ${rate("cruise_pct_per_min")} / ${rate("descent_pct_per_min")}</td><td>${drain.basis}</td><td class="prose">${from}</td></tr>`,
    ];
  });
  const sensing = markup`<tr><th scope="row">obstacle sensing</th><td>not counted on</td><td>–</td><td class="prose">a recovery is judged as if there were none</td></tr>`;
  return table("Taken as given", ["Input", "Value", "Basis", "<From"], [...rows, ...drains, sensing]);
}

/** @returns what could not be assessed, and what to add */
export function notAssessedTable({ flight, pointer }: Sheet): Markup {
  if (flight.not_assessed.length === 0) return markup`<p class="none">Every question that arose was answered.</p>`;
  const rows = flight.not_assessed.map(({ rule, missing, share }, i) => {
    const text = share < 0.01 ? "under 1 %" : `${Math.round(share * 100)} %`;
    return markup`<tr><th scope="row">${rule}</th><td>${datum(`${pointer}/not_assessed/${i}/share`, share, text)}</td><td class="prose">${missing.join("; ")}</td></tr>`;
  });
  const hints =
    flight.coverage_hints.length === 0
      ? undefined
      : markup`<p>These lines in homeleg.yaml would lift the coverage the most:</p><pre>${flight.coverage_hints.map((line, i) => [i > 0 ? new Markup("\n") : undefined, line])}</pre>`;
  return markup`${table("Could not be assessed", ["Rule", "Of the time", "<What is missing"], rows)}${hints}`;
}

/** @returns what is worth knowing about the log itself */
export function logNotes({
  problems,
  parser,
  rows,
  rows_rejected,
  bytes,
  sha256,
  declared_not_used,
}: LogResult): Markup {
  const notes = problems.map(
    ({ severity, message, line }) =>
      markup`<li><b>${severity}</b>${line === null ? "" : ` line ${line}`}: ${message}</li>`,
  );
  const unused =
    declared_not_used.length === 0
      ? undefined
      : markup`<p>Declared, not used yet: ${declared_not_used.join(", ")}.</p>`;
  return markup`<dl class="facts"><div><dt>Read as</dt><dd>${parser ?? "not read"}</dd></div><div><dt>Rows</dt><dd>${datum("/rows", rows, String(rows))}${rows_rejected > 0 ? markup`, ${datum("/rows_rejected", rows_rejected, String(rows_rejected))} rejected` : undefined}</dd></div><div><dt>Bytes</dt><dd>${datum("/bytes", bytes, String(bytes))}</dd></div><div class="hash"><dt>SHA-256</dt><dd><code>${sha256}</code></dd></div></dl>
${notes.length === 0 ? undefined : markup`<ul class="notes">${notes}</ul>`}${unused}`;
}
