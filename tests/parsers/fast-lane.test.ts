import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readLog } from "../../src/parsers/read-log.js";
import { differenceOf } from "../helpers/lanes.mjs";
import { randomCsv } from "../helpers/random-csv.mjs";
import { read } from "./read.js";

const RUNS = Number(process.env["HOMELEG_LANE_RUNS"] ?? 150);
const HEADER = "time (s),latitude,longitude,ground speed (m/s),airborne,mode,note\n";

/** What both readers make of one file; they must agree. */
async function lanes(text: string): Promise<{ plain: number; csvParse: number } | undefined> {
  const { difference, lanes: taken } = await differenceOf(readLog, Buffer.from(text));
  expect(difference).toBeUndefined();
  return taken;
}

describe("the fast lane and csv-parse read alike", () => {
  test("any log in any dialect, with any oddity", async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 1_000_000, max: 2 ** 31 - 1 }),
        fc.integer({ min: 1, max: 60 }),
        async (seed, rows) => {
          const { difference } = await differenceOf(readLog, randomCsv(seed, rows));
          expect(difference).toBeUndefined();
        },
      ),
      { numRuns: RUNS },
    );
  });

  test("any number is what Number makes of it, to the last bit", async () => {
    const digits = fc.stringMatching(/^\d{1,19}$/);
    const number = fc
      .tuple(fc.constantFrom("", "-", "+"), digits, fc.constantFrom("", "."), fc.option(digits, { nil: "" }))
      .map(([sign, whole, mark, part]) => `${sign}${whole}${mark}${mark === "" ? "" : part}`)
      .filter((text) => Math.abs(Number(text)) <= 1e9);
    await fc.assert(
      fc.asyncProperty(fc.array(number, { minLength: 1, maxLength: 40 }), async (texts) => {
        const rows = texts.map((text, row) => `${row},47,8,${text},1,A,`);
        const { track, parser, lanes: taken } = readAsCsv(await read(`${HEADER}${rows.join("\n")}\n`));
        const values = track.columns.groundSpeed_ms;
        texts.forEach((text, row) => {
          // No channel keeps a −0: adding the offset of its unit makes it 0.
          expect(Object.is(values?.[row], Number(text) + 0), text).toBe(true);
        });
        expect(parser).toBe("csv");
        expect(taken).toEqual({ plain: texts.length, csvParse: 0 });
      }),
      { numRuns: RUNS },
    );
  });

  const row = (second: number): string => `${second},47.${second},8.1,3.5,1,Hold,x`;
  const many = Array.from({ length: 5000 }, (_, second) => row(second)).join("\n");

  test.each<[string, string, { plain: number; csvParse: number }]>([
    ["plain rows", `${many}\n`, { plain: 5000, csvParse: 0 }],
    ["a last line without an end", many, { plain: 4999, csvParse: 1 }],
    ["words, blanks and short rows", `${row(1)}\n2,47,8,N/A,yes,,\n3,47,8\n`, { plain: 3, csvParse: 0 }],
    ["a comment and an empty line", `# one, "two\n\n${row(1)}\n${row(2)}\n`, { plain: 2, csvParse: 0 }],
    ["rows that are rejected", `x,47,8\n1,north,8\n2,47,8\n`, { plain: 3, csvParse: 0 }],
    ["the header again", `${row(1)}\n${HEADER}${row(2)}\n`, { plain: 3, csvParse: 0 }],
    ["too many cells", `${row(1)}\n${row(2)},more\n${row(3)},,\n`, { plain: 3, csvParse: 0 }],
    ["a quote sends the rest of its block", `${row(1)}\n2,47,8,3,1,"a, b",\n${row(3)}\n`, { plain: 1, csvParse: 2 }],
  ])("%s", async (_, text, taken) => {
    expect(await lanes(HEADER + text)).toEqual(taken);
  });

  test("after the block with the quote the fast lane goes on, and lines keep their numbers", async () => {
    const text = `${HEADER}0,47,8,3,1,"two\nlines",\n${many.replace("4000,", "x,")}\n`;
    const taken = await lanes(text);
    expect(taken?.plain).toBeGreaterThan(2000);
    expect(taken?.csvParse).toBeGreaterThan(1000);
    expect((await read(text)).problems.find(({ code }) => code === "row-rejected")?.line).toBe(4004);
  });

  test("a quote that stays open over blocks is read whole", async () => {
    const long = "line\n".repeat(40_000);
    const taken = await lanes(`${HEADER}${many}\n1,47,8,3,1,"${long}",\n${many}\n`);
    expect(taken?.csvParse).toBeGreaterThan(0);
    expect(taken?.plain).toBeGreaterThan(5000);
  });

  test("a quote that is never closed swallows no more than csv-parse lets it", async () => {
    await lanes(`${HEADER}${many}\n1,47,8,3,1,"${"line\n".repeat(400_000)}${many}\n`);
  });

  test("a line of a megabyte", async () => {
    await lanes(
      `${HEADER}${row(0)}\n1,47,8,3,1,A,${"x".repeat(900_000)}\n${row(2)}\n${"9".repeat(3_000_000)}\n${row(3)}\n`,
    );
  });

  test("columns that are numbers by name, where a header could be a row", async () => {
    const columns = {
      time: { column: "0", unit: "s" },
      latitude: { column: "1", unit: "deg" },
      longitude: { column: "2", unit: "deg" },
    };
    const { track } = await read("0,1,2\n1,47,8\n0,1,2\n2,47,8\n", { columns });
    expect(track.breaks).toEqual([1]);
  });
});

function readAsCsv(log: Awaited<ReturnType<typeof read>>): Extract<typeof log, { parser: "csv" }> {
  if (log.parser !== "csv") throw new Error("the log was read as GPX");
  return log;
}
