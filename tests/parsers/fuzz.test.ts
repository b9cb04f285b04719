import fc from "fast-check";
import { expect, test } from "vitest";
import { readLog, type ReadLogResult } from "../../src/parsers/read-log.js";
import { UserError } from "../../src/user-error.js";
import { FIXTURES } from "./fixture-table.js";
import { fixture } from "./read.js";

/** More at will: `npm run fuzz -- --cases 10000 --seed 1`. */
const CASES = Number(process.env["HOMELEG_FUZZ_CASES"] ?? 400);
const SEED = process.env["HOMELEG_FUZZ_SEED"];

type Mutation = readonly [kind: "flip" | "delete" | "insert" | "repeat" | "cut" | "swap", place: number, size: number];

const mutation: fc.Arbitrary<Mutation> = fc.tuple(
  fc.constantFrom("flip", "delete", "insert", "repeat", "cut", "swap"),
  fc.nat(1_000_000),
  fc.nat(60),
);

const JUNK = [
  '"',
  ",",
  "\n",
  "\r\n",
  "\0",
  "<",
  "&x;",
  "NaN",
  "1e308",
  "-",
  ";",
  "\t",
  "99999999999999999999",
  "#",
  "é",
  "(",
  "°",
];

function mutate(bytes: Buffer, [kind, place, size]: Mutation): Buffer {
  const at = bytes.length === 0 ? 0 : place % bytes.length;
  const [before, after] = [bytes.subarray(0, at), bytes.subarray(at)];
  const end = {
    flip: [Buffer.from([(after[0] ?? 0) ^ (1 << (size % 8))]), after.subarray(1)],
    delete: [after.subarray(size)],
    insert: [Buffer.from(JUNK[size % JUNK.length] ?? ""), after],
    repeat: [after.subarray(0, size), after],
    cut: [],
    swap: [after.subarray(size, 2 * size), after.subarray(0, size), after.subarray(2 * size)],
  }[kind];
  return Buffer.concat([before, ...end]);
}

/** What every track must keep to, whatever the file held. */
function checkTrack({ track, rows, rowsRejected, problems }: ReadLogResult): void {
  const { time_s, latitude_deg, longitude_deg } = track.columns;
  expect(track.length).toBeGreaterThan(0);
  for (const values of Object.values(track.columns)) {
    expect(values.length).toBe(track.length);
    expect(values.some((value) => value === Infinity || value === -Infinity)).toBe(false);
  }
  expect(time_s[0]).toBe(0);
  expect(time_s.every((time, row) => row === 0 || time > (time_s[row - 1] ?? Infinity))).toBe(true);
  expect(latitude_deg.every((value) => Number.isNaN(value) || Math.abs(value) <= 90)).toBe(true);
  expect(longitude_deg.every((value) => Number.isNaN(value) || Math.abs(value) <= 180)).toBe(true);
  expect(track.startUtc_s === undefined || Number.isFinite(track.startUtc_s)).toBe(true);
  expect(track.breaks.every((row, index) => row > (track.breaks[index - 1] ?? 0) && row < track.length)).toBe(true);
  expect(rows - rowsRejected).toBeGreaterThanOrEqual(track.length);
  // oxlint-disable-next-line no-control-regex
  for (const { message } of problems) expect(message).not.toMatch(/[\u0000-\u001f\u007f-\u009f]/);
}

test("any corruption of a fixture ends in a sound track or one error for people", async () => {
  const file = fc.constantFrom(...FIXTURES.map(([file]) => file));
  await fc.assert(
    fc.asyncProperty(file, fc.array(mutation, { minLength: 1, maxLength: 4 }), async (file, mutations) => {
      const bytes = mutations.reduce(mutate, Buffer.from(fixture(file)));
      try {
        checkTrack(await readLog([bytes], { path: file }));
      } catch (error) {
        if (!(error instanceof UserError)) throw error;
        // oxlint-disable-next-line no-control-regex
        expect(error.line).not.toMatch(/[\u0000-\u001f\u007f-\u009f]/);
      }
    }),
    { numRuns: CASES, ...(SEED === undefined ? {} : { seed: Number(SEED) }) },
  );
});

test("cut anywhere, all whole rows are kept and what is lost is said", async () => {
  const bytes = Buffer.from(fixture("flags-and-fix.csv"));
  const lines = bytes.toString().split("\n");
  const headerEnd = (lines[0] ?? "").length + 1;
  for (let end = headerEnd + (lines[1] ?? "").length + 1; end < bytes.length; end += 1) {
    const { rows, track, problems } = await readLog([bytes.subarray(0, end)], { path: "cut.csv" });
    const whole = bytes.subarray(0, end).toString().split("\n").length - 2;
    expect(track.length).toBeGreaterThanOrEqual(whole);
    const isLost = rows === whole && bytes[end - 1] !== 10;
    expect(problems.map(({ code }) => code)).toEqual(isLost ? ["truncated"] : []);
  }
});
