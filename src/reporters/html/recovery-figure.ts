import { area } from "d3-shape";
import type { DrawnClearance, DrawnProfile, DrawnVerdict, RecoveryPicture } from "../../pictures/picture.js";
import { clock, type Say } from "../../rules/say.js";
import { type Markup, markup, type Part } from "./markup.js";
import { fixed, lengthTicks, lengthUnit, type Scale, scaleOf } from "./scales.js";
import type { RecoverySheet } from "./sheet.js";
import { type Drawing, mark, verdictLine } from "./svg.js";

const LEFT = 66;
const RIGHT = 926;
const TOP = 34;
const BOTTOM = 282;
const HEIGHT = 326;
/** A dimension keeps so far from the ends of the leg. */
const BESIDE = 22;
/** A recovery that does not travel is still drawn with some room, m. */
const LEAST_LENGTH_M = 20;

/** @returns one recovery from the side: ground, what stands on it, the way, and what is clear under it */
export function recoveryFigure(sheet: RecoverySheet, recovery: RecoveryPicture, id: string): Drawing {
  const { distance_m, height_m } = recovery;
  const length_m = Math.max(LEAST_LENGTH_M, distance_m);
  const x = scaleOf(0, length_m, LEFT + 26, RIGHT - 26);
  const [low_m, high_m] = heightSpan(recovery);
  const y = scaleOf(low_m, high_m, BOTTOM, TOP);
  const body = markup`
<clipPath id="${id}-c"><rect x="${LEFT}" y="${TOP - 20}" width="${RIGHT - LEFT}" height="${BOTTOM - TOP + 20}" /></clipPath>
${axes(sheet, x, y, length_m)}
<g clip-path="url(#${id}-c)">${ground(recovery, x, y)}</g>
${limitLine(sheet, recovery, x, y)}
${way(sheet, recovery, x, y)}
${dimension(sheet, recovery, x, y)}
${mark("stake", x(distance_m), y(0))}
${mark("lozenge", x(0), y(height_m), "here")}
<g class="cross" data-lozenge="1"></g>`;
  return {
    id,
    height: HEIGHT,
    title: `The way home from ${clock(recovery.at_s)}, from the side`,
    description: description(sheet, recovery),
    body,
    linked: {
      kind: "side",
      data: {
        left: x(0),
        right: x(length_m),
        length: length_m,
        low: low_m,
        high: high_m,
        top: TOP,
        bottom: BOTTOM,
        at: recovery.at_s,
      },
    },
  };
}

/** @returns what stands under the drawing */
export function recoveryCaption({ say }: RecoverySheet, recovery: RecoveryPicture): Markup {
  const clearance = tellingClearance(recovery);
  const under = clearance === undefined ? undefined : markup` ${leastText(recovery, clearance, say)}`;
  return markup`The recovery from ${clock(recovery.at_s)}, seen from the side, from the aircraft on the left to the recovery point on the right.${under}
Heights are drawn larger than lengths.`;
}

/** @returns whether enough is known of a recovery to draw its way and to work out its need */
export function canBeDrawn({ distance_m, height_m, top_m }: RecoveryPicture): boolean {
  return !Number.isNaN(distance_m + height_m + top_m);
}

/** @returns why a recovery cannot be drawn */
export function unknownWay({ distance_m, height_m }: RecoveryPicture): string {
  const lacks = [
    ...(Number.isNaN(distance_m) ? ["where it would have flown to"] : []),
    ...(Number.isNaN(height_m) ? ["how high it was"] : []),
  ];
  return `This recovery cannot be drawn: it is not known ${lacks.join(", nor ") || "how high it would have flown"}.`;
}

function heightSpan({ height_m, top_m, profile }: RecoveryPicture): [number, number] {
  const heights = [0, height_m, top_m, ...(profile?.ground_m ?? []), ...(profile?.obstacleTop_m ?? [])].filter(
    (z) => !Number.isNaN(z),
  );
  const low = heights.reduce((a, b) => Math.min(a, b));
  const high = heights.reduce((a, b) => Math.max(a, b));
  const room = 0.14 * Math.max(10, high - low);
  return [low - room, high + room];
}

function axes({ units }: RecoverySheet, x: Scale, y: Scale, length_m: number): Markup {
  const unit = lengthUnit(units);
  const [low = 0, high = 0] = y.domain();
  const ups = lengthTicks(low, high, 6, unit).map(
    ({ value_m, text }) =>
      markup`<path d="M${LEFT} ${fixed(y(value_m))}H${RIGHT}" /><text x="${LEFT - 8}" y="${fixed(y(value_m) + 4)}">${text}</text>`,
  );
  // Lengths are counted from the recovery point: the reader asks how far out.
  const outs = lengthTicks(0, length_m, 8, unit).map(
    ({ value_m, text }) =>
      markup`<g transform="translate(${fixed(x(length_m - value_m))} ${BOTTOM})"><line y2="5" /><text y="18">${text}</text></g>`,
  );
  return markup`<g class="grid end">${ups}</g><g class="axis middle"><path d="M${LEFT} ${BOTTOM}H${RIGHT}" />${outs}</g>
<text class="label" x="${LEFT}" y="16">${unit.unit} above the recovery point</text><text class="label end" x="${RIGHT}" y="${BOTTOM + 36}">${unit.unit} out from the recovery point</text>`;
}

