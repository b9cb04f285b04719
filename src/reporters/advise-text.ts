import type {
  AdvicePlace,
  AdvicePosition,
  HeightAdvice,
  LostLinkAdvice,
  SiteAdvice,
  TurnbackAdvice,
  TurnbackCell,
} from "../advise/advice.js";
import { clock, type Say, sayIn } from "../rules/say.js";
import { printable, type Style, styleFor, type TextOptions, wrap } from "./text-style.js";

/** What every advice says. */
const CAUTION =
  "homeleg checks records after the fact. It gives advice, not clearance: it is no legal or airworthiness approval, and " +
  "local rules and licensed practice come first. Trees grow, cranes move, and nobody looked between the ways home.";

/** @returns the advice for people: recovery height, when to turn back, lost-link action, what to declare */
export function adviseReport(advice: SiteAdvice, options: TextOptions): string {
  const style = styleFor(options);
  const say = sayIn(options.units);
  const lines = [
    ...headLines(advice, style, say),
    "",
    ...heightLines(advice.recovery_height, style, say),
    "",
    ...turnbackLines(advice.turnback, style, say),
    "",
    ...lostLinkLines(advice.lost_link, style),
    ...wantLines(advice, style),
    "",
    ...wrap(CAUTION, options.width, "", "").map(style.faint),
  ];
  return `${lines.map((line) => line.trimEnd()).join("\n")}\n`;
}

function headLines({ flights, recovery_point, radius_m }: SiteAdvice, style: Style, say: Say): string[] {
  const logs = new Set(flights.map(({ log }) => log)).size;
  const from = `From ${flights.length} flight${flights.length === 1 ? "" : "s"} in ${logs} log${logs === 1 ? "" : "s"}`;
  const round =
    radius_m === null
      ? ": everywhere that they went."
      : `: everywhere that they went, and ${say.length(radius_m)} round the recovery point.`;
  const point =
    recovery_point === null
      ? " No flight has a recovery point."
      : ` Recovery point ${spot(recovery_point)} (${recovery_point.basis}, that of the last flight).`;
  return [style.strong("For the next flight here"), ...wrap(from + round + point, style.options.width, "", "")];
}

function heightLines(height: HeightAdvice, style: Style, say: Say): string[] {
  const paragraph = (text: string): string[] =>
    wrap(printable(text, style.options.ascii), style.options.width, "  ", "  ");
  const { status, set_m, dictated_by, over_ground, counts_from, clearance_m } = height;
  const title = style.strong("Recovery height");
  if (status === "unknown" || set_m === null || dictated_by === null) {
    return [
      title,
      ...paragraph("Cannot be told: it wants a recovery point, and terrain under take-off and the ways home."),
    ];
  }
  const counts = counts_from === "take-off" ? "take-off" : "the recovery point";
  const least =
    `At least ${say.length(set_m)} above ${counts} clears every way home by ${say.length(clearance_m)} in the whole corridor. ` +
    `${capital(dictated_by.over)} at ${spot(dictated_by.at)} dictates it, on the way home from ${placed(dictated_by.from)}.`;
  return [
    title,
    ...(status === "none" ? [`  ${style.verdict("fail", "NO SAFE HEIGHT EXISTS")}`] : []),
    ...paragraph(least),
    ...(over_ground === null ? [] : paragraph(legalText(over_ground, say))),
    ...paragraph(setText(height, say)),
    ...doubtTexts(height).flatMap((text) => paragraph(text)),
  ];
}

function legalText(
  { most_m, legal_m, is_legal, at, from }: NonNullable<HeightAdvice["over_ground"]>,
  say: Say,
): string {
  const [most, legal] = say.beside("length", most_m, legal_m);
  return is_legal
    ? `At that height it flies up to ${most} over the ground (legal height ${legal}), so it stays within it all the way.`
    : `But at that height it flies up to ${most} over the ground (legal height ${legal}) at ${spot(at)}, on the way home from ` +
        `${placed(from)}. What clears everything is not legal all the way: keep to one side, or move the recovery point.`;
}

function setText({ was_m, set_m }: HeightAdvice, say: Say): string {
  if (was_m === null) return "What the aircraft was set to is not known.";
  const enough = was_m >= (set_m ?? Number.POSITIVE_INFINITY);
  return `The last flight had ${say.length(was_m)}: ${enough ? "enough." : "too little for all of this."}`;
}

