import * as fc from "fast-check";
import { expect, it } from "vitest";
import { stringify } from "yaml";
import { parseConfig } from "../../src/config/load-config.js";
import { knownKeys } from "../../src/config/known-keys.js";
import { SECTIONS } from "../../src/config/sections.js";
import { FULL_EXAMPLE } from "./full-example.js";
import { linesOf } from "./lines-of.js";

const LINES = FULL_EXAMPLE.split("\n");
/** Lines of the example that begin a key of a block, with the path of the group that the key is in. */
const PLACES = LINES.flatMap((line, index) => {
  const [, indent] = /^( *)\w/.exec(line) ?? [];
  if (indent === undefined) return [];
  const section = LINES.slice(0, index + 1).findLast((above) => /^\w/.test(above));
  return [{ index, indent, group: indent === "" ? [] : [section?.split(":")[0] ?? ""] }];
});

it("reports any unknown key at its place, and nothing else", async () => {
  const name = fc.stringMatching(/^[a-z_]{1,12}$/);
  await fc.assert(
    fc.asyncProperty(fc.constantFrom(...PLACES), name, async ({ index, indent, group }, name) => {
      fc.pre(!knownKeys(group).includes(name) && name !== "null" && name !== "true" && name !== "false");
      const text = LINES.toSpliced(index, 0, `${indent}${name}: 5`).join("\n");
      const lines = await linesOf(parseConfig(text, "homeleg.yaml"));
      const full = [...group, name].join(".");
      expect(lines).toHaveLength(1);
      expect(lines[0]).toContain(`homeleg.yaml:${index + 1}:${indent.length + 1}  \`${full}\` is not a known key.`);
    }),
    { numRuns: 60 },
  );
});

it("throws nothing but UserErrors, whatever the text is", async () => {
  const piece = fc.constantFrom(
    "wind",
    "site",
    "policy",
    "rules",
    ": ",
    ":\n  ",
    "- ",
    "[",
    "]",
    "{",
    "}",
    ", ",
    "\n",
    "\t",
    "5 m",
    "&a ",
    "*a",
    "!x ",
    "'",
    '"',
    "|\n",
    "? ",
    "---\n",
    "%YAML 1.1\n",
    "#",
    "__proto__",
    "<<",
    "terrain",
    "flat",
    "~",
    "\u0000",
    "\uD800",
  );
  const text = fc.oneof(
    fc.array(piece, { maxLength: 30 }).map((pieces) => pieces.join("")),
    fc.string({ unit: "binary", maxLength: 60 }),
  );
  await fc.assert(
    fc.asyncProperty(text, async (text) => {
      await linesOf(parseConfig(text, "homeleg.yaml", { sets: [text, `wind=${text}`] }));
    }),
    { numRuns: 400 },
  );
});

it("throws nothing but UserErrors, whatever values the known keys have", async () => {
  const value = fc.letrec((tie) => ({
    any: fc.oneof(
      { maxDepth: 3 },
      fc.constantFrom("5 m", "", "flat", "x.yaml", "at-takeoff"),
      fc.double(),
      fc.boolean(),
      fc.constant(null),
      fc.array(tie("any"), { maxLength: 3 }),
      fc.dictionary(fc.constantFrom("speed", "file", "at", "latitude", "adrift", "thin", "constructor"), tie("any")),
    ),
  })).any;
  await fc.assert(
    fc.asyncProperty(fc.dictionary(fc.constantFrom(...SECTIONS), value), async (yaml) => {
      await linesOf(parseConfig(stringify(yaml), "homeleg.yaml"));
    }),
    { numRuns: 100 },
  );
});

it("gives the same settings for the same text", async () => {
  expect(await parseConfig(FULL_EXAMPLE, "homeleg.yaml")).toStrictEqual(
    await parseConfig(FULL_EXAMPLE, "homeleg.yaml"),
  );
});
