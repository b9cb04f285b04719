import { area } from "d3-shape";
import type { DrawnMoments } from "../../pictures/picture.js";
import { clock } from "../../rules/say.js";
import { type Markup, markup, type Part } from "./markup.js";
import { momentDatum, percentText } from "./moment-numbers.js";
import { fixed, type Scale, scaleOf, timeAxis } from "./scales.js";
import type { Sheet } from "./sheet.js";
import { apartLabels, drawing, linePath, type Points } from "./svg.js";

/** Both pictures over time have the same edges, so that a moment stands at the same place in both. */
export const TIME_LEFT = 118;
export const TIME_RIGHT = 836;
const TOP = 40;
const BOTTOM = 336;
const HEIGHT = 372;
/** Higher needs run out of the picture. */
const MOST_PCT = 104;
const BEYOND_PCT = 1000;
/** Rows of the table that says the same in numbers. */
const TABLE_ROWS = 24;

/** @returns battery against what a recovery would need, over time, with the moment to turn back */
export function batteryFigure(sheet: Sheet): Markup {
  const { picture, id } = sheet;
  const { start_s, end_s, moments } = picture;
  if (moments.needMiddle_pct.every(Number.isNaN)) return markup`<p class="none">${whyNone(sheet)}</p>`;
  const x = scaleOf(start_s, end_s, TIME_LEFT, TIME_RIGHT);
  const y = scaleOf(0, MOST_PCT, BOTTOM, TOP);
  const body = markup`
<clipPath id="${id}-bc"><rect x="${TIME_LEFT}" y="${TOP}" width="${TIME_RIGHT - TIME_LEFT}" height="${BOTTOM - TOP}" /></clipPath>
${grid(y)}
<g clip-path="url(#${id}-bc)">${lines(sheet, x, y)}</g>
${kept(sheet, y)}
${turnback(sheet, x)}
${endLabels(sheet, y)}
${timeAxis(x, BOTTOM)}
<text class="label" x="${TIME_LEFT}" y="${TOP - 22}">% of a full battery, over flight time</text>
<g class="cross" data-hair="${TOP} ${BOTTOM}"></g>`;
  return markup`<figure class="picture">${drawing({
    id: `${id}-battery`,
    height: HEIGHT,
    title: "Battery against need",
    description: description(sheet),
    body,
    linked: {
      kind: "time",
      data: { left: TIME_LEFT, right: TIME_RIGHT, from: start_s, to: end_s, top: TOP, bottom: BOTTOM },
    },
  })}<figcaption>${caption(sheet)}</figcaption>${table(sheet)}</figure>`;
}

function whyNone({ picture }: Sheet): string {
  const hasBattery = picture.moments.battery_pct.some((value) => !Number.isNaN(value));
  return hasBattery
    ? "The need of a recovery is not known at any moment, so there is nothing to hold the battery against. What to add is said below."
    : "The log has no battery reading, and the need of a recovery is not known: there is nothing to draw here.";
}

function grid(y: Scale): Markup {
  const marks = [0, 20, 40, 60, 80, 100].map(
    (value) =>
      markup`<path d="M${TIME_LEFT} ${fixed(y(value))}H${TIME_RIGHT}" /><text x="${TIME_LEFT - 8}" y="${fixed(y(value) + 4)}">${value} %</text>`,
  );
  return markup`<g class="grid end">${marks}</g>`;
}