function ground({ profile, distance_m }: RecoveryPicture, x: Scale, y: Scale): Part {
  if (profile === undefined) {
    return markup`<rect class="unseen" x="${fixed(x(0))}" y="${fixed(y(0))}" width="${fixed(x(distance_m) - x(0))}" height="${fixed(BOTTOM - y(0))}" /><g class="inside middle"><text x="${fixed((x(0) + x(distance_m)) / 2)}" y="${fixed(Math.min(BOTTOM - 8, y(0) + 16))}">what is under the way is not known</text></g>`;
  }
  const { along_m, ground_m, obstacleTop_m, hasUnknownTop } = profile;
  const half = halfStretch(profile);
  const edges = along_m.flatMap((along, i) => [[along - half, i] as const, [along + half, i] as const]);
  const end = along_m.length - 1;
  // From edge to edge through the middles: steps would look like terraces.
  const middles = along_m.flatMap((along, i) => [
    ...(i === 0 ? [[along - half, i] as const] : []),
    [along, i] as const,
    ...(i === end ? [[along + half, i] as const] : []),
  ]);
  const draw = area<readonly [number, number]>()
    .defined(([, i]) => !Number.isNaN(ground_m[i] ?? Number.NaN))
    .x(([along]) => x(along))
    .y0(BOTTOM)
    .y1(([, i]) => y(ground_m[i] ?? 0))
    .digits(1);
  const unseen = area<readonly [number, number]>()
    .defined(([, i]) => Number.isNaN(ground_m[i] ?? Number.NaN))
    .x(([along]) => x(along))
    .y0(BOTTOM)
    .y1(TOP)
    .digits(1);
  const stands = obstacleTop_m.flatMap((top_m, i) => {
    if (Number.isNaN(top_m)) return [];
    const from = x((along_m[i] ?? 0) - half);
    const foot = y(ground_m[i] || 0);
    return [
      markup`<rect x="${fixed(from)}" y="${fixed(y(top_m))}" width="${fixed(Math.max(2.5, x((along_m[i] ?? 0) + half) - from))}" height="${fixed(Math.max(1, foot - y(top_m)))}" />`,
    ];
  });
  // How high it is may be anything: drawn as unknown ground is.
  const unknowns = hasUnknownTop.flatMap((isUnknown, i) => {
    if (!isUnknown) return [];
    const from = x((along_m[i] ?? 0) - half);
    const wide = Math.max(2.5, x((along_m[i] ?? 0) + half) - from);
    return [
      markup`<rect class="unseen" x="${fixed(from)}" y="${TOP}" width="${fixed(wide)}" height="${fixed(y(ground_m[i] || 0) - TOP)}" />`,
    ];
  });
  return markup`<path class="unseen" d="${unseen(edges) ?? ""}" />${unknowns}<g class="stands">${stands}</g><path class="terra" d="${draw(middles) ?? ""}" />`;
}

function halfStretch({ along_m }: DrawnProfile): number {
  return along_m.length > 1 ? ((along_m[1] ?? 0) - (along_m[0] ?? 0)) / 2 : (along_m[0] ?? 0);
}

/** How low the ground should stay for the way to be clear. */
function limitLine(
  { picture, say }: RecoverySheet,
  { distance_m, top_m, profile }: RecoveryPicture,
  x: Scale,
  y: Scale,
): Part {
  if (profile === undefined || distance_m === 0) return undefined;
  const { clearance_m } = picture.limits;
  const at = y(top_m - clearance_m);
  return markup`<path class="limit" d="M${fixed(x(0))} ${fixed(at)}H${fixed(x(distance_m))}" /><text class="note end" x="${fixed(x(distance_m) - 8)}" y="${fixed(at + 13)}">${say.length(clearance_m)} under the way</text>`;
}

