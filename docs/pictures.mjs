// What the picture of each rule shows: one entry a rule, by its id. `strip`: a value over time (shares 0–1 of the width)
// with limits and verdicts. Else a scene, x 0–640 to the right, y 0–240 up. All places and values are invented.
const PLAIN = {
  look: "ground",
  at: [
    [0, 0],
    [640, 0],
    [640, 30],
    [0, 30],
  ],
};
const HOME = { what: "point", at: [70, 36] };
const homeText = [30, 12, "recovery point"];

export const PICTURES = {
  "reserve-short": {
    kind: "strip",
    says: "Battery left at touchdown falls as the flight goes on: clear above the reserve, thin under it by the upper need, fail under the floor.",
    from: 0,
    to: 60,
    unit: "% at touchdown",
    values: [
      [0, 55],
      [1, 2],
    ],
    limits: [
      [25, "reserve"],
      [10, "floor"],
    ],
    spans: [
      [0, 0.566, "clear"],
      [0.566, 0.849, "thin"],
      [0.849, 1, "fail"],
    ],
  },
  "headwind-stall": {
    kind: "strip",
    says: "Ground speed on the way home falls as the wind rises: thin where it is under the limit in the gusts, fail where the wind itself leaves less.",
    from: -3,
    to: 9,
    unit: "m/s over the ground",
    values: [
      [0, 8],
      [0.5, 4],
      [1, -2],
    ],
    limits: [[1, "least speed"]],
    spans: [
      [0, 0.5, "clear"],
      [0.5, 0.75, "thin"],
      [0.75, 1, "fail"],
    ],
    notes: [[0.48, 5, "in gusts under the limit"]],
  },
  "ceiling-low": {
    says: "Three ways home over a ridge: one well above it, one above it by less than the clearance, one into it.",
    shapes: [
      {
        look: "ground",
        at: [
          [0, 0],
          [640, 0],
          [640, 40],
          [480, 50],
          [390, 110],
          [330, 120],
          [270, 100],
          [180, 40],
          [0, 30],
        ],
      },
    ],
    lines: [
      {
        verdict: "clear",
        at: [
          [560, 180],
          [70, 180],
          [70, 40],
        ],
        word: "clear: the margin is kept",
        wordAt: [380, 188],
      },
      {
        verdict: "thin",
        at: [
          [560, 134],
          [74, 134],
        ],
        word: "thin: less than the clearance",
        wordAt: [380, 142],
      },
      {
        verdict: "fail",
        at: [
          [560, 90],
          [78, 90],
        ],
        word: "fail: into the ridge",
        wordAt: [430, 98],
      },
    ],
    marks: [HOME, { what: "aircraft", at: [560, 64] }],
    texts: [homeText, [530, 12, "aircraft"]],
  },
  "overhead-cover": {
    says: "Three climbs beside and under a tree: one clear of it, one whose corridor touches it, one straight into it.",
    shapes: [
      PLAIN,
      {
        look: "thing",
        at: [
          [300, 30],
          [316, 30],
          [316, 100],
          [300, 100],
        ],
      },
      {
        look: "thing",
        at: [
          [210, 100],
          [410, 100],
          [440, 150],
          [380, 200],
          [240, 200],
          [180, 150],
        ],
      },
    ],
    lines: [
      {
        verdict: "clear",
        at: [
          [560, 60],
          [560, 225],
        ],
        word: "clear",
        wordAt: [572, 130],
      },
      {
        verdict: "thin",
        at: [
          [455, 60],
          [455, 225],
        ],
        word: "thin: it brushes past",
        wordAt: [440, 44],
      },
      {
        verdict: "fail",
        at: [
          [260, 60],
          [260, 100],
        ],
        word: "fail: it climbs into the cover",
        wordAt: [60, 76],
      },
    ],
    marks: [
      { what: "aircraft", at: [560, 56] },
      { what: "aircraft", at: [455, 64] },
      { what: "aircraft", at: [260, 56] },
    ],
  },
  "keepout-crossed": {
    says: "Seen from above, three ways home: one past a keep-out area, one whose corridor touches it, one across it.",
    shapes: [
      {
        look: "zone",
        dashed: true,
        at: [
          [260, 90],
          [380, 90],
          [400, 160],
          [280, 170],
        ],
      },
    ],
    lines: [
      {
        verdict: "clear",
        at: [
          [580, 30],
          [70, 40],
        ],
        word: "clear",
        wordAt: [520, 12],
      },
      {
        verdict: "thin",
        at: [
          [580, 84],
          [76, 44],
        ],
        word: "thin: the corridor touches",
        wordAt: [430, 92],
      },
      {
        verdict: "fail",
        at: [
          [580, 200],
          [80, 48],
        ],
        word: "fail: across it",
        wordAt: [520, 215],
      },
    ],
    marks: [{ what: "point", at: [62, 42] }],
    texts: [
      [20, 16, "recovery point"],
      [290, 128, "keep-out"],
    ],
  },
  "action-unsuited": {
    says: "Lost-link actions: a return is clear, a hold far from the operator is thin, a landing over water fails.",
    shapes: [
      PLAIN,
      {
        look: "water",
        at: [
          [420, 10],
          [640, 10],
          [640, 30],
          [420, 30],
        ],
      },
    ],
    lines: [
      {
        verdict: "clear",
        at: [
          [180, 130],
          [70, 130],
          [70, 44],
        ],
        word: "clear: return",
        wordAt: [90, 140],
      },
      {
        verdict: "thin",
        at: [
          [300, 110],
          [360, 110],
        ],
        word: "thin: hold, far from the operator",
        wordAt: [220, 84],
      },
      {
        verdict: "fail",
        at: [
          [530, 150],
          [530, 34],
        ],
        word: "fail: land, over water",
        wordAt: [470, 168],
      },
    ],
    marks: [
      HOME,
      { what: "aircraft", at: [190, 130] },
      { what: "aircraft", at: [300, 110] },
      { what: "aircraft", at: [530, 154] },
    ],
    texts: [homeText],
  },
  "point-adrift": {
    says: "Seen from above: the operator beside the recovery point is clear, some way off thin, far off fail.",
    lines: [
      {
        verdict: "clear",
        at: [
          [80, 110],
          [150, 110],
        ],
        word: "clear",
        wordAt: [90, 118],
      },
      {
        verdict: "thin",
        at: [
          [150, 110],
          [330, 110],
        ],
        word: "thin: over the first limit",
        wordAt: [165, 118],
      },
      {
        verdict: "fail",
        at: [
          [330, 110],
          [590, 110],
        ],
        word: "fail: over the second limit, or it leads away",
        wordAt: [330, 138],
      },
    ],
    marks: [{ what: "point", at: [74, 110] }],
    texts: [
      [30, 80, "recovery point, where the flight began"],
      [480, 80, "operator, walked on"],
    ],
  },
  "fix-weak": {
    kind: "strip",
    says: "Satellites seen over time: clear from the limit up, thin under it, fail with fewer than four.",
    from: 0,
    to: 16,
    unit: "satellites",
    values: [
      [0, 14],
      [0.3, 12],
      [0.45, 8],
      [0.6, 7],
      [0.75, 4],
      [0.8, 2],
      [1, 3],
    ],
    limits: [
      [8, "limit"],
      [4, "no position"],
    ],
    spans: [
      [0, 0.45, "clear"],
      [0.45, 0.75, "thin"],
      [0.75, 1, "fail"],
    ],
  },
  "turnback-late": {
    kind: "strip",
    says: "Distance over time: a flight that turns at its last safe moment is clear; one still outbound after the reserve's moment is thin, after the floor's fail.",
    from: 0,
    to: 1000,
    unit: "m out",
    values: [
      [0, 0],
      [0.45, 450],
      [0.7, 700],
      [0.9, 900],
      [1, 760],
    ],
    limits: [],
    spans: [
      [0, 0.45, "clear"],
      [0.45, 0.7, "thin"],
      [0.7, 1, "fail"],
    ],
    notes: [
      [0.2, 560, "last moment with the reserve"],
      [0.44, 790, "with the floor"],
      [0.84, 950, "turned"],
    ],
  },
  "reserve-floor": {
    kind: "strip",
    says: "Battery while away from home: clear above the low battery, thin when held under it, fail when held under the touchdown floor.",
    from: 0,
    to: 50,
    unit: "% while away",
    values: [
      [0, 45],
      [1, 3],
    ],
    limits: [
      [25, "low battery"],
      [10, "touchdown floor"],
    ],
    spans: [
      [0, 0.476, "clear"],
      [0.476, 0.833, "thin"],
      [0.833, 1, "fail"],
    ],
  },
  "cell-sag": {
    kind: "strip",
    says: "Lowest cell voltage under load over time: thin within a tenth of a volt over the floor, fail under it.",
    from: 3.2,
    to: 3.8,
    unit: "V a cell",
    values: [
      [0, 3.75],
      [0.5, 3.6],
      [0.75, 3.5],
      [0.9, 3.4],
      [1, 3.15],
    ],
    limits: [
      [3.5, "floor + 0.1 V"],
      [3.4, "cell floor"],
    ],
    spans: [
      [0, 0.75, "clear"],
      [0.75, 0.9, "thin"],
      [0.9, 1, "fail"],
    ],
  },
  "point-late": {
    says: "A take-off and climb: a recovery point fixed on the ground is clear, fixed low in flight thin, fixed high or far away fail.",
    shapes: [PLAIN],
    lines: [
      {
        at: [
          [90, 40],
          [90, 110],
          [300, 150],
          [560, 205],
        ],
      },
      {
        at: [
          [40, 120],
          [600, 120],
        ],
        word: "height before point",
        wordAt: [450, 106],
      },
      {
        verdict: "clear",
        at: [
          [70, 40],
          [110, 40],
        ],
        word: "clear: fixed before take-off",
        wordAt: [120, 42],
      },
      {
        verdict: "thin",
        at: [
          [75, 90],
          [105, 90],
        ],
        word: "thin: fixed low, near by",
        wordAt: [115, 86],
      },
      {
        verdict: "fail",
        at: [
          [380, 168],
          [420, 176],
        ],
        word: "fail: fixed high, or far away",
        wordAt: [400, 150],
      },
    ],
    marks: [{ what: "aircraft", at: [560, 205] }],
  },
  "point-unsafe": {
    says: "Three recovery points: level and free ground is clear, a slope is thin, water or a roof fails.",
    shapes: [
      {
        look: "ground",
        at: [
          [0, 0],
          [640, 0],
          [640, 60],
          [420, 60],
          [240, 30],
          [0, 30],
        ],
      },
      {
        look: "water",
        at: [
          [480, 40],
          [600, 40],
          [600, 60],
          [480, 60],
        ],
      },
    ],
    lines: [
      {
        verdict: "clear",
        at: [
          [90, 200],
          [90, 44],
        ],
        word: "clear: level, free",
        wordAt: [100, 180],
      },
      {
        verdict: "thin",
        at: [
          [330, 200],
          [330, 56],
        ],
        word: "thin: on a slope",
        wordAt: [340, 180],
      },
      {
        verdict: "fail",
        at: [
          [540, 200],
          [540, 66],
        ],
        word: "fail: water",
        wordAt: [550, 180],
      },
    ],
    marks: [
      { what: "point", at: [90, 36] },
      { what: "point", at: [330, 48] },
      { what: "point", at: [540, 60] },
    ],
  },
  "ceiling-high": {
    says: "A level way home from a hill across a valley: at the lower height it stays within the legal height over the ground, at the higher one it does not where the ground falls away.",
    shapes: [
      {
        look: "ground",
        at: [
          [0, 0],
          [640, 0],
          [640, 90],
          [520, 86],
          [420, 40],
          [300, 24],
          [200, 60],
          [120, 84],
          [0, 84],
        ],
      },
    ],
    lines: [
      {
        verdict: "thin",
        at: [
          [580, 206],
          [74, 206],
        ],
        word: "thin: over the legal height above the valley",
        wordAt: [240, 214],
      },
      {
        verdict: "clear",
        at: [
          [580, 140],
          [74, 140],
        ],
        word: "clear",
        wordAt: [90, 148],
      },
      {
        at: [
          [0, 220],
          [120, 220],
          [200, 196],
          [300, 160],
          [420, 176],
          [520, 222],
          [640, 226],
        ],
        word: "legal height over the ground",
        wordAt: [225, 176],
      },
    ],
    marks: [
      { what: "point", at: [70, 90] },
      { what: "aircraft", at: [590, 112] },
    ],
    texts: [[30, 62, "recovery point"]],
  },
  "link-fading": {
    kind: "strip",
    says: "Link quality over time: thin where it stays under the limit, fail where it is lost and the recovery that follows would not work, or does not follow.",
    from: 0,
    to: 100,
    unit: "% link",
    values: [
      [0, 95],
      [0.4, 60],
      [0.5, 30],
      [0.65, 18],
      [0.75, 0],
      [1, 0],
    ],
    limits: [
      [30, "limit"],
      [0, ""],
    ],
    spans: [
      [0, 0.5, "clear"],
      [0.5, 0.75, "thin"],
      [0.75, 1, "fail"],
    ],
    notes: [[0.78, 8, "lost"]],
  },
  "recovery-flown": {
    says: "A recovery that was flown against what was predicted: within the upper estimate clear, outside it thin, ended far from the recovery point fail.",
    shapes: [PLAIN],
    lines: [
      {
        verdict: "clear",
        at: [
          [560, 120],
          [90, 120],
          [90, 40],
        ],
        word: "clear: as predicted",
        wordAt: [380, 128],
      },
      {
        verdict: "thin",
        at: [
          [560, 150],
          [82, 150],
          [82, 40],
        ],
        word: "thin: it used more than the upper estimate",
        wordAt: [290, 158],
      },
      {
        verdict: "fail",
        at: [
          [560, 90],
          [300, 90],
          [300, 36],
        ],
        word: "fail: it ended elsewhere",
        wordAt: [312, 60],
      },
    ],
    marks: [
      { what: "point", at: [86, 36] },
      { what: "aircraft", at: [570, 120] },
    ],
    texts: [[40, 12, "recovery point"]],
  },
  "record-gap": {
    says: "Three records as bars: one whole to the landing is clear, one with a small gap or an end in the air thin, one with a fifth or more missing fail.",
    lines: [
      {
        verdict: "clear",
        at: [
          [60, 180],
          [560, 180],
        ],
        word: "clear: whole, to the landing",
        wordAt: [60, 190],
      },
      {
        verdict: "thin",
        at: [
          [60, 115],
          [340, 115],
        ],
        word: "thin: a small gap, or it ends in the air",
        wordAt: [60, 125],
      },
      {
        verdict: "thin",
        at: [
          [362, 115],
          [500, 115],
        ],
      },
      {
        verdict: "fail",
        at: [
          [60, 50],
          [220, 50],
        ],
        word: "fail: a fifth or more is missing",
        wordAt: [60, 60],
      },
      {
        verdict: "fail",
        at: [
          [400, 50],
          [560, 50],
        ],
      },
    ],
    texts: [
      [60, 16, "take-off"],
      [520, 16, "landing"],
    ],
  },
};
