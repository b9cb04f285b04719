import { parse } from "csv-parse/sync";
import fc from "fast-check";
import { SaxesParser } from "saxes";
import { describe, expect, it } from "vitest";
import { csvCell, csvLine } from "../../../src/reporters/escape/csv-cell.js";
import { markdownText } from "../../../src/reporters/escape/markdown-text.js";
import { visible } from "../../../src/reporters/escape/visible.js";
import { xmlText } from "../../../src/reporters/escape/xml-text.js";
import { HOSTILE, UNSAFE } from "../../helpers/hostile.js";

const anyText = fc.oneof(fc.string({ unit: "binary" }), fc.constant(HOSTILE), fc.string());

describe("visible", () => {
  it("writes out what does not show, and leaves what does", () => {
    expect(visible("a\u001b[31mb\u202Ec\n\ud800")).toBe(String.raw`a\u{1b}[31mb\u{202e}c\u{a}\u{d800}`);
    expect(visible("Zürich 北 𝒳 😀 é – €")).toBe("Zürich 北 𝒳 😀 é – €");
    expect(visible("")).toBe("");
  });

  it("leaves nothing unsafe in any text", () => {
    fc.assert(fc.property(anyText, (text) => !UNSAFE.test(visible(text)) && !/[\n\r]/.test(visible(text))));
  });
});

describe("csvCell", () => {
  it.each([
    ["plain", "plain"],
    ["a,b", '"a,b"'],
    ['say "a"', '"say ""a"""'],
    ["=1+1", '"\'=1+1"'],
    ["+1", '"\'+1"'],
    ["-1", '"\'-1"'],
    ["@a", '"\'@a"'],
    ["  =1", '"\'  =1"'],
    ["\t=1", String.raw`\u{9}=1`],
    ["＝1", '"\'＝1"'],
    ["a=1", "a=1"],
    ["", ""],
  ])("%j is %s", (text, cell) => expect(csvCell(text)).toBe(cell));

  it("leaves numbers as they are, a negative one too, and nothing for null", () => {
    expect(csvLine([-1.5, 0, null, true, "a;b"])).toBe("-1.5,0,,true,a;b\r\n");
  });

  it("is read back as the visible text, never as a formula", () => {
    fc.assert(
      fc.property(anyText, (text) => {
        const [[cell = ""] = []]: string[][] = parse(csvLine([text, "end"]), { relax_column_count: true });
        expect(cell.replace(/^'(?=\s*[=+\-@＝＋－＠])/u, "")).toBe(visible(text));
        expect(cell).not.toMatch(/^[\s]*[=+\-@]/);
      }),
    );
  });
});

describe("xmlText", () => {
  it("is read back as the visible text, in an attribute and in an element", () => {
    fc.assert(
      fc.property(anyText, (text) => {
        const read: string[] = [];
        const parser = new SaxesParser();
        parser.on("opentag", ({ attributes }) => read.push(String(attributes["a"])));
        parser.on("text", (content) => read.push(content));
        parser.write(`<e a="${xmlText(text)}">${xmlText(text)}</e>`).close();
        expect(read).toEqual(text === "" ? [""] : [visible(text), visible(text)]);
      }),
    );
  });
});

describe("markdownText", () => {
  it.each([
    ["# h", String.raw`\# h`],
    ["- item", String.raw`\- item`],
    ["1. item", String.raw`1\. item`],
    ["0.1.0", "0.1.0"],
    ["a | b", String.raw`a \| b`],
    ["[x](y)", String.raw`\[x\]\(y\)`],
    ["![x](y)", String.raw`\!\[x\]\(y\)`],
    ["<b>&amp;", String.raw`&lt;b\>&amp;amp;`],
    ["https://a.example", String.raw`https\://a.example`],
    ["www.a.example", String.raw`www\.a.example`],
    ["a_b*c`d\\", String.raw`a\_b\*c\`d\\`],
    ["reserve-short: 5 m", "reserve-short: 5 m"],
    ["a\nb", String.raw`a\\u\{a\}b`],
  ])("%j is %s", (text, markdown) => {
    expect(markdownText(text).replaceAll("\\\\u", "\\\\u")).toBe(markdown);
  });

  it("leaves no sign of Markdown or HTML without its escape", () => {
    fc.assert(
      fc.property(anyText, (text) => {
        const bare = markdownText(text).replace(/\\[!-/:-@[-`{-~]/g, "");
        expect(bare).not.toMatch(/[`*_{}[\]<>#|~$!\\\n\r]/);
      }),
    );
  });
});
