import type { PlanPicture, Spot } from "../../pictures/picture.js";
import { clock } from "../../rules/say.js";
import { contourLines } from "./contours.js";
import { type Markup, markup, type Part } from "./markup.js";
import { shapes, zones } from "./plan-shapes.js";
import { fixed, lengthUnit, type Scale, scaleOf, WIDTH } from "./scales.js";
import type { Sheet } from "./sheet.js";
import { drawing, linePath, mark, MARKS, tag, verdictLine } from "./svg.js";

/** The neat line about the sheet. */
const EDGE = 16;
/** Marks nearer than this would hide each other: the operator is then set beside the point. */
const BESIDE = 16;
/** Room under the sheet for the scale and north. */
const STRIP = 62;
/** A scale bar is at most this wide. */
const BAR_MOST = 190;

/** @returns the flight from above */
export function planFigure(sheet: Sheet, tags: ReadonlyMap<number, number>): Markup {
  const { plan } = sheet.picture;
  if (plan === undefined) return markup`<p class="none">The flight has no known position, so there is no plan.</p>`;
  const width = WIDTH - 2 * EDGE;
  const tall = (width * (plan.north_m - plan.south_m)) / (plan.east_m - plan.west_m);
  const x = scaleOf(plan.west_m, plan.east_m, EDGE, EDGE + width);
  const y = scaleOf(plan.south_m, plan.north_m, EDGE + tall, EDGE);
  const contours = contourLines(plan, sheet, x, y);
  const id = `${sheet.id}-plan`;
  const frame = markup`x="${EDGE}" y="${EDGE}" width="${fixed(width)}" height="${fixed(tall)}"`;
  const body = markup`<clipPath id="${id}-c"><rect ${frame} /></clipPath><rect class="ground" ${frame} />
<g clip-path="url(#${id}-c)">${contours?.lines}${zones(plan, x, y)}${shapes(plan, x, y)}${people(plan, x, y)}${track(plan, x, y)}${points(sheet, plan, x, y)}${worst(sheet, plan, tags, x, y)}
<g class="cross" data-lozenge="1"></g></g>
<rect class="neat" ${frame} /><rect class="neat outer" x="${EDGE - 7}" y="${EDGE - 7}" width="${fixed(width + 14)}" height="${fixed(tall + 14)}" />
${scaleBar(sheet, x, EDGE + tall)}${north(EDGE + tall)}`;
  return markup`<figure class="picture">${drawing({
    id,
    height: Math.ceil(tall + EDGE + STRIP),
    title: "The flight from above",
    description: description(sheet, plan),
    body,
    linked: {
      kind: "plan",
      data: {
        west: plan.west_m,
        east: plan.east_m,
        south: plan.south_m,
        north: plan.north_m,
        left: EDGE,
        right: EDGE + width,
        top: EDGE,
        bottom: EDGE + tall,
      },
    },
  })}<figcaption>${legend(plan, contours?.step)}</figcaption></figure>`;
}

function pathOf(spots: readonly Spot[], x: Scale, y: Scale): string {
  return linePath(spots.map(([east_m, north_m]) => [x(east_m), y(north_m)] as const));
}

function track({ track: pieces }: PlanPicture, x: Scale, y: Scale): Markup {
  const drawn = pieces.map(({ verdict, spots }) => ({ verdict, d: pathOf(spots, x, y) }));
  return markup`<g class="track">${drawn.map(({ d }) => markup`<path class="halo" d="${d}" />`)}${drawn.map(({ verdict, d }) => verdictLine(verdict, d))}</g>`;
}

function people({ operator, takeoff, points }: PlanPicture, x: Scale, y: Scale): Part {
  const way = operator.map((spots) => markup`<path class="walk" d="${pathOf(spots, x, y)}" />`);
  const last = operator[operator.length - 1]?.at(-1);
  const isAtPoint =
    last !== undefined &&
    points.some(({ spot }) => Math.hypot(x(spot[0]) - x(last[0]), y(spot[1]) - y(last[1])) < BESIDE);
  return [
    ...way,
    takeoff === undefined ? undefined : mark("peg", x(takeoff[0]), y(takeoff[1])),
    last === undefined ? undefined : mark("staff", x(last[0]) - (isAtPoint ? BESIDE + 4 : 0), y(last[1])),
  ];
}