function lines({ picture }: Sheet, x: Scale, y: Scale): Part {
  const { moments, limits } = picture;
  const over = (column: readonly number[], add_pct: number): Points =>
    broken(moments, (i) => [x(moments.at_s[i] ?? 0), y(Math.min(BEYOND_PCT, (column[i] ?? Number.NaN) + add_pct))]);
  const { reserve_pct, floor_pct } = limits;
  const keep = markup`<rect class="keep" x="${TIME_LEFT}" y="${fixed(y(reserve_pct))}" width="${TIME_RIGHT - TIME_LEFT}" height="${fixed(y(0) - y(reserve_pct))}" />
<path class="floor" d="M${TIME_LEFT} ${fixed(y(floor_pct))}H${TIME_RIGHT}" />`;
  return [
    keep,
    markup`<path class="need" d="${needArea(moments, x, y, reserve_pct)}" />`,
    markup`<path class="short thin" d="${shortArea(moments, x, y, reserve_pct)}" />`,
    markup`<path class="short fail" d="${shortArea(moments, x, y, floor_pct)}" />`,
    markup`<path class="upper-edge" d="${linePath(over(moments.needUpper_pct, reserve_pct))}" />`,
    markup`<path class="need-edge" d="${linePath(over(moments.needMiddle_pct, reserve_pct))}" />`,
    markup`<path class="halo" d="${linePath(over(moments.battery_pct, 0))}" />`,
    markup`<path class="battery" d="${linePath(over(moments.battery_pct, 0))}" />`,
  ];
}

/** Points of the drawn moments, broken where the record has a gap. */
function broken(moments: DrawnMoments, at: (i: number) => readonly [number, number]): Points {
  return moments.at_s.flatMap((_, i) => (moments.isAfterGap[i] === true ? [undefined, at(i)] : [at(i)]));
}

function between(
  moments: DrawnMoments,
  isShown: (i: number) => boolean,
  x: (i: number) => number,
  low: (i: number) => number,
  high: (i: number) => number,
): string {
  const indices = moments.at_s.flatMap((_, i) => (moments.isAfterGap[i] === true ? [-1, i] : [i]));
  const draw = area<number>()
    .defined((i) => i >= 0 && isShown(i))
    .x(x)
    .y0(low)
    .y1(high)
    .digits(1);
  return draw(indices) ?? "";
}

function needArea(moments: DrawnMoments, x: Scale, y: Scale, kept_pct: number): string {
  const need = (i: number): number => moments.needMiddle_pct[i] ?? Number.NaN;
  return between(
    moments,
    (i) => !Number.isNaN(need(i)),
    (i) => x(moments.at_s[i] ?? 0),
    () => y(kept_pct),
    (i) => y(Math.min(BEYOND_PCT, need(i) + kept_pct)),
  );
}

/** What is missing to come home with so much kept. */
function shortArea(moments: DrawnMoments, x: Scale, y: Scale, kept_pct: number): string {
  return between(
    moments,
    (i) => (moments.touchdownMiddle_pct[i] ?? Number.NaN) < kept_pct,
    (i) => x(moments.at_s[i] ?? 0),
    (i) => y(moments.battery_pct[i] ?? Number.NaN),
    (i) => y(Math.min(BEYOND_PCT, (moments.needMiddle_pct[i] ?? Number.NaN) + kept_pct)),
  );
}

function kept({ picture }: Sheet, y: Scale): Markup {
  const { reserve_pct, floor_pct } = picture.limits;
  return markup`<g class="inside"><text x="${TIME_LEFT + 8}" y="${fixed(y(reserve_pct) + 14)}">reserve ${reserve_pct} %, to be left at touchdown</text>
<text x="${TIME_LEFT + 8}" y="${fixed(y(floor_pct) + 14)}">floor ${floor_pct} %</text></g>`;
}

function turnback({ flight, pointer, say }: Sheet, x: Scale): Markup | undefined {
  const last_s = flight.turnback?.last_safe_s;
  if (last_s === null || last_s === undefined) return undefined;
  const late_s = flight.turnback?.outbound_after_s ?? 0;
  const at = x(last_s);
  const isRight = at > (TIME_LEFT + TIME_RIGHT) / 2;
  const text = late_s > 0 ? `, and flew on outbound for ${say.duration(late_s)}` : ", and it had turned";
  return markup`<g class="turnback ${isRight ? "end" : "start"}" transform="translate(${fixed(at)} 0)"><path d="M0 ${TOP - 14}V${BOTTOM}" /><path class="pennant" d="M0 ${TOP - 14}h${isRight ? -12 : 12}l${isRight ? 4 : -4} 5l${isRight ? -4 : 4} 5h${isRight ? 12 : -12}Z" />
<text x="${isRight ? -18 : 18}" y="${TOP - 5}"><tspan data-of="${pointer}/turnback/last_safe_s" data-value="${last_s}">${clock(last_s)}</tspan> last moment to turn back${text}</text></g>`;
}

