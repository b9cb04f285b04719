import type { Say } from "../rules/say.js";
import type { SideView } from "./side-view.js";

const ROWS = 14;

/** What each thing is drawn with. */
const MARKS = {
  blocks: { ground: "█", half: "▄", thing: "▒", leg: "─", fall: "│", hit: "×", gap: "┊", none: "?" },
  ascii: { ground: "#", half: "#", thing: "%", leg: "-", fall: "|", hit: "x", gap: ":", none: "?" },
} as const;

/**
 * Draws a recovery from the side with characters: from where it begins, at the left, to the recovery point at the right.
 * @param width columns in all, at least 40
 */
export function sideViewText(view: SideView, { ascii, width }: { ascii: boolean; width: number }, say: Say): string[] {
  const marks = MARKS[ascii ? "ascii" : "blocks"];
  const labels = { high: say.length(view.high_m), low: say.length(view.low_m), leg: say.length(view.leg_m) };
  const margin = Math.max(...Object.values(labels).map(({ length }) => length)) + 1;
  const columns = width - margin - 1;
  const rise_m = Math.max(1, view.high_m - view.low_m);
  const rowOf = (height_m: number): number =>
    Math.min(ROWS - 1, Math.max(0, Math.round(((height_m - view.low_m) / rise_m) * (ROWS - 1))));
  const legRow = rowOf(view.leg_m);
  const rows = Array.from({ length: ROWS }, (_, row) =>
    Array.from({ length: columns }, (_cell, column) => signAt(view, marks, { row, column, columns, rowOf })).join(""),
  );
  const body = rows.map((line, row) => {
    const label = row === legRow ? labels.leg : row === ROWS - 1 ? labels.high : row === 0 ? labels.low : "";
    return `${label.padStart(margin)} ${line}`.trimEnd();
  });
  const from = "here";
  const to = "recovery point";
  const between = ` ${say.length(view.length_m)} `;
  const room = columns - from.length - to.length;
  const middle =
    between.length > room
      ? " ".repeat(Math.max(1, room))
      : between.padStart(Math.ceil((room + between.length) / 2)).padEnd(room);
  return [...body.toReversed(), `${" ".repeat(margin + 1)}${from}${middle}${to}`, ...legend(view, marks, width)];
}

interface Cell {
  readonly row: number;
  readonly column: number;
  readonly columns: number;
  readonly rowOf: (height_m: number) => number;
}

function signAt(view: SideView, marks: (typeof MARKS)["blocks" | "ascii"], cell: Cell): string {
  const { row, column, columns, rowOf } = cell;
  const { ground_m, top_m, hasUnknownTop } = highestIn(view, column, columns);
  const groundRow = ground_m === undefined ? -1 : rowOf(ground_m);
  const topRow = top_m === undefined ? -1 : rowOf(top_m);
  const legRow = rowOf(view.leg_m);
  const under_m = Math.max(ground_m ?? Number.NEGATIVE_INFINITY, top_m ?? Number.NEGATIVE_INFINITY);
  if (row === legRow) return under_m > view.leg_m ? marks.hit : hasUnknownTop ? marks.none : marks.leg;
  const startRow = rowOf(view.start_m);
  if (column === 0 && row >= Math.min(startRow, legRow) && row <= Math.max(startRow, legRow)) return marks.fall;
  if (column === columns - 1 && row < legRow && row >= Math.max(rowOf(0), groundRow + 1)) return marks.fall;
  if (row < groundRow) return marks.ground;
  if (row === groundRow) return marks.half;
  if (row <= topRow) return marks.thing;
  // It may end anywhere between the ground and above the way.
  if (hasUnknownTop && row < legRow) return marks.none;
  const { nearest } = view;
  if (
    nearest !== undefined &&
    columnOf(nearest.along_m, view, columns) === column &&
    row < legRow &&
    nearest.clearance_m > 0
  )
    return marks.gap;
  return row === 0 && ground_m === undefined ? marks.none : " ";
}

function columnOf(along_m: number, { length_m }: SideView, columns: number): number {
  return Math.min(columns - 1, Math.floor((along_m / length_m) * columns));
}

/** The highest of the samples in a column; where it has none, the nearest one. */
function highestIn(
  view: SideView,
  column: number,
  columns: number,
): { ground_m: number | undefined; top_m: number | undefined; hasUnknownTop: boolean } {
  const { samples } = view;
  const within = samples.filter(({ along_m }) => columnOf(along_m, view, columns) === column);
  const nearest = samples[Math.min(samples.length - 1, Math.floor(((column + 0.5) / columns) * samples.length))];
  const used = within.length > 0 ? within : nearest === undefined ? [] : [nearest];
  const most = (heights: readonly (number | null)[]): number | undefined => {
    const known = heights.filter((height) => height !== null);
    return known.length === 0 ? undefined : Math.max(...known);
  };
  return {
    ground_m: most(used.map(({ ground_m }) => ground_m)),
    top_m: most(used.map(({ top_m }) => top_m)),
    hasUnknownTop: used.some(({ hasUnknownTop }) => hasUnknownTop),
  };
}

/** @returns what is drawn as not known; undefined where all is */
function notKnown(samples: SideView["samples"]): string | undefined {
  const isGround = samples.length === 0 || samples.some(({ ground_m }) => ground_m === null);
  const isTop = samples.some(({ hasUnknownTop }) => hasUnknownTop);
  if (isGround) return isTop ? "ground or height not known" : "ground not known";
  return isTop ? "height not known" : undefined;
}

function legend({ samples, nearest }: SideView, marks: (typeof MARKS)["blocks" | "ascii"], width: number): string[] {
  const unknown = notKnown(samples);
  const entries = [
    `${marks.leg} ${marks.fall} the way`,
    ...(samples.some(({ ground_m }) => ground_m !== null) ? [`${marks.ground} ground`] : []),
    ...(samples.some(({ top_m }) => top_m !== null) ? [`${marks.thing} obstacles`] : []),
    ...(nearest === undefined
      ? []
      : nearest.clearance_m < 0
        ? [`${marks.hit} runs into it`]
        : [`${marks.gap} least clearance`]),
    ...(unknown === undefined ? [] : [`${marks.none} ${unknown}`]),
  ];
  const lines: string[] = [];
  for (const entry of entries) {
    const last = lines.at(-1);
    if (last === undefined || last.length + 3 + entry.length > width) lines.push(`  ${entry}`);
    else lines[lines.length - 1] = `${last}   ${entry}`;
  }
  return lines;
}
