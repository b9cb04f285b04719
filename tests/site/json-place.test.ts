import { expect, test } from "vitest";
import { jsonErrorOffset } from "../../src/site/json-place.js";

// The mark ¦ stands where the text stops being JSON.
test.each([
  "¦",
  "  ¦",
  "{¦",
  '{"a"¦',
  '{"a" ¦1}',
  '{"a": 1,¦}',
  '{"a": 1 ¦"b": 2}',
  "[1, 2¦",
  "[1,¦]",
  "[1 ¦2]",
  '{"a": ¦tru}',
  "[0¦1]",
  "[1]¦]",
  "1 ¦2",
  '[¦"open',
  '["a", ¦"\\x"]',
  '{¦"a\nb": 1}',
  "{¦'a': 1}",
  '[{"a": [1, {"b": null}]¦]',
  "[¦}",
  "{¦]",
  "¦,",
  "¦:",
  '{"a"¦,}',
  '{"a": 1, "b"¦}',
  "{¦1: 2}",
  "¦\u00a0[]",
])("%j", (marked) => {
  const text = marked.replace("¦", "");
  expect(() => JSON.parse(text)).toThrow(SyntaxError);
  expect(jsonErrorOffset(text)).toBe(marked.indexOf("¦"));
});

test.each(["{}", ' [1, -2.5e+3, true, false, null, "a\\u00e9\\n", {"b": []}] ', '"x"'])(
  "%j is JSON to its end",
  (text) => {
    expect(jsonErrorOffset(text)).toBe(text.length);
  },
);
