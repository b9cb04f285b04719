import { sayIn } from "../rules/say.js";
import type { RehearsalResult } from "../score/rehearsal-result.js";
import { xmlText } from "./escape/xml-text.js";
import { rehearsalFacts } from "./rehearsal-words.js";
import { type SideView, sideView } from "./side-view.js";

const WIDTH = 800;
const HEIGHT = 360;
const EDGE = { left: 80, right: 30, top: 30, bottom: 60 } as const;

/** Okabe and Ito's palette for colour-blind readers (2008); shapes and dashes say the same without it. */
const STYLE = `
  .paper { fill: #ffffff } .ink { fill: #1a1a1a } .ground { fill: #8c7b6b } .thing { fill: #009e73 }
  .way { fill: none; stroke: #0072b2; stroke-width: 3 } .gap { stroke: #1a1a1a; stroke-width: 1.5; stroke-dasharray: 3 3 }
  .bad { fill: #b34700; font-weight: bold } .axis { stroke: #8a8a8a; stroke-width: 1 } text { font: 14px sans-serif }
  .note { paint-order: stroke; stroke: #ffffff; stroke-width: 4 }
  @media (prefers-color-scheme: dark) {
    .paper { fill: #161616 } .ink { fill: #ededed } .ground { fill: #6d6054 } .way { stroke: #56b4e9 }
    .gap { stroke: #ededed } .bad { fill: #ff8c42 }
    .note { stroke: #161616 }
  }`;

/** @returns one recovery from the side as a stand-alone SVG, light or dark as the reader's screen is */
export function rehearsalSvg(rehearsal: RehearsalResult, { units }: { readonly units: "metric" | "imperial" }): string {
  const say = sayIn(units);
  const view = sideView(rehearsal);
  const body = view === undefined ? nothingToDraw(rehearsal) : drawing(view, rehearsal, units);
  const facts = rehearsalFacts(rehearsal, say).join(" ");
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-labelledby="side-title side-text">`,
    '<title id="side-title">The recovery from the side</title>',
    `<desc id="side-text">${xmlText(facts)}</desc>`,
    `<style>${STYLE}\n</style>`,
    `<rect class="paper" width="${WIDTH}" height="${HEIGHT}"/>`,
    ...body,
    "</svg>",
    "",
  ].join("\n");
}

function nothingToDraw({ at_hand }: RehearsalResult): string[] {
  const text = at_hand
    ? "At hand: it lands from where it is."
    : "Place or height is not known: there is no way to draw.";
  return [`<text class="ink" x="${EDGE.left}" y="${HEIGHT / 2}">${xmlText(text)}</text>`];
}

function drawing(view: SideView, rehearsal: RehearsalResult, units: "metric" | "imperial"): string[] {
  const say = sayIn(units);
  const rise_m = Math.max(1, view.high_m - view.low_m);
  const x = (along_m: number): number =>
    round(EDGE.left + (along_m / view.length_m) * (WIDTH - EDGE.left - EDGE.right));
  const y = (height_m: number): number =>
    round(HEIGHT - EDGE.bottom - ((height_m - view.low_m) / rise_m) * (HEIGHT - EDGE.top - EDGE.bottom));
  const floor = HEIGHT - EDGE.bottom;
  const half_m = view.length_m / Math.max(1, view.samples.length) / 2;
  const column = (kind: string, along_m: number, top_m: number): string => {
    const left = x(along_m - half_m);
    return `<rect class="${kind}" x="${left}" y="${y(top_m)}" width="${round(x(along_m + half_m) - left + 0.5)}" height="${round(floor - y(top_m) + 4)}"/>`;
  };
  const way = [
    [0, view.start_m],
    [0, view.leg_m],
    [view.length_m, view.leg_m],
    [view.length_m, 0],
  ]
    .map(([along_m = 0, height_m = 0]) => `${x(along_m)},${y(height_m)}`)
    .join(" ");
  return [
    ...view.samples.flatMap(({ along_m, top_m }) => (top_m === null ? [] : [column("thing", along_m, top_m)])),
    ...view.samples.flatMap(({ along_m, ground_m }) =>
      ground_m === null ? [] : [column("ground", along_m, ground_m)],
    ),
    `<polyline class="way" points="${way}"/>`,
    ...gapMark(view, rehearsal, { x, y }, units),
    `<line class="axis" x1="${EDGE.left}" y1="${floor + 4}" x2="${WIDTH - EDGE.right}" y2="${floor + 4}"/>`,
    label(EDGE.left - 8, y(view.leg_m) + 5, say.length(view.leg_m), "end"),
    ...(Math.abs(y(0) - y(view.leg_m)) > 16 ? [label(EDGE.left - 8, y(0) + 5, say.length(0), "end")] : []),
    label(EDGE.left, floor + 24, "here", "start"),
    label((EDGE.left + WIDTH - EDGE.right) / 2, floor + 24, say.length(view.length_m), "middle"),
    label(WIDTH - EDGE.right, floor + 24, "recovery point", "end"),
    label(EDGE.left, floor + 46, legendText(view), "start"),
  ];
}

function gapMark(
  { nearest, leg_m }: SideView,
  { clearance }: RehearsalResult,
  { x, y }: { x: (along_m: number) => number; y: (height_m: number) => number },
  units: "metric" | "imperial",
): string[] {
  if (nearest === undefined) return [];
  const { along_m, under_m, clearance_m } = nearest;
  const size = sayIn(units).length(Math.abs(clearance_m));
  const text = clearance_m < 0 ? `${size} too low` : `${size} clear`;
  const isRight = x(along_m) > WIDTH / 2;
  const at = `x="${x(along_m) + (isRight ? -8 : 8)}" y="${round((y(leg_m) + y(under_m)) / 2 + 5)}" text-anchor="${isRight ? "end" : "start"}"`;
  const over = clearance?.over ?? "";
  return [
    `<line class="gap" x1="${x(along_m)}" y1="${y(leg_m)}" x2="${x(along_m)}" y2="${y(under_m)}"><title>${xmlText(`nearest to ${over}`)}</title></line>`,
    `<text class="${clearance_m < 0 ? "bad" : "ink"} note" ${at}>${xmlText(text)}</text>`,
  ];
}

function legendText({ samples }: SideView): string {
  const has = (kind: "ground_m" | "top_m"): boolean => samples.some((sample) => sample[kind] !== null);
  const parts = [
    ...(has("ground_m") ? ["brown: ground"] : ["the ground is not known"]),
    ...(has("top_m") ? ["green: obstacles"] : []),
    "line: the way; heights above the recovery point",
  ];
  return parts.join("; ");
}

function label(x: number, y: number, text: string, anchor: "start" | "middle" | "end"): string {
  return `<text class="ink" x="${x}" y="${y}" text-anchor="${anchor}">${xmlText(text)}</text>`;
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
