/** The part of a segment in a rounded box, as shares of its length; the caller owns it. */
export interface Clip {
  start: number;
  end: number;
}

/**
 * Clips a segment to what lies within `reach` of a box: a box with rounded corners, made of two plain boxes and a disc
 * at each corner.
 *
 * The box reaches from 0 - `pad` to `length` + `pad` along, and `pad` to both sides across.
 * @param reach above 0; touching counts
 * @param clip what is inside, where true is returned
 */
export function clipToRoundedBox(
  along1: number,
  across1: number,
  along2: number,
  across2: number,
  length: number,
  pad: number,
  reach: number,
  clip: Clip,
): boolean {
  const outer = pad + reach;
  if (Math.max(across1, across2) < -outer || Math.min(across1, across2) > outer) return false;
  if (Math.max(along1, along2) < -outer || Math.min(along1, along2) > length + outer) return false;
  clip.start = 2;
  clip.end = -1;
  const dAlong = along2 - along1;
  const dAcross = across2 - across1;
  takeBox(along1, across1, dAlong, dAcross, -outer, length + outer, pad, clip);
  takeBox(along1, across1, dAlong, dAcross, -pad, length + pad, outer, clip);
  for (let corner = 0; corner < 4; corner += 1) {
    const atAlong = corner < 2 ? -pad : length + pad;
    const atAcross = corner % 2 === 0 ? -pad : pad;
    takeDisc(along1 - atAlong, across1 - atAcross, dAlong, dAcross, reach, clip);
  }
  return clip.start <= clip.end;
}

/** Widens the clip by the part of the segment in a plain box; the union is convex, and so one stretch. */
function takeBox(
  along: number,
  across: number,
  dAlong: number,
  dAcross: number,
  low: number,
  high: number,
  half: number,
  clip: Clip,
): void {
  let start = 0;
  let end = 1;
  if (dAlong === 0) {
    if (along < low || along > high) return;
  } else {
    start = Math.max(start, Math.min((low - along) / dAlong, (high - along) / dAlong));
    end = Math.min(end, Math.max((low - along) / dAlong, (high - along) / dAlong));
  }
  if (dAcross === 0) {
    if (across < -half || across > half) return;
  } else {
    start = Math.max(start, Math.min((-half - across) / dAcross, (half - across) / dAcross));
    end = Math.min(end, Math.max((-half - across) / dAcross, (half - across) / dAcross));
  }
  take(start, end, clip);
}

function takeDisc(along: number, across: number, dAlong: number, dAcross: number, radius: number, clip: Clip): void {
  const a = dAlong * dAlong + dAcross * dAcross;
  const b = along * dAlong + across * dAcross;
  const c = along * along + across * across - radius * radius;
  if (a === 0) {
    if (c <= 0) take(0, 1, clip);
    return;
  }
  const discriminant = b * b - a * c;
  if (discriminant < 0) return;
  const root = Math.sqrt(discriminant);
  take(Math.max(0, (-b - root) / a), Math.min(1, (-b + root) / a), clip);
}

function take(start: number, end: number, clip: Clip): void {
  if (start > end) return;
  clip.start = Math.min(clip.start, start);
  clip.end = Math.max(clip.end, end);
}
