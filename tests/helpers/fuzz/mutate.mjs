// Corruptions for the fuzzer: of bytes, of rows and cells, of tokens. One generator of random numbers decides them all.

/** Texts that readers of text trip over; none is a number's bad name, so that a NaN in a report is the program's own. */
const JUNK = [
  '"',
  ",",
  "\n",
  "\r\n",
  "\r",
  "\0",
  "<",
  ">",
  "&x;",
  "<!DOCTYPE gpx [<!ENTITY a 'b'>]>",
  "]]>",
  "-->",
  "-",
  ";",
  "\t",
  "|",
  "#",
  "é",
  "(",
  "°",
  "{",
  "}",
  "[",
  "]",
  ":",
  "*a",
  "&a ",
  "!!set ",
  "<<: ",
  "__proto__",
  "constructor",
  "toString",
  "=1+1",
  "@SUM(1)",
  "\u001b[31m",
  "\u202e",
  "\ud800",
  "\ufeff",
  "../../",
  "/dev/null",
  "true",
  "~",
];

const NUMBERS = [
  "0",
  "-0",
  "-1",
  "1e308",
  "-1e308",
  "1e-320",
  "1e999",
  "99999999999999999999",
  "90",
  "-90.0000001",
  "180",
  "-180",
  "359.9999999",
  "360",
  "32767",
  "-32768",
  "4294967295",
  "9007199254740993",
  "0.000000001",
  "1,5",
  "1 000",
  "0x1F",
  "007",
  "",
  " ",
];

/** @returns one of a list */
export const pick = (list, random) => list[Math.floor(random() * list.length)];
const upTo = (most, random) => Math.floor(random() * (most + 1));

/** Changes some bytes, wherever they are. */
function ofBytes(bytes, random) {
  const at = upTo(bytes.length, random);
  const size = 1 + upTo(60, random);
  const [before, after] = [bytes.subarray(0, at), bytes.subarray(at)];
  const kinds = [
    () => [Buffer.from([(after[0] ?? 0) ^ (1 << upTo(7, random))]), after.subarray(1)],
    () => [after.subarray(size)],
    () => [Buffer.from(pick(JUNK, random)), after],
    () => [after.subarray(0, size), after],
    () => [],
    () => [after.subarray(size, 2 * size), after.subarray(0, size), after.subarray(2 * size)],
    () => [Buffer.alloc(Math.min(size, 8), pick([0, 0xff, 0x80, 0x7f], random)), after.subarray(Math.min(size, 8))],
  ];
  return Buffer.concat([before, ...pick(kinds, random)()]);
}

/** Replaces one number of a text, or all that stand in one column of it. */
function ofNumbers(bytes, random) {
  const text = bytes.toString("latin1");
  const places = [...text.matchAll(/-?\d+(?:\.\d+)?/g)];
  if (places.length === 0) return ofBytes(bytes, random);
  const { index, 0: found } = pick(places, random);
  const scaled = () => String(Number(found) * pick([-1, 10, 1000, 1e6, 0.001, 0], random) + pick([0, 1, 360], random));
  const other = random() < 0.5 ? pick(NUMBERS, random) : scaled();
  return Buffer.from(text.slice(0, index) + other + text.slice(index + found.length), "latin1");
}

/** Moves, drops, doubles or turns round whole lines. */
function ofLines(bytes, random) {
  const lines = bytes.toString("latin1").split("\n");
  const from = upTo(lines.length - 1, random);
  const size = 1 + upTo(Math.min(40, lines.length - 1), random);
  const taken = lines.splice(from, size);
  const put = (at, some) => lines.splice(at, 0, ...some);
  const kinds = [
    () => undefined,
    () => put(from, [...taken, ...taken]),
    () => put(from, taken.toReversed()),
    () => put(upTo(lines.length, random), taken),
    () =>
      put(
        from,
        taken.map((line) => line.slice(0, upTo(line.length, random))),
      ),
    () =>
      put(
        from,
        taken.map((line) => pick(["  ", "\t", "#", " "], random) + line),
      ),
  ];
  pick(kinds, random)();
  return Buffer.from(lines.join("\n"), "latin1");
}

/** Sets one cell of many rows to one value: a sensor that sticks, a column that is something else. */
function ofColumn(bytes, random) {
  const lines = bytes.toString("latin1").split("\n");
  const column = upTo(15, random);
  const value = pick([...NUMBERS, ...JUNK.slice(0, 30)], random);
  const from = upTo(lines.length - 1, random);
  const to = from + upTo(lines.length, random);
  const changed = lines.map((line, row) => {
    if (row < from || row > to) return line;
    const cells = line.split(",");
    if (cells.length > column) cells[column] = value;
    return cells.join(",");
  });
  return Buffer.from(changed.join("\n"), "latin1");
}

/** Replaces a word of a text by another of it, or by junk. */
function ofWords(bytes, random) {
  const text = bytes.toString("latin1");
  const words = [...text.matchAll(/[A-Za-z_][\w-]*/g)];
  if (words.length === 0) return ofBytes(bytes, random);
  const { index, 0: found } = pick(words, random);
  const other = random() < 0.6 ? pick(words, random)[0] : pick(JUNK, random);
  return Buffer.from(text.slice(0, index) + other + text.slice(index + found.length), "utf8");
}

/** Damages the beginning, where a binary file has its header. */
function ofHeader(bytes, random) {
  const changed = Buffer.from(bytes);
  for (let k = upTo(3, random); k >= 0; k -= 1) {
    const at = upTo(Math.min(changed.length, 500) - 1, random);
    if (at >= 0)
      changed[at] = random() < 0.5 ? upTo(255, random) : pick([0, 1, 2, 3, 4, 5, 8, 16, 32, 64, 255], random);
  }
  return changed;
}

const KINDS = {
  text: [ofBytes, ofNumbers, ofNumbers, ofLines, ofColumn, ofWords],
  binary: [ofBytes, ofHeader, ofHeader],
};

/** @returns a copy with one to four corruptions */
export function corrupt(bytes, kind, random) {
  let changed = Buffer.from(bytes);
  for (let times = 1 + upTo(3, random); times > 0; times -= 1) changed = pick(KINDS[kind], random)(changed, random);
  return changed;
}