function way(
  { picture }: RecoverySheet,
  { distance_m, height_m, top_m, profile }: RecoveryPicture,
  x: Scale,
  y: Scale,
): Markup {
  const start = x(0);
  const end = x(distance_m);
  const up = `M${fixed(start)} ${fixed(y(height_m))}V${fixed(y(top_m))}`;
  const down = `M${fixed(end)} ${fixed(y(top_m))}V${fixed(y(0))}`;
  const legs = legPieces(profile, top_m, distance_m, picture.limits.clearance_m).map(({ verdict, from_m, to_m }) =>
    verdictLine(verdict, `M${fixed(x(from_m))} ${fixed(y(top_m))}H${fixed(x(to_m))}`),
  );
  return markup`<path class="halo wide-halo" d="${up}H${fixed(end)}V${fixed(y(0))}" /><path class="way" d="${up}" />${legs}<path class="way" d="${down}" /><path class="plumb" d="M${fixed(start)} ${fixed(y(height_m))}V${BOTTOM}" />`;
}

/** The leg by what is clear under each stretch of its centre line; over what is not known it is unknown. */
function legPieces(
  profile: DrawnProfile | undefined,
  top_m: number,
  distance_m: number,
  limit_m: number,
): { verdict: DrawnVerdict; from_m: number; to_m: number }[] {
  if (profile === undefined) return [{ verdict: "unknown", from_m: 0, to_m: distance_m }];
  const half = halfStretch(profile);
  const pieces: { verdict: DrawnVerdict; from_m: number; to_m: number }[] = [];
  profile.along_m.forEach((along, i) => {
    const ground_m = profile.ground_m[i] ?? Number.NaN;
    const obstacle_m = profile.obstacleTop_m[i] ?? Number.NaN;
    const highest_m = Number.isNaN(obstacle_m)
      ? ground_m
      : Number.isNaN(ground_m)
        ? obstacle_m
        : Math.max(ground_m, obstacle_m);
    const clear_m = top_m - highest_m;
    const isUnseen = (Number.isNaN(ground_m) || profile.hasUnknownTop[i] === true) && !(clear_m < 0);
    const verdict = isUnseen ? "unknown" : clear_m < 0 ? "fail" : clear_m < limit_m ? "thin" : "clear";
    const before = pieces[pieces.length - 1];
    if (before?.verdict === verdict) before.to_m = along + half;
    else pieces.push({ verdict, from_m: along - half, to_m: along + half });
  });
  return pieces;
}

/** @returns the clearance that matters: on the centre line where that is already negative, else in the corridor */
export function tellingClearance({ centre, corridor }: RecoveryPicture): DrawnClearance | undefined {
  return centre !== undefined && centre.clearance_m < 0 ? centre : (corridor ?? centre);
}

/** `12 m over the ground`, `3 m into the mast`. */
function clearanceText({ clearance_m, over }: DrawnClearance, say: Say): string {
  return `${say.length(Math.abs(clearance_m))} ${clearance_m < 0 ? "into" : "over"} ${over ?? "the ground"}`;
}

/** What runs into something does so whatever else stands there; what is clear of all that is known may not be. */
function leastText({ profile }: RecoveryPicture, clearance: DrawnClearance, say: Say): string {
  const isPartly = profile?.ground_m.some(Number.isNaN) === true || profile?.hasUnknownTop.includes(true) === true;
  const limit = isPartly && clearance.clearance_m >= 0 ? ", as far as is known" : "";
  return `At the least it is ${clearanceText(clearance, say)}${limit}.`;
}

function dimension({ say }: RecoverySheet, recovery: RecoveryPicture, x: Scale, y: Scale): Part {
  const clearance = tellingClearance(recovery);
  if (clearance === undefined || recovery.profile === undefined) return undefined;
  const { clearance_m, along_m } = clearance;
  // Beside the way up and the way down, not on them.
  const at = Math.min(x(recovery.distance_m) - BESIDE, Math.max(x(0) + BESIDE, x(along_m)));
  const from = y(recovery.top_m);
  const to = y(recovery.top_m - clearance_m);
  const isRight = at > (LEFT + RIGHT) / 2;
  const text = clearanceText(clearance, say);
  const middle = Math.min(BOTTOM - 6, Math.max(TOP + 6, (from + to) / 2));
  return markup`<g class="dimension ${isRight ? "end" : "start"}"><path d="M${fixed(at - 6)} ${fixed(from)}h12M${fixed(at - 6)} ${fixed(to)}h12M${fixed(at)} ${fixed(from)}V${fixed(to)}" /><text x="${fixed(at + (isRight ? -12 : 12))}" y="${fixed(middle + 4)}">${text}</text></g>`;
}

function description({ say }: RecoverySheet, recovery: RecoveryPicture): string {
  const { height_m, top_m, distance_m } = recovery;
  const clearance = tellingClearance(recovery);
  const climbs =
    top_m > height_m ? `climbs from ${say.length(height_m)} to ${say.length(top_m)}` : `stays at ${say.length(top_m)}`;
  const under = clearance === undefined ? "What is under the way is not known." : leastText(recovery, clearance, say);
  return `Above the recovery point the recovery ${climbs}, flies ${say.length(distance_m)} and descends. ${under}`;
}
