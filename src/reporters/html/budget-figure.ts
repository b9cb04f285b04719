import type { RecoveryPicture } from "../../pictures/picture.js";
import { clock } from "../../rules/say.js";
import { type Markup, markup, type Part } from "./markup.js";
import { exactText, momentDatum, percentText } from "./moment-numbers.js";
import { fixed, type Scale, scaleOf } from "./scales.js";
import type { RecoverySheet } from "./sheet.js";
import { drawing } from "./svg.js";

const LEFT = 66;
const RIGHT = 926;
const TOP = 24;
const BAR = 30;

/** @returns what one recovery uses of the battery, phase by phase, as a ruler and as a table */
export function budgetFigure(sheet: RecoverySheet, recovery: RecoveryPicture, id: string): Markup {
  return markup`${ruler(sheet, recovery, id)}${phaseTable(sheet, recovery)}`;
}

function ruler(sheet: RecoverySheet, recovery: RecoveryPicture, id: string): Part {
  const { battery_pct, needMiddle_pct, touchdownMiddle_pct } = recovery;
  if (Number.isNaN(battery_pct + needMiddle_pct)) {
    const lacks = Number.isNaN(battery_pct) ? "the battery reading" : "the need";
    return markup`<p class="none">No battery budget: ${lacks} is not known at this moment.</p>`;
  }
  const x = scaleOf(Math.max(-150, Math.min(0, touchdownMiddle_pct)), 100, LEFT, RIGHT);
  const body = markup`${scale(x)}${segments(recovery, x)}${limits(sheet, x)}`;
  return drawing({
    id,
    height: 100,
    title: `Battery of the recovery from ${clock(recovery.at_s)}`,
    description: `Of ${percentText(battery_pct)} the recovery uses ${percentText(needMiddle_pct)} and lands with ${percentText(touchdownMiddle_pct)}; the phases are in the table below.`,
    body,
  });
}

function scale(x: Scale): Markup {
  const marks = x.ticks(21).map((value) => {
    const isLong = value % 10 === 0;
    return markup`<g transform="translate(${fixed(x(value))} ${TOP + BAR})"><line y2="${isLong ? 9 : 5}" />${isLong ? markup`<text y="22">${value}</text>` : undefined}</g>`;
  });
  return markup`<g class="axis middle"><path d="M${LEFT} ${TOP + BAR}H${RIGHT}" />${marks}</g>`;
}

function segments({ battery_pct, touchdownMiddle_pct, phases }: RecoveryPicture, x: Scale): Part {
  const full = markup`<rect class="used" x="${fixed(x(battery_pct))}" y="${TOP}" width="${fixed(Math.max(0, x(100) - x(battery_pct)))}" height="${BAR}" />`;
  if (touchdownMiddle_pct === Number.NEGATIVE_INFINITY) {
    return markup`${full}<rect class="phase endless" x="${fixed(x(0))}" y="${TOP}" width="${fixed(x(battery_pct) - x(0))}" height="${BAR}" /><g class="inside middle"><text x="${fixed((x(0) + x(battery_pct)) / 2)}" y="${TOP - 8}">no headway: the way home has no end</text></g>`;
  }
  let from_pct = battery_pct;
  const boxes = phases.map(({ phase, energy_pct }) => {
    const right = x(from_pct);
    from_pct -= energy_pct;
    const width = right - x(from_pct);
    const name = width > 52 ? markup`<text x="${fixed(right - width / 2)}" y="${TOP - 8}">${phase}</text>` : undefined;
    return markup`<rect class="phase ${phase}" x="${fixed(right - width)}" y="${TOP}" width="${fixed(width)}" height="${BAR}" />${name}`;
  });
  const [touchdown, zero] = [x(touchdownMiddle_pct), x(0)];
  const left =
    touchdown > zero
      ? markup`<rect class="left" x="${fixed(zero)}" y="${TOP}" width="${fixed(touchdown - zero)}" height="${BAR}" />`
      : undefined;
  const short =
    touchdown < zero
      ? markup`<rect class="short-of" x="${fixed(touchdown)}" y="${TOP}" width="${fixed(zero - touchdown)}" height="${BAR}" /><g class="start"><text class="short-text" x="${fixed(touchdown)}" y="${TOP - 8}">short</text></g>`
      : undefined;
  const rest =
    x(touchdownMiddle_pct) - x(0) > 150
      ? markup`<text x="${fixed((x(0) + x(touchdownMiddle_pct)) / 2)}" y="${TOP + 20}">left at touchdown ${percentText(touchdownMiddle_pct)}</text>`
      : undefined;
  return markup`${full}${left}<g class="middle names">${boxes}${rest}</g>${short}`;
}