function endLabels({ picture }: Sheet, y: Scale): Markup {
  const { moments, limits } = picture;
  const last = (column: readonly number[]): number => column.findLast((value) => !Number.isNaN(value)) ?? Number.NaN;
  const at = (value: number): number => y(Math.min(MOST_PCT, value));
  const labels = [
    { y: at(last(moments.battery_pct)), text: "battery", look: "battery" },
    { y: at(last(moments.needMiddle_pct) + limits.reserve_pct), text: "need + reserve", look: "need-edge" },
    {
      y: at(last(moments.needUpper_pct) + limits.reserve_pct),
      text: `upper (${picture.upper_pct} %)`,
      look: "upper-edge",
    },
  ].filter((label) => Number.isFinite(label.y));
  const shown = apartLabels(labels, 16, TOP, BOTTOM - 4).map(
    (label) =>
      markup`<path class="${label.look}" d="M${TIME_RIGHT + 4} ${fixed(label.y)}h14" /><text x="${TIME_RIGHT + 22}" y="${fixed(label.y + 4)}">${label.text}</text>`,
  );
  return markup`<g class="ends">${shown}</g>`;
}

function description({ flight, picture, say }: Sheet): string {
  const last_s = flight.turnback?.last_safe_s ?? null;
  const turn =
    last_s === null
      ? "At every moment away the battery covered a recovery with the reserve kept."
      : `The last moment to turn back with the reserve kept is ${clock(last_s)}.`;
  const { battery_start_pct: from, battery_end_pct: to } = flight;
  const fell = from === null || to === null ? "" : ` The battery goes from ${say.percent(from)} to ${say.percent(to)}.`;
  return `The battery and the need of a recovery with ${picture.limits.reserve_pct} % kept, from ${clock(picture.start_s)} to ${clock(picture.end_s)}.${fell} ${turn}`;
}

function caption({ flight, picture }: Sheet): Markup {
  const upper = flight.upper_is === "bound" ? "with bounds of what was assumed" : `at the ${picture.upper_pct} % level`;
  const hasBattery = picture.moments.battery_pct.some((value) => !Number.isNaN(value));
  const battery = hasBattery
    ? "The heavy line is the battery."
    : "The log has no battery reading, so no line is held against the need.";
  return markup`${battery} The hatched field on the reserve is what a recovery from that moment would have used; while the battery
runs above it, the reserve would have been left at touchdown. The dotted edge is the upper need, ${upper}. Where the battery runs short
the gap is filled: <span class="chip thin">of the reserve</span> <span class="chip fail">of the floor</span>.`;
}

function table({ picture }: Sheet): Markup {
  const { moments } = picture;
  const count = moments.at_s.length;
  const rows = Array.from({ length: Math.min(TABLE_ROWS, count) }, (_, row) =>
    Math.round((row * (count - 1)) / Math.max(1, Math.min(TABLE_ROWS, count) - 1)),
  );
  const cell = (i: number, name: string, column: readonly number[]): Markup =>
    markup`<td>${momentDatum(moments.at_s[i] ?? 0, name, column[i] ?? Number.NaN, percentText(column[i] ?? Number.NaN))}</td>`;
  return markup`<details><summary>In numbers</summary><div class="wide" tabindex="0" role="group" aria-label="Battery and need in numbers"><table>
<thead><tr><th scope="col">Time</th><th scope="col">Battery</th><th scope="col">Need</th><th scope="col">Upper need</th><th scope="col">Left at touchdown</th></tr></thead>
<tbody>${rows.map(
    (i) =>
      markup`<tr><th scope="row">${clock(moments.at_s[i] ?? 0)}</th>${cell(i, "battery_pct", moments.battery_pct)}${cell(i, "need_middle_pct", moments.needMiddle_pct)}${cell(i, "need_upper_pct", moments.needUpper_pct)}${cell(i, "touchdown_middle_pct", moments.touchdownMiddle_pct)}</tr>`,
  )}</tbody></table></div></details>`;
}