/** The point as it was set and as it moved, joined in that order. */
function points({ flight, pointer }: Sheet, { points: all }: PlanPicture, x: Scale, y: Scale): Part {
  const joined = markup`<path class="moved" d="${pathOf(
    all.map(({ spot }) => spot),
    x,
    y,
  )}" />`;
  const marks = all.map(({ at_s, spot }, i) => {
    const isSet = i === 0;
    const place = isSet ? `${pointer}/recovery_point/set_at_s` : `${pointer}/recovery_point_moves/${i - 1}/at_s`;
    const value = isSet ? flight.recovery_point?.set_at_s : flight.recovery_point_moves[i - 1]?.at_s;
    const time = markup`<tspan data-of="${place}" data-value="${String(value)}">${clock(at_s)}</tspan>`;
    const text =
      all.length > 1
        ? markup`<text class="place" x="${fixed(x(spot[0]) + 10)}" y="${fixed(y(spot[1]) - 12)}">${isSet ? "set" : "moved"} ${time}</text>`
        : undefined;
    return markup`${mark("stake", x(spot[0]), y(spot[1]), i < all.length - 1 ? "former" : "")}${text}`;
  });
  return [all.length > 1 ? joined : undefined, ...marks];
}

/** Worst moments with the way home from each. */
function worst(
  { picture }: Sheet,
  { recoveries }: PlanPicture,
  tags: ReadonlyMap<number, number>,
  x: Scale,
  y: Scale,
): Part {
  return recoveries.flatMap(({ from, to }, i) => {
    const number = tags.get(i);
    if (number === undefined || Number.isNaN(from[0] + from[1])) return [];
    const way =
      (picture.recoveries[i]?.distance_m ?? 0) > 0 && !Number.isNaN(to[0] + to[1])
        ? markup`<path class="home" d="${pathOf([from, to], x, y)}" />`
        : undefined;
    return [
      markup`${way}<path class="leader" d="M${fixed(x(from[0]))} ${fixed(y(from[1]))}l16 -16" />${tag(number, x(from[0]) + 24, y(from[1]) - 22)}`,
    ];
  });
}

function scaleBar({ units }: Sheet, x: Scale, bottom: number): Markup {
  const { unit, perUnit_m } = lengthUnit(units);
  const perUnit = Math.abs(x(perUnit_m) - x(0));
  const least = BAR_MOST / perUnit / 4;
  const power = 10 ** Math.floor(Math.log10(least));
  const step = ([5, 2, 1].find((factor) => factor * power <= least) ?? 1) * power;
  const width = step * perUnit;
  const boxes = [0, 1, 2, 3].map(
    (i) =>
      markup`<rect class="${i % 2 === 0 ? "full" : "void"}" x="${fixed(EDGE + i * width)}" y="${fixed(bottom + 32)}" width="${fixed(width)}" height="7" />`,
  );
  const text = (i: number): Markup =>
    markup`<text x="${fixed(EDGE + i * width)}" y="${fixed(bottom + 27)}">${Number((i * step).toFixed(6))}${i === 4 ? ` ${unit}` : ""}</text>`;
  return markup`<g class="scale middle">${boxes}${text(0)}${text(2)}${text(4)}</g>`;
}

/** A long line with one barb, as on a survey sheet; every plan has north up. */
function north(bottom: number): Markup {
  return markup`<g class="north" transform="translate(${WIDTH - EDGE - 14} ${fixed(bottom + STRIP - 10)})"><path d="M0 0V-38L-8 -21M-5 0H5" /><text x="-18" y="-10">N</text></g>`;
}

/** Whether the operator moved by more than can be seen. */
function isWalk({ operator, east_m, west_m }: PlanPicture): boolean {
  const [first] = operator.flat();
  const seen_m = (east_m - west_m) / 300;
  return first !== undefined && operator.flat().some(([x, y]) => Math.hypot(x - first[0], y - first[1]) > seen_m);
}