function limits({ picture }: RecoverySheet, x: Scale): Markup {
  const { reserve_pct, floor_pct } = picture.limits;
  const at = (value: number, name: string): Markup =>
    markup`<path class="${name}" d="M${fixed(x(value))} ${TOP - 4}V${TOP + BAR + 4}" /><text x="${fixed(x(value))}" y="${TOP + BAR + 38}">${name} ${value}</text>`;
  return markup`<g class="limits middle">${at(floor_pct, "floor")}${at(reserve_pct, "reserve")}</g>`;
}

const DOES: Readonly<Record<string, string>> = {
  delay: "noticing and turning, at the hover",
  climb: "straight up to the height of the leg",
  transit: "the leg to the recovery point",
  descent: "down over the point",
  landing: "the last metres, slowly",
};

function phaseTable({ say, picture }: RecoverySheet, recovery: RecoveryPicture): Markup {
  const { phases, at_s, needMiddle_pct, needUpper_pct, battery_pct, touchdownMiddle_pct, touchdownUpper_pct } =
    recovery;
  const lasts = (value_s: number): string =>
    Number.isFinite(value_s) ? say.duration(value_s) : value_s > 0 ? "without end" : "not known";
  const rows = phases.map(
    ({ phase, duration_s, distance_m, height_m, groundSpeed_ms, energy_pct }) =>
      markup`<tr><th scope="row"><span class="swatch ${phase}"></span> ${phase}</th><td class="prose">${DOES[phase] ?? ""}</td><td>${lasts(duration_s)}</td><td>${distance_m > 0 ? say.length(distance_m) : "–"}</td><td>${distance_m > 0 && !Number.isNaN(groundSpeed_ms) ? say.speed(groundSpeed_ms) : "–"}</td><td>${Number.isNaN(height_m) ? "not known" : say.length(height_m)}</td><td><data value="${exactText(energy_pct)}" data-phase="${phase}" data-at="${at_s}">${percentText(energy_pct, 2)}</data></td></tr>`,
  );
  const value = (column: string, number: number): Markup => momentDatum(at_s, column, number, percentText(number, 2));
  return markup`<div class="wide" tabindex="0" role="group" aria-label="Battery budget of the recovery from ${clock(at_s)}"><table class="budget">
<thead><tr><th scope="col">Phase</th><th scope="col" class="prose">What it does</th><th scope="col">Lasts</th><th scope="col">Flies</th><th scope="col">Over ground</th><th scope="col">Ends at</th><th scope="col">Uses</th></tr></thead>
<tbody>${rows}</tbody>
<tfoot><tr><th scope="row" colspan="6">Need, middle estimate</th><td>${value("need_middle_pct", needMiddle_pct)}</td></tr>
<tr><th scope="row" colspan="6">Battery at ${clock(at_s)}</th><td>${value("battery_pct", battery_pct)}</td></tr>
<tr class="sum"><th scope="row" colspan="6">Left at touchdown (the reserve is ${picture.limits.reserve_pct} %, the floor ${picture.limits.floor_pct} %)</th><td>${value("touchdown_middle_pct", touchdownMiddle_pct)}</td></tr>
<tr><th scope="row" colspan="6">Left after the upper need of ${percentText(needUpper_pct, 2)}</th><td>${value("touchdown_upper_pct", touchdownUpper_pct)}</td></tr></tfoot></table></div>`;
}
