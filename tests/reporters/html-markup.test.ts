import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { escapeText, jsonBlock, Markup, markup } from "../../src/reporters/html/markup.js";
import { HOSTILE, unescaped } from "../helpers/pages.js";

describe("escapeText", () => {
  it.each([
    ["a < b", "a &lt; b"],
    [`"'\``, "&quot;&#39;&#96;"],
    ["&amp;", "&amp;amp;"],
    ["line\nend\ttab", "line\\u{a}end\\u{9}tab"],
    ["\u202Eabc", "\\u{202e}abc"],
    ["\u2066a\u2069\u200e\u200f\u061c", "\\u{2066}a\\u{2069}\\u{200e}\\u{200f}\\u{61c}"],
    ["\u0000\u001b\u007f\u0085", "\\u{0}\\u{1b}\\u{7f}\\u{85}"],
    ["\ud800x", "\\u{d800}x"],
    ["mañana 空 🚁 é", "mañana 空 🚁 é"],
    ["", ""],
  ])("%j", (text, wanted) => {
    expect(escapeText(text)).toBe(wanted);
  });

  it("leaves no sign that could end text, an attribute or a line, whatever comes in", () => {
    const any = fc.string({ unit: "binary", maxLength: 40 });
    fc.assert(
      fc.property(any, (text) => {
        const safe = escapeText(text);
        // oxlint-disable-next-line no-control-regex
        expect(safe).not.toMatch(/[<>"'`\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069]/u);
        expect(safe).not.toMatch(/&(?!(amp|lt|gt|quot|#39|#96);)/);
        // Nothing is lost of text that the eye can see.
        if (/^[\u0020-\u007e]*$/.test(text)) expect(unescaped(safe)).toBe(text);
      }),
    );
  });
});

describe("markup", () => {
  it("escapes every value but markup, also in lists", () => {
    const inner = markup`<b>${"<"}</b>`;
    expect(markup`<i title="${`"x`}">${["<", inner, undefined, 3]}</i>`.text).toBe(
      '<i title="&quot;x">&lt;<b>&lt;</b>3</i>',
    );
    expect(markup`${new Markup("<hr>")}`.text).toBe("<hr>");
  });
});

describe("jsonBlock", () => {
  it.each(HOSTILE)("can be read back and cannot end its block: %j", (text) => {
    const block = jsonBlock("x", { text }).text;
    const body = block.replace(/^<script type="application\/json" id="x">/, "").replace(/<\/script>$/, "");
    expect(body).not.toMatch(/[<>&\u2028\u2029]/);
    expect(JSON.parse(body)).toEqual({ text });
  });
});
