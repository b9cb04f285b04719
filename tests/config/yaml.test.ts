import { describe, expect, it } from "vitest";
import { parseConfig } from "../../src/config/load-config.js";
import { linesOf } from "./lines-of.js";

const lines = (text: string): Promise<string[]> => linesOf(parseConfig(text, "homeleg.yaml"));

describe("YAML that cannot be a homeleg.yaml", () => {
  it.each([
    ["settings:\n\trecovery_height: 5", "homeleg.yaml:2:1  A tab is used for indentation. Use spaces."],
    [
      "settings: { recovery_height: 5",
      "homeleg.yaml:1:31  This cannot be read as YAML: Flow map in block collection must be sufficiently indented and end with a }.",
    ],
    ["a: b: c", "homeleg.yaml:1:4  This cannot be read as YAML: Nested mappings are not allowed in compact mappings."],
    ["wind: !calm { speed: 5 }", "homeleg.yaml:1:7  The tag `!calm` is not read. Write a plain value."],
    ["wind: !!js/function 'x'", "homeleg.yaml:1:7  The tag `!!js/function` is not read. Write a plain value."],
    ["wind: *gale", "homeleg.yaml:1:7  The alias `*gale` has no anchor before it."],
    ["wind: {}\n---\nwind: {}", "homeleg.yaml:2:1  A second document begins here. Keep one in a file."],
    ["- wind", "homeleg.yaml:1:1  This file holds no keys. It must hold keys, such as `settings:`."],
    ["just words", "homeleg.yaml:1:1  This file holds no keys. It must hold keys, such as `settings:`."],
    [`x: ${"[".repeat(40)}${"]".repeat(40)}`, "homeleg.yaml:1:20  This is nested too deeply for a configuration."],
    ["x: &x [*x]", "homeleg.yaml:1:7  This is nested too deeply for a configuration."],
    [
      "a: &a [x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a]\nc: &c [*b,*b,*b,*b,*b,*b,*b,*b]\nd: [*c,*c,*c,*c,*c,*c,*c,*c]",
      /^homeleg\.yaml:\d:\d+ {2}There are more than 100 aliases\. Write the values out\.$/,
    ],
  ])("%j", async (text, line) => {
    const read = await lines(text);
    expect(read).toHaveLength(1);
    if (typeof line === "string") expect(read[0]).toBe(line);
    else expect(read[0]).toMatch(line);
  });

  it.each([
    [
      "a long text",
      `x: "${"y".repeat(200_000)}"`,
      /^homeleg\.yaml {2}This is too large for a configuration\. Sections may be files of their own\.$/,
    ],
    [
      "many brackets",
      `x: ${"[".repeat(20_000)}`,
      /^homeleg\.yaml:1:\d+ {2}This is nested too deeply for a configuration\.$/,
    ],
    [
      "many values",
      `site: { obstacles: [${"a,".repeat(10_001)}] }`,
      /^homeleg\.yaml:1:\d+ {2}There are more than 10000 values\. Sections may be files of their own\.$/,
    ],
  ])("%s", async (_label, text, line) => {
    const read = await lines(text);
    expect(read).toHaveLength(1);
    expect(read[0]).toMatch(line);
  });

  it("names the first place of a key that is given twice, and goes on", async () => {
    expect(
      await lines("wind: { speed: 5, from: 1 }\nsettings: { recovery_height: -1 }\nwind: { speed: 6, from: 1 }"),
    ).toEqual([
      "homeleg.yaml:2:30  `settings.recovery_height` is `-1`. It must be at least 0 m.",
      "homeleg.yaml:3:1  `wind` is given twice, first in line 1. Keep one of them.",
    ]);
  });

  it("refuses keys that are no words", async () => {
    expect(await lines("? [a]\n: b\n~: 3\n")).toEqual([
      "homeleg.yaml:1:3  A key must be a word.",
      "homeleg.yaml:3:1  A key must be a word.",
    ]);
  });

  it("refuses a file in another encoding", async () => {
    const readFile = (): Promise<Uint8Array> => Promise.resolve(Uint8Array.of(0xff, 0xfe, 0x61, 0));
    expect(await linesOf(parseConfig("wind: wind.yaml", "homeleg.yaml", { readFile }))).toEqual([
      "wind.yaml  This file is not UTF-8 text. Save it as UTF-8.",
    ]);
  });
});

describe("YAML that is none of the usual", () => {
  it("follows aliases, and names the place where the value stands", async () => {
    const { declared } = await parseConfig("policy: { adrift: { thin: &d 20, fail: *d } }", "homeleg.yaml");
    expect(declared.policy).toEqual({ "adrift.thin": 20, "adrift.fail": 20 });
    expect(await lines("policy: { adrift: { thin: &d 20 kg, fail: *d } }")).toEqual([
      "homeleg.yaml:1:30  `20 kg` is not a length. Write metres or feet, such as `20 m`.",
      "homeleg.yaml:1:30  `20 kg` is not a length. Write metres or feet, such as `20 m`.",
    ]);
  });

  it("reads times and words by YAML 1.2 whatever the file asks for, and takes a byte order mark", async () => {
    const text = "\uFEFF%YAML 1.1\n---\nrules: { fix-weak: { off: no } }\nsettings: { turn_time: 0:03 }";
    const { declared, written } = await parseConfig(text, "homeleg.yaml");
    expect(declared.rulesOff).toEqual({ "fix-weak": "no" });
    expect(declared.settings.turnTime_s).toBe(3);
    expect(written.get("settings.turn_time")).toBe("0:03");
  });
});