function doubtTexts({ unseen, asked, unseen_from, knows_obstacles }: HeightAdvice): string[] {
  const texts: string[] = [];
  if (unseen > 0 && unseen_from !== null) {
    texts.push(
      `${unseen} of ${asked} ways home cross ground that is not known, the first from ${placed(unseen_from)}: there something may stand higher.`,
    );
  }
  if (!knows_obstacles) texts.push("Nobody said what stands on the ground: this clears the ground alone.");
  return texts;
}

function turnbackLines(turnback: TurnbackAdvice | null, style: Style, say: Say): string[] {
  const { width, ascii } = style.options;
  const title = style.strong("Turn back with this much battery");
  if (turnback === null) return [title, "  Cannot be told: it wants a distance, a height and a wind."];
  const { reserve_pct, upper_pct, leg_height_m, wind, drain_basis, rows } = turnback;
  const how =
    `Battery in % with which a recovery lands with the reserve of ${say.percent(reserve_pct)}: by the upper need (${say.percent(upper_pct)}` +
    ` of flights need less), in brackets by the middle one. Leg at ${say.length(leg_height_m)} over the recovery point, climbed to from ` +
    `the ground. Wind (${wind.basis}): ${wind.text}. Drain: ${drain_basis}.`;
  const directions = rows[0]?.cells.map(({ direction }) => direction) ?? [];
  const distances = rows.map(({ distance_m }) => say.length(distance_m));
  const first = Math.max(3, ...distances.map(({ length }) => length));
  const line = (head: string, cells: readonly string[]): string =>
    `  ${head.padStart(first)}${cells.map((cell) => cell.padStart(8)).join("")}`;
  const isShort = rows.some(({ cells }) => cells.some(({ upper_pct: upper }) => upper === null));
  return [
    title,
    ...wrap(printable(how, ascii), width, "  ", "  "),
    "",
    style.faint(line("", directions)),
    ...rows.map(({ cells }, i) => line(distances[i] ?? "", cells.map(cellText))),
    ...(isShort
      ? wrap("-- no battery is enough with the reserve kept: do not go there in this wind.", width, "  ", "     ")
      : []),
  ];
}

/** Rounded up: a battery that is a little too full does no harm. */
function cellText({ upper_pct, middle_pct }: TurnbackCell): string {
  const text = (value: number | null): string => (value === null ? "--" : String(Math.ceil(value - 1e-6)));
  return `${text(upper_pct)} (${text(middle_pct)})`;
}

function lostLinkLines({ declared, elsewhere, zones, zones_declared }: LostLinkAdvice, style: Style): string[] {
  const paragraph = (text: string): string[] =>
    wrap(printable(text, style.options.ascii), style.options.width, "  ", "    ");
  const was = declared === null ? "What the aircraft was set to is not known." : `It was set to ${declared}.`;
  const away =
    elsewhere.action === null ? `Cannot be said: ${elsewhere.why}.` : `${capital(elsewhere.action)}: ${elsewhere.why}.`;
  return [
    style.strong("When the link is lost"),
    ...paragraph(`${away} ${was}`),
    ...(zones_declared && zones.length > 0
      ? zones.flatMap(({ name, zone, action, why }) => paragraph(`${name} (${zone}): ${action}; ${why}.`))
      : paragraph(
          zones_declared
            ? "Declared: no zones here."
            : "No zones declared: cover, water and places where nobody may land are not known.",
        )),
  ];
}

function wantLines({ wants }: SiteAdvice, style: Style): string[] {
  if (wants.length === 0) return [];
  const { ascii, width } = style.options;
  return [
    "",
    style.strong("To know more"),
    ...wants.flatMap(({ label, yaml }) =>
      yaml === null
        ? wrap(printable(`wants ${label}`, ascii), width, "  ", "    ")
        : wrap(printable(yaml, ascii), width, "  ", "    "),
    ),
  ];
}

function spot({ latitude_deg, longitude_deg }: AdvicePosition): string {
  return `${latitude_deg.toFixed(5)}, ${longitude_deg.toFixed(5)}`;
}

function placed({ log, flight, at_s, ...position }: AdvicePlace): string {
  return log === null || at_s === null
    ? `${spot(position)} on the circle`
    : `${spot(position)} (${log}${flight === 1 || flight === null ? "" : `, flight ${flight}`}, ${clock(at_s)})`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
