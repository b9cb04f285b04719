import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { degreesReader, numberReader } from "../../src/parsers/cell-readers.js";
import { columnEntry } from "../../src/parsers/columns-snippet.js";
import { CHANNEL_WORDS } from "../../src/parsers/channel-words.js";
import { recogniseName } from "../../src/parsers/recognise-name.js";
import { readTimeText } from "../../src/parsers/time-text.js";
import { findUnit, UNITS, type Dimension } from "../../src/parsers/units.js";
import { CHANNEL_IDS, CHANNELS } from "../../src/track/channels.js";

const PAGE = readFileSync(new URL("../../docs/formats.md", import.meta.url), "utf8");

describe("docs/formats.md", () => {
  it.each(CHANNEL_WORDS.map((words) => [words.channel, words] as const))(
    "every word for %s is read as that channel, beside its unit",
    (channel, { names, short = [], withUnit = [] }) => {
      const unit = channel === "mode" ? "text" : CHANNELS[channel].unit;
      const isUnit = !["text", "code", "flag", "1"].includes(unit);
      for (const word of [...names, ...short, ...withUnit]) {
        const reading = recogniseName(isUnit ? `${word} (${unit})` : word);
        expect(reading?.kind === "channel" ? reading.words.channel : reading?.kind, word).toBe(channel);
        expect(PAGE, word).toContain(word.replace(/\b([2-9]|1[0-2])\b/, "1"));
      }
    },
  );

  it.each(Object.keys(UNITS) as Dimension[])("every spelling of a unit of %s is read", (dimension) => {
    for (const [name, spellings] of UNITS[dimension]) {
      for (const spelling of [name, ...spellings.split(" ")])
        expect(findUnit(spelling, dimension)?.name, spelling).toBe(name);
    }
  });

  it("gives examples that are read", () => {
    const latitude = degreesReader(numberReader("point"), "NS");
    const longitude = degreesReader(numberReader("point"), "EW");
    for (const example of ["`47°07'48.5\"N`", "`8 14.2 E`", "`17.05.2025 14:12:05`", "`5/17/2025 2:12:05 PM`"])
      expect(PAGE).toContain(example);
    expect(latitude("47°07'48.5\"N")).toBeCloseTo(47 + 7 / 60 + 48.5 / 3600, 9);
    expect(longitude("8 14.2 E")).toBeCloseTo(8 + 14.2 / 60, 9);
    const noon_us = Date.UTC(2025, 4, 17) * 1000;
    expect(readTimeText("17.05.2025 14:12:05", "d/m/y")?.date_us).toBe(noon_us);
    expect(readTimeText("5/17/2025 2:12:05 PM", "m/d/y")).toEqual({
      date_us: noon_us,
      clock_us: 51_125e6,
      zone_us: undefined,
    });
    expect(PAGE).toContain(columnEntry("battery", "Pack", "%"));
  });

  it("names every channel but cells, which go by number", () => {
    const named = CHANNEL_IDS.filter((id) => id !== "time" && !/^cell_voltage_([2-9]|1\d)$/.test(id));
    for (const id of named) expect(PAGE).toContain(`| \`${id}\``);
  });
});
