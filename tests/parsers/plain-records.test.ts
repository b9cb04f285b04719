import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isPlain, readPlainRecords } from "../../src/parsers/csv/plain-records.js";
import { readRecords } from "../../src/parsers/csv/record-reader.js";

type Records = [line: number, ...cells: string[]][];

function plainly(text: string, delimiter: string, comment?: string, firstLine = 1): Records {
  const records: Records = [];
  readPlainRecords(text, { delimiter, comment }, firstLine, (cells, line) => records.push([line, ...cells]));
  return records;
}

async function byCsvParse(text: string, delimiter: string, comment?: string, firstLine = 1): Promise<Records> {
  const records: Records = [];
  await readRecords([Buffer.from(text)], { delimiter, comment }, firstLine, (cells, line) => {
    records.push([line, ...cells]);
  });
  return records;
}

describe("plain records", () => {
  it("are lines cut at the delimiter; empty lines and comments are counted and left out", () => {
    expect(plainly("# title\n\na;b\r\n1;2\r;\n", ";", "#", 5)).toEqual([
      [7, "a", "b"],
      [8, "1", "2"],
      [9, "", ""],
    ]);
  });

  it("keep a mark that does not begin a line", () => {
    expect(plainly("a,#b\n #,c", ",", "#")).toEqual([
      [1, "a", "#b"],
      [2, " #", "c"],
    ]);
  });

  it("are not for a text with quotes", () => {
    expect(isPlain("a,b\n")).toBe(true);
    expect(isPlain('a,"b"\n')).toBe(false);
  });

  it("are those of csv-parse", async () => {
    const piece = fc.constantFrom(
      "a",
      "1.5",
      "-",
      " ",
      "é",
      ",",
      ";",
      "\t",
      "|",
      "#",
      "//",
      "/",
      "'",
      "\n",
      "\r",
      "\r\n",
    );
    await fc.assert(
      fc.asyncProperty(
        fc.array(piece, { maxLength: 40 }),
        fc.constantFrom(",", ";", "\t", "|"),
        fc.constantFrom(undefined, "#", "//"),
        async (pieces, delimiter, comment) => {
          const text = pieces.join("");
          expect(plainly(text, delimiter, comment)).toEqual(await byCsvParse(text, delimiter, comment));
        },
      ),
      { numRuns: 2000 },
    );
  });
});
