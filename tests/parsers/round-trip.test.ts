import fc from "fast-check";
import { expect, test } from "vitest";
import { read } from "./read.js";
import { dialects, expectedColumns, START_S, tellsDate, writeCsv, writtenRows } from "./write-csv.js";

const RUNS = Number(process.env["HOMELEG_ROUND_TRIPS"] ?? 300);

test("any track in any dialect reads back to the last written digit", async () => {
  await fc.assert(
    fc.asyncProperty(writtenRows, dialects, async (rows, dialect) => {
      const { track, rowsRejected } = await read(writeCsv(rows, dialect));
      const columns = Object.fromEntries(Object.entries(track.columns).map(([key, values]) => [key, [...values]]));
      expect(columns).toEqual(expectedColumns(rows));
      expect(rowsRejected).toBe(0);
      expect(track.startUtc_s).toBe(tellsDate(dialect) ? START_S : undefined);
      const modes = Array.from(track.mode?.codes ?? [], (code) => track.mode?.words[code]);
      expect(modes).toEqual(rows.map(({ mode }) => mode.replace("\n", " ")));
    }),
    { numRuns: RUNS },
  );
});
