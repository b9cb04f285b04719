// Random CSV logs in random dialects, with every oddity that logs have been seen with. Used by the fuzzing of the fast
// lane, in the suite and in the long run: one seed gives one file, on every machine.

/** @returns a small generator of random numbers in [0, 1) (mulberry32) */
export function randomOf(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

const ODD_CELLS = [
  "",
  " ",
  "N/A",
  "nan",
  "-",
  "--",
  "+",
  ".",
  "-.",
  "1e3",
  "1.5E-3",
  "-0",
  "+7",
  "0x1F",
  "Infinity",
  "1,234.5",
  "1.234,5",
  "1 234",
  "5.",
  ".5",
  "-.5",
  "00012.50",
  "9007199254740993",
  "900719925474099.3",
  "0.1234567890123456789",
  "123456789012345678901234567890",
  "0.00000000000000000000000001",
  "12.5\0\0",
  "\0",
  " 12.5 ",
  "12.5 m",
  "47°12'34.5\"N",
  "8.2E",
  "N47.1",
  "true",
  "no",
  "3D fix",
  "é",
  "١٢",
  "#",
  "//",
  "\uFEFF",
];

/** @returns the bytes of a log of about so many rows */
export function randomCsv(seed, rows) {
  const random = randomOf(seed);
  const pick = (choices) => choices[Math.floor(random() * choices.length)];
  const often = (share) => random() < share;
  const isComma = often(0.3);
  const dialect = {
    delimiter: pick(isComma ? [";", "\t", "|"] : [",", ",", ";", "\t", "|"]),
    end: pick(["\n", "\n", "\r\n", "\r"]),
    comment: pick(["", "", "#", "//"]),
    time: pick(["s", "s", "ms", "iso", "clock", "date-clock"]),
    // A file has few oddities, or many.
    odd: pick([0, 0, 0.0005, 0.01, 0.1]),
    quoted: pick([0, 0, 0.0005, 0.01, 0.3]),
    places: Math.floor(random() * 12),
    flags: pick([
      ["1", "0"],
      ["true", "false"],
      ["on", "off"],
    ]),
    trailing: often(0.1),
    units: often(0.2),
  };
  const decimal = (text) => (isComma ? text.replace(".", ",") : text);
  const number = (low, high, places) => decimal((low + random() * (high - low)).toFixed(places));
  const quote = (text) => `"${text.replaceAll('"', '""')}"`;
  const columns = columnsOf(dialect, { number, pick, often, decimal, random });
  const order = columns.map((_, index) => index).sort(() => random() - 0.5);
  const join = (cells) =>
    order.map((index) => cells[index]).join(dialect.delimiter) + (dialect.trailing ? dialect.delimiter : "");
  const header = join(columns.map(({ name, unit }) => (dialect.units || unit === "" ? name : `${name} (${unit})`)));
  const lines = [header];
  if (dialect.units) lines.push(join(columns.map(({ unit }) => unit)));
  for (let row = 0; row < rows; row += 1) {
    const cells = columns.map(({ cell }) => {
      const text = often(dialect.odd) ? pick(ODD_CELLS) : cell(row);
      const hasMark = text.includes(dialect.delimiter) || text.includes('"');
      if (hasMark && often(0.9)) return quote(text);
      if (!often(dialect.quoted)) return text;
      return pick([
        quote(text),
        quote(text),
        `${text}"`,
        `"${text}`,
        quote(`${text}${dialect.end}more`),
        quote(`${text}\r\n"`),
      ]);
    });
    let line = join(cells);
    if (often(dialect.odd / 4)) line = oddLine(line, header, { dialect, pick, random });
    lines.push(line);
  }
  const text = lines.join(dialect.end) + (often(0.7) ? dialect.end : "");
  const bytes = Buffer.from(text);
  return often(0.3) ? bytes.subarray(0, Math.floor(bytes.length * (0.3 + 0.7 * random()))) : bytes;
}

function oddLine(line, header, { dialect, pick, random }) {
  return pick([
    "",
    "   ",
    dialect.delimiter.repeat(3),
    header,
    `${dialect.comment}a comment, with "a quote`,
    `${line}${dialect.delimiter}`,
    `${line}${dialect.delimiter}surplus`,
    line.slice(0, Math.floor(line.length * random())),
    `${line}\r`,
    `\uFEFF${line}`,
    `${line}\r\n\n`,
  ]);
}

function columnsOf(dialect, { number, pick, often, decimal, random }) {
  const at = (row) => row * 0.1 + (often(0.001) ? -5 : 0);
  const iso = (row) => new Date(1_714_599_000_000 + at(row) * 1000).toISOString();
  const times = {
    s: [{ name: "time", unit: "s", cell: (row) => decimal(at(row).toFixed(1)) }],
    ms: [{ name: "time", unit: "ms", cell: (row) => String(Math.round(at(row) * 1000)) }],
    iso: [{ name: "time", unit: "", cell: iso }],
    clock: [{ name: "time", unit: "", cell: (row) => iso(row).slice(11, 23) }],
    "date-clock": [
      { name: "date", unit: "", cell: (row) => iso(row).slice(0, 10) },
      { name: "time", unit: "", cell: (row) => iso(row).slice(11, 23) },
    ],
  };
  const extra = [
    { name: "height above take-off", unit: "ft", cell: () => number(-5, 400, 2) },
    { name: "ground speed", unit: "km/h", cell: () => number(0, 60, 1) },
    { name: "battery", unit: "%", cell: (row) => String(100 - (row % 90)) },
    { name: "voltage", unit: "V", cell: () => number(13, 17, dialect.places) },
    { name: "satellites", unit: "", cell: () => String(Math.floor(random() * 20)) },
    { name: "hdop", unit: "", cell: () => number(0.5, 3, 1) },
    { name: "fix type", unit: "", cell: () => pick(["3", "2", "3D", "0", "5", "none"]) },
    { name: "airborne", unit: "", cell: () => pick(dialect.flags) },
    { name: "mode", unit: "", cell: () => pick(["Manual", "Hold", "", "Höhe halten"]) },
    { name: "surplus", unit: "", cell: () => pick(["note", "12.5", ""]) },
    { name: "wind speed", unit: "m/s", cell: () => number(0, 12, 3) },
  ].filter(() => often(0.6));
  return [
    ...times[dialect.time],
    { name: "latitude", unit: "deg", cell: () => number(46, 48, dialect.places) },
    { name: "longitude", unit: "deg", cell: () => number(-9, 9, dialect.places) },
    ...extra,
  ];
}