function legend(plan: PlanPicture, step: string | undefined): Markup {
  const line = (look: string, text: string): Markup =>
    markup`<li><svg viewBox="0 0 44 14" aria-hidden="true">${look === "fail" ? markup`<path class="line fail" d="M2 7H42" /><path class="line rungs" d="M2 7H42" />` : markup`<path class="line ${look}" d="M2 7H42" />`}</svg> ${text}</li>`;
  const sign = (kind: keyof typeof MARKS, text: string, extra = ""): Markup =>
    markup`<li><svg viewBox="-16 -22 32 26" aria-hidden="true"><g class="mark ${kind} ${extra}"><path d="${MARKS[kind]}" /></g></svg> ${text}</li>`;
  const verdicts = new Set(plan.track.map(({ verdict }) => verdict));
  const looks = [
    ["clear", "clear", "clear"],
    ["thin", "thin", "thin"],
    ["thin?", "guess", "thin by an assumption alone"],
    ["fail", "fail", "fail"],
    ["unknown", "unknown", "unknown"],
  ] as const;
  const items = [
    ...looks.filter(([verdict]) => verdicts.has(verdict)).map(([, look, text]) => line(look, text)),
    ...(plan.points.length > 0
      ? [sign("stake", plan.points.length > 1 ? "recovery point, and where it was before" : "recovery point")]
      : []),
    ...(plan.operator.length > 0
      ? [
          sign("staff", "operator (set a little to the left where that is the recovery point)"),
          ...(isWalk(plan)
            ? [
                markup`<li><svg viewBox="0 0 44 14" aria-hidden="true"><path class="walk" d="M2 7H42" /></svg> the operator’s way</li>`,
              ]
            : []),
        ]
      : []),
    ...(plan.takeoff === undefined ? [] : [sign("peg", "take-off")]),
    ...(plan.recoveries.length > 0
      ? [
          markup`<li><svg viewBox="0 0 44 14" aria-hidden="true"><path class="home" d="M2 7H42" /></svg> way home from a worst moment (numbered as above)</li>`,
        ]
      : []),
    ...(plan.obstacles.length > 0
      ? [
          markup`<li><svg viewBox="0 0 44 14" aria-hidden="true"><rect class="obstacle" x="14" y="1" width="16" height="12" /></svg> obstacle</li>`,
        ]
      : []),
    ...(plan.zones.length > 0
      ? [
          markup`<li><svg viewBox="0 0 44 14" aria-hidden="true"><rect class="zone" x="8" y="1" width="28" height="12" /></svg> zone</li>`,
        ]
      : []),
    ...(plan.terrain?.elevations_m.some(Number.isNaN) === true
      ? [
          markup`<li><svg viewBox="0 0 44 14" aria-hidden="true"><rect class="unseen" x="8" y="1" width="28" height="12" /></svg> no terrain known</li>`,
        ]
      : []),
    ...(step === undefined
      ? []
      : [
          markup`<li><svg viewBox="0 0 44 14" aria-hidden="true"><path class="contour index" d="M2 9C14 2 28 12 42 5" /></svg> contours every ${step}</li>`,
        ]),
  ];
  const left =
    plan.obstaclesLeftOut === 0
      ? undefined
      : markup`<p>${plan.obstaclesLeftOut} declared obstacles lie outside this sheet, or were too many to draw; all of them were judged.</p>`;
  return markup`<ul class="legend">${items}</ul>${left}`;
}

function description({ flight, say }: Sheet, plan: PlanPicture): string {
  const far =
    flight.farthest_m === null ? "" : ` It went up to ${say.length(flight.farthest_m)} from the recovery point.`;
  const moves = plan.points.length > 1 ? ` The recovery point moved ${plan.points.length - 1} times.` : "";
  return `The track coloured and dashed by its worst verdict, north up.${far}${moves} The findings, in words, are above and in the table below.`;
}
