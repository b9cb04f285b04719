import fc from "fast-check";
import { expect, test } from "vitest";
import { readLog } from "../../src/parsers/read-log.js";
import { UserError } from "../../src/user-error.js";
import { FIXTURES } from "./fixture-table.js";
import { fixture } from "./read.js";
import { dialects, writeCsv, writtenRows } from "./write-csv.js";

/** Cuts bytes at any places; some chunks are empty. */
function* cut(bytes: Uint8Array, places: readonly number[]): Generator<Uint8Array> {
  const at = places.map((place) => place % (bytes.length + 1)).toSorted((a, b) => a - b);
  let from = 0;
  for (const to of [...at, bytes.length]) {
    yield bytes.subarray(from, to);
    from = to;
  }
}

async function outcome(chunks: Iterable<Uint8Array>): Promise<unknown> {
  try {
    return await readLog(chunks, { path: "flight.csv" });
  } catch (error) {
    if (error instanceof UserError) return error.line;
    throw error;
  }
}

const places = fc.array(fc.nat(1_000_000), { maxLength: 12 });

test("however a fixture is cut into chunks, the result is the same", async () => {
  await fc.assert(
    fc.asyncProperty(fc.constantFrom(...FIXTURES.map(([file]) => file)), places, async (file, places) => {
      const bytes = fixture(file);
      expect(await outcome(cut(bytes, places))).toEqual(await outcome([bytes]));
    }),
    { numRuns: 150 },
  );
});

test("nor does it matter for a log of several blocks", async () => {
  const long = fc.record({ rows: writtenRows, dialect: dialects, places });
  await fc.assert(
    fc.asyncProperty(long, async ({ rows, dialect, places }) => {
      const many = Array.from({ length: 2500 }, (_, index) => ({
        ...(rows[index % rows.length] ?? rows[0]!),
        step_ms: 100,
      }));
      const bytes = writeCsv(many, { ...dialect, time: "elapsed-ms" });
      const whole = await readLog([bytes], { path: "flight.csv" });
      expect(whole.track.length).toBe(many.length);
      expect(await outcome(cut(bytes, places))).toEqual(whole);
    }),
    { numRuns: 5 },
  );
});
