import { SaxesParser } from "saxes";
import { describe, expect, it } from "vitest";
import { rehearsalHtml } from "../../src/reporters/rehearsal-html.js";
import { rehearsalText } from "../../src/reporters/rehearsal-text.js";
import { rehearsalSvg } from "../../src/reporters/side-view-svg.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { rehearsalResult, type RehearsalResult } from "../../src/score/rehearsal-result.js";
import { HOSTILE, UNSAFE } from "../helpers/hostile.js";
import { replayRows } from "../helpers/replay.js";
import { LATE_FIXED, THIRSTY } from "../helpers/run.js";

const LOOK = { color: 0, ascii: false, width: 80, units: "metric", quiet: false, explainScore: false } as const;
const base = rehearsalResult("a.csv", auditFlight(replayRows(LATE_FIXED, THIRSTY)), 100);
const along_m = Array.from({ length: 100 }, (_, i) => i * 10 + 5);
/** A hill of 80 m half way, a mast of 45 m at a quarter, a leg of 50 m. */
const HILL: RehearsalResult = {
  ...base,
  distance_m: 1000,
  height_m: 20,
  leg_height_m: 50,
  clearance: { centre_m: -30, corridor_m: -32, latitude_deg: 47, longitude_deg: 8, over: "the ground", along_m: 505 },
  profile: {
    along_m,
    ground_m: along_m.map((x) => Math.max(0, 80 - Math.abs(x - 505) / 2)),
    obstacle_top_m: along_m.map((_, i) => (i === 25 ? 45 : null)),
  },
};

describe("rehearsalText", () => {
  it("draws the hill, the mast, the way over and through it", () => {
    const picture = rehearsalText(HILL, LOOK)
      .split("\n")
      .filter((line) => /[█▄─×▒│]/.test(line));
    expect(picture.slice(0, -1)).toMatchInlineSnapshot(`
      [
        " 80 m                                      ▄",
        "                                          ▄█▄",
        "                                         ▄███▄",
        "                                        ▄█████▄",
        "                                       ▄███████▄",
        " 50 m ─────────────────────────────────×××××××××────────────────────────────────",
        "      │                 ▒            ▄██████████▄▄                             │",
        "      │                 ▒           ▄█████████████▄                            │",
        "      │                 ▒          ▄███████████████                            │",
        "      │                 ▒          ████████████████▄                           │",
        "      │                 ▒         ▄█████████████████▄                          │",
        "                        ▒        ▄███████████████████▄                         │",
        "                        ▒       ▄█████████████████████▄                        │",
        "  0 m ▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄███████████████████████▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄",
      ]
    `);
  });

  it.each([40, 60, 80, 110])("fits %i columns, numbers under each other", (width) => {
    for (const units of ["metric", "imperial"] as const) {
      for (const ascii of [true, false]) {
        const lines = rehearsalText(HILL, { ...LOOK, width, units, ascii }).split("\n");
        const isTable = (line: string): boolean => /^(Phase|wait|climb|way home|descent|last|in all) /.test(line);
        const long = lines.filter((line) => !isTable(line) && line.length > width);
        expect(long).toEqual([]);
        if (width >= 80) expect(lines.filter(isTable).filter(({ length }) => length > width)).toEqual([]);
        if (ascii) expect(lines.join("\n")).toMatch(/^[\n\x20-\x7e]*$/);
      }
    }
  });
});

describe("rehearsalSvg and rehearsalHtml", () => {
  const texts = (svg: string): string[] => {
    const read: string[] = [];
    const parser = new SaxesParser();
    parser.on("text", (text) => void read.push(text));
    parser.write(svg).close();
    return read;
  };

  it("is well-formed, has words for who cannot see it, and the numbers of the result", () => {
    const svg = rehearsalSvg(HILL, { units: "metric" });
    expect(texts(svg)).toEqual(expect.arrayContaining(["30 m too low", "50 m", "1000 m", "here", "recovery point"]));
    expect(svg).toMatch(/role="img"/);
    expect(svg).toMatch(/prefers-color-scheme: dark/);
    expect(svg).not.toMatch(/NaN|undefined|null|Infinity/);
  });

  it("says so where there is nothing to draw", () => {
    expect(rehearsalSvg({ ...HILL, at_hand: true }, { units: "metric" })).toMatch(/At hand: it lands from where it is/);
    expect(rehearsalSvg({ ...HILL, height_m: null }, { units: "metric" })).toMatch(/not known/);
    expect(rehearsalText({ ...HILL, at_hand: true }, LOOK)).toMatch(/At hand: it only lands/);
  });

  it("lets nothing be loaded or run", () => {
    const html = rehearsalHtml(HILL, { units: "imperial" });
    expect(html).toMatch(/Content-Security-Policy" content="default-src 'none'/);
    expect(html).not.toMatch(/<script|src=|href=|url\(|@import/);
    expect(html).toMatch(/<th scope="row">way home<\/th>/);
  });

  it("keeps hostile text harmless in every format", () => {
    const bad: RehearsalResult = {
      ...HILL,
      path: HOSTILE,
      clearance: { centre_m: 1, corridor_m: 1, latitude_deg: 47, longitude_deg: 8, over: HOSTILE, along_m: 1 },
      reasons: Object.fromEntries(Object.keys(HILL.reasons).map((rule) => [rule, HOSTILE])),
    };
    const svg = rehearsalSvg(bad, { units: "metric" });
    for (const text of [rehearsalText(bad, LOOK), svg, rehearsalHtml(bad, { units: "metric" })]) {
      expect(text).not.toMatch(UNSAFE);
      expect(text).toContain(String.raw`\u{202e}abc`);
    }
    for (const text of [svg, rehearsalHtml(bad, { units: "metric" })]) expect(text).not.toMatch(/<script|<img/);
    expect(texts(svg).join("")).toContain("<script>alert(1)</script>");
  });
});
