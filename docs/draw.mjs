// Draws the pictures of the rules' pages from small descriptions (pictures.mjs). Readable in light and dark, and without
// colour: each verdict has a word, a colour (Okabe and Ito's palette for colour-blind readers, 2008) and a line of its own.
const WIDTH = 640;
const HEIGHT = 240;
const LOOK = { clear: "", thin: "9 5", fail: "2 4" };

const STYLE = `
    svg { color-scheme: light dark; }
    .back { fill: #ffffff; } .ink { fill: #1a1a1a; } .faint { fill: #555555; } .edge { stroke: #555555; fill: none; }
    .ground { fill: #d9d4c7; stroke: #6b6454; } .thing { fill: #b9b4a8; stroke: #4d483d; } .zone { fill: none; stroke: #555555; }
    .water { fill: #cfe3ee; stroke: #3f6f8a; }
    .clear { stroke: #0072B2; } .thin { stroke: #B37400; } .fail { stroke: #C24A00; }
    text { font: 13px system-ui, sans-serif; } .word { font-weight: 600; }
    @media (prefers-color-scheme: dark) {
      .back { fill: #14171a; } .ink { fill: #eeeeee; } .faint { fill: #b4b4b4; } .edge { stroke: #b4b4b4; }
      .ground { fill: #4a4538; stroke: #a79f8a; } .thing { fill: #5f5a4e; stroke: #c2bba8; } .zone { stroke: #c2bba8; }
      .water { fill: #23404f; stroke: #7fb2cc; }
      .clear { stroke: #56B4E9; } .thin { stroke: #E69F00; } .fail { stroke: #F07A3A; }
    }`;

/** @returns the SVG of a picture; what it shows is said in words for those who cannot see it */
export function draw(picture) {
  const body = picture.kind === "strip" ? strip(picture) : scene(picture);
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-label="${escape(picture.says)}">`,
    `  <title>${escape(picture.says)}</title>`,
    `  <style>${STYLE}\n  </style>`,
    `  <rect class="back" width="${WIDTH}" height="${HEIGHT}"/>`,
    ...body.map((line) => `  ${line}`),
    "</svg>",
    "",
  ].join("\n");
}

/** A scene in the picture's own coordinates: x 0–640 to the right, y 0–240 up. */
function scene({ shapes = [], lines = [], marks = [], texts = [] }) {
  const points = (list) => list.map(([x, y]) => `${x},${HEIGHT - y}`).join(" ");
  return [
    ...shapes.map(
      ({ look, at, dashed }) =>
        `<polygon class="${look}" points="${points(at)}"${dashed ? ' stroke-dasharray="5 4"' : ""}/>`,
    ),
    ...lines.flatMap(({ verdict, at, word, wordAt }) => [
      verdict === undefined
        ? `<polyline class="edge" stroke-dasharray="4 4" points="${points(at)}"/>`
        : `<polyline class="${verdict}" fill="none" stroke-width="3" stroke-dasharray="${LOOK[verdict]}" points="${points(at)}"/>`,
      ...(word === undefined ? [] : [text(...(wordAt ?? at[0]), word, verdict === undefined ? "faint" : "ink word")]),
    ]),
    // A short bar with arms: our own mark for the aircraft; a saltire for the recovery point.
    ...marks.map(({ what, at: [x, y] }) =>
      what === "aircraft"
        ? `<path class="edge" stroke-width="2.5" d="M${x - 9},${HEIGHT - y} h18 M${x - 9},${HEIGHT - y - 4} v8 M${x + 9},${HEIGHT - y - 4} v8"/>`
        : `<path class="edge" stroke-width="2.5" d="M${x - 6},${HEIGHT - y - 6} l12,12 M${x - 6},${HEIGHT - y + 6} l12,-12"/>`,
    ),
    ...texts.map(([x, y, words]) => text(x, y, words, "faint")),
  ];
}

const LEFT = 60;
const RIGHT = 150;
const TOP = 34;
const BOTTOM = 62;

/** A value over time with its limits, and under it the verdicts as a bar with words. */
function strip({ from, to, unit, values, limits = [], spans, notes = [] }) {
  const x = (share) => round(LEFT + share * (WIDTH - LEFT - RIGHT));
  const y = (value) => round(TOP + ((to - value) / (to - from)) * (HEIGHT - TOP - BOTTOM));
  const right = WIDTH - RIGHT;
  const bar = HEIGHT - 40;
  const between = (a, b) => {
    const at = (share) => {
      const i = Math.max(
        1,
        values.findIndex(([one]) => one >= share),
      );
      const [[x0, y0], [x1, y1]] = [values[i - 1], values[i]];
      return x1 === x0 ? y1 : y0 + ((share - x0) / (x1 - x0)) * (y1 - y0);
    };
    const inner = values.filter(([share]) => share > a && share < b);
    return [[a, at(a)], ...inner, [b, at(b)]].map(([share, value]) => `${x(share)},${y(value)}`).join(" ");
  };
  return [
    `<path class="edge" d="M${LEFT},${TOP} V${HEIGHT - BOTTOM} H${right}"/>`,
    text(8, HEIGHT - 18, unit, "faint"),
    text(right + 8, BOTTOM - 4, "time", "faint"),
    ...limits.flatMap(([value, words]) => [
      `<path class="edge" stroke-dasharray="4 4" d="M${LEFT},${y(value)} H${right}"/>`,
      text(right + 8, HEIGHT - y(value) - 4, words, "faint"),
    ]),
    ...spans.flatMap(([a, b, verdict]) => [
      `<polyline class="${verdict}" fill="none" stroke-width="3" stroke-dasharray="${LOOK[verdict]}" points="${between(a, b)}"/>`,
      `<path class="${verdict}" stroke-width="6" stroke-dasharray="${LOOK[verdict]}" d="M${x(a)},${bar} H${x(b)}"/>`,
      text(x(a), HEIGHT - bar - 20, verdict, "ink word"),
    ]),
    ...notes.map(([share, value, words]) => text(x(share), HEIGHT - y(value), words, "faint")),
  ];
}

function text(x, y, words, look) {
  return `<text class="${look}" x="${x}" y="${round(HEIGHT - y)}">${escape(words)}</text>`;
}

function round(value) {
  return Math.round(value * 10) / 10;
}

function escape(words) {
  return words.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll('"', "&quot;");
}
