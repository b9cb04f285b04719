import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readRecords, type RecordBreak } from "../../src/parsers/csv/record-reader.js";

type Seen = { readonly records: readonly (readonly [number, string])[]; readonly broken: RecordBreak | undefined };

async function records(text: string, cut = text.length, comment?: string): Promise<Seen> {
  const seen: [number, string][] = [];
  const bytes = Buffer.from(text);
  const broken = await readRecords(
    [bytes.subarray(0, cut), bytes.subarray(cut)],
    { delimiter: ",", comment },
    1,
    (cells, line) => {
      seen.push([line, cells.join("|")]);
    },
  );
  return { records: seen, broken };
}

describe("line numbers are those of an editor", () => {
  test.each<[string, string, readonly (readonly [number, string])[]]>([
    [
      "LF",
      "a,b\n1,2\n\n3,4\n",
      [
        [1, "a|b"],
        [2, "1|2"],
        [4, "3|4"],
      ],
    ],
    [
      "CR only",
      "a,b\r1,2\r\r3,4\r",
      [
        [1, "a|b"],
        [2, "1|2"],
        [4, "3|4"],
      ],
    ],
    [
      "mixed line ends",
      "a\r\nb\rc\nd",
      [
        [1, "a"],
        [2, "b"],
        [3, "c"],
        [4, "d"],
      ],
    ],
    [
      "after line breaks in quotes",
      'a,b\n"x\ny",1\nz,2\n',
      [
        [1, "a|b"],
        [2, "x\ny|1"],
        [4, "z|2"],
      ],
    ],
    [
      "after CRLF in quotes",
      'a,b\r\n"x\r\n\r\ny",1\r\nz,2\r\n',
      [
        [1, "a|b"],
        [2, "x\r\n\r\ny|1"],
        [5, "z|2"],
      ],
    ],
    [
      "after comments with quotes",
      'a\n# "x\n\n#y\nb\n',
      [
        [1, "a"],
        [5, "b"],
      ],
    ],
  ])("%s", async (_, text, expected) => {
    expect((await records(text, text.length, text.includes("#") ? "#" : undefined)).records).toEqual(expected);
  });

  test("wherever the text is cut into blocks", async () => {
    const cell = fc.constantFrom("1", "x", '"q"', '"a\nb"', '"c\r\n\r\nd"', "", '5" x', '"e""f"');
    const end = fc.constantFrom("\n", "\r\n", "\r", "\n\n");
    const text = fc.array(fc.tuple(cell, cell, end), { minLength: 1, maxLength: 8 });
    await fc.assert(
      fc.asyncProperty(text, fc.nat(200), async (rows, cut) => {
        const whole = rows.map(([a, b, end]) => `${a},${b}${end}`).join("");
        const lines: number[] = [];
        let line = 1;
        for (const [a, b, end] of rows) {
          lines.push(line);
          line += (`${a},${b}${end}`.match(/\r\n|\r|\n/g) ?? []).length;
        }
        const seen = await records(whole, Math.min(cut, whole.length));
        expect(seen.records.map(([at]) => at)).toEqual(lines);
        expect(seen.broken).toBeUndefined();
      }),
    );
  });
});

describe("a quote that is never closed", () => {
  test("ends reading at its row", async () => {
    expect(await records('a,b\n1,2\n3,"x\ny\nz\n')).toEqual({
      records: [
        [1, "a|b"],
        [2, "1|2"],
      ],
      broken: { line: 3, lastLine: 5, isTooLong: false },
    });
  });

  test("does not swallow memory without end", async () => {
    const seen = await records(`a,b\n1,"${"x\n".repeat(600_000)}`);
    expect(seen.records).toEqual([[1, "a|b"]]);
    expect(seen.broken?.line).toBe(2);
  });
});

test("an error of the handler comes out", async () => {
  const failing = readRecords([Buffer.from("a\nb\n")], { delimiter: ",", comment: undefined }, 1, () => {
    throw new RangeError("mine");
  });
  await expect(failing).rejects.toThrow(new RangeError("mine"));
});
