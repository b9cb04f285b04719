import { createHash } from "node:crypto";
import { SaxesParser } from "saxes";
import { describe, expect, it } from "vitest";
import { rehearsalText } from "../../src/reporters/rehearsal-text.js";
import { rehearsalHtml, rehearsalSvg } from "../../src/index.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { rehearsalResult, type RehearsalResult } from "../../src/score/rehearsal-result.js";
import { HOSTILE, UNSAFE } from "../helpers/hostile.js";
import { unescaped } from "../helpers/pages.js";
import { expectNumbersOf, numbersOf } from "../helpers/printed-numbers.js";
import { PrintedText, type Wanted } from "../helpers/printed-text.js";
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
    obstacle_unknown: along_m.map(() => false),
  },
};

/** Level ground, and something of unknown height at three quarters. */
const WITH_UNKNOWN: RehearsalResult = {
  ...HILL,
  clearance: { ...HILL.clearance!, centre_m: 50, corridor_m: 50 },
  profile: {
    along_m,
    ground_m: along_m.map(() => 0),
    obstacle_top_m: along_m.map(() => null),
    obstacle_unknown: along_m.map((_, i) => i === 75),
  },
};

describe("something of unknown height under the way", () => {
  it("is drawn as not known up to the way and on it", () => {
    const lines = rehearsalText(WITH_UNKNOWN, { ...LOOK, ascii: true }).split("\n");
    const end = lines.findIndex((line) => line.includes("? height not known"));
    expect(end).toBeGreaterThan(0);
    const drawn = lines.slice(0, end).filter((line) => line.includes("?"));
    const column = drawn[0]?.indexOf("?") ?? -1;
    expect(drawn[0]).toMatch(/-\?-/);
    // The way, and every row under it but that of the ground.
    expect(drawn.map((line) => line.indexOf("?"))).toEqual(drawn.map(() => column));
    expect(drawn.length).toBeGreaterThan(5);
    expect(rehearsalText(HILL, LOOK)).not.toContain("not known");
  });

  it("bounds what is said of the least clearance to what is known, where that is clear", async () => {
    const limit = "as far as is known";
    const flat = (text: string): string => text.replaceAll(/\s+/g, " ");
    expect(flat(rehearsalText(WITH_UNKNOWN, LOOK))).toContain(`50 m clear in the corridor, ${limit}.`);
    expect(await rehearsalHtml(WITH_UNKNOWN, { units: "metric" })).toContain(`over the ground, ${limit}.`);
    const { profile } = WITH_UNKNOWN;
    const hit: RehearsalResult = { ...HILL, profile };
    const known: RehearsalResult = {
      ...WITH_UNKNOWN,
      profile: { ...profile!, obstacle_unknown: along_m.map(() => false) },
    };
    const unseen: RehearsalResult = {
      ...known,
      profile: { ...known.profile!, ground_m: along_m.map((_, i) => (i === 3 ? null : 0)) },
    };
    for (const one of [hit, known]) {
      expect(flat(rehearsalText(one, LOOK))).not.toContain(limit);
      expect(await rehearsalHtml(one, { units: "metric" })).not.toContain(limit);
    }
    expect(flat(rehearsalText(unseen, LOOK))).toContain(limit);
    expect(await rehearsalHtml(unseen, { units: "metric" })).toContain(limit);
  });

  it("takes the way over it from clear to unknown, and is hatched, on a page", async () => {
    const [page, other] = [
      await rehearsalHtml(WITH_UNKNOWN, { units: "metric" }),
      await rehearsalHtml(HILL, { units: "metric" }),
    ];
    const hatched = (html: string): number => html.match(/<rect class="unseen"/g)?.length ?? 0;
    expect([hatched(page), hatched(other)]).toEqual([1, 0]);
    const legs = (html: string): string[] =>
      [...html.matchAll(/<path class="line (\w+)"/g)].map(([, verdict]) => verdict ?? "");
    expect(legs(page)).toEqual(["clear", "unknown", "clear"]);
  });
});

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

it.each([
  [{ middle: 20, upper: 0 }, "20 % would be left, at least 0 %."],
  [{ middle: 0.7, upper: -41 }, "0.7 % would be left, at worst it is 41 % short."],
  [{ middle: -3, upper: -41 }, "it falls 3 % short, at worst it is 41 % short."],
  [{ middle: -3, upper: null }, "it falls 3 % short."],
])("says a shortfall as one: %o", (touchdown_pct, words) => {
  const text = rehearsalText({ ...HILL, touchdown_pct }, LOOK);
  expect(text.replace(/\s+/g, " ")).toContain(`; ${words}`);
});

describe.each(["metric", "imperial"] as const)("the numbers of a rehearsal, %s", (units) => {
  const nothing = Number.NaN;

  it.each([
    ["a hill", HILL],
    ["at hand", { ...HILL, at_hand: true }],
    ["above the recovery height", { ...HILL, height_m: 50 }],
    ["nothing declared", { ...base, clearance: null, profile: null }],
  ])("are those of the JSON in text: %s", (_, one) => {
    const printed = new PrintedText(rehearsalText(one, { ...LOOK, units }));
    const { need_pct, touchdown_pct, clearance, wind, profile } = one;
    const [phases, sums] = [one.phases.map(cellsOf), sumsOf(one)];
    printed.words(...Object.values(one.reasons), (one.at_utc ?? "").slice(0, 19).replace("T", " "));
    printed.numbers(/begun at (\d+:\d\d) \(([\d.]+ s)\)/, [one.at_s, one.at_s]);
    printed.numbers(/in flight (\d+)/, [one.flight]);
    printed.numbers(/: (\d+ \S+) from the recovery point, (\d+ \S+) above it, battery (\d+ %)/, [
      one.distance_m ?? nothing,
      one.height_m ?? nothing,
      one.battery_pct ?? nothing,
    ]);
    printed.numbers(/wind ([\d.]+ \S+) from (\d+ )deg/, [wind.speed_ms ?? nothing, wind.from_deg ?? nothing]);
    printed.numbers(/It (?:climbs to|stays at) (\d+ \S+?)[:.]/, [one.leg_height_m ?? nothing]);
    printed.numbers(
      /needs ([\d.]+ %), at most ([\d.]+ %) \([^)]*\); ([\d.]+ %) would be left, at least ([\d.]+ %)/,
      [need_pct.middle, need_pct.upper, touchdown_pct.middle, touchdown_pct.upper].map((value) => value ?? nothing),
    );
    printed.numbers(/ground (\d+ \S+) from here: (\d+ \S+) too low on the centre line, (\d+ \S+) too low/, [
      clearance?.along_m ?? nothing,
      -(clearance?.centre_m ?? nothing),
      -(clearance?.corridor_m ?? nothing),
    ]);
    const row = /\+(\d+:\d\d) ([\d.]+ s) (?:(\d+ (?:m|ft)) )?([\d.]+ (?:m|ft)) (?:([\d.]+ (?:m\/s|kt)) )?([\d.]+ %)/;
    expect(printed.numbers(row, ...phases)).toBe(one.phases.length);
    expect(printed.numbers(/in all ([\d.]+ s) (?:(\d+ (?:m|ft)) )?([\d.]+ %)/, sums)).toBe(1);
    // The picture: the highest, the way, the lowest, how far.
    const heights = [...(profile?.ground_m ?? []), ...(profile?.obstacle_top_m ?? [])].filter((z) => z !== null);
    const ends = [0, one.leg_height_m ?? 0, one.height_m ?? 0, ...heights];
    printed.numbers(
      / ([\d.]+ (?:m|ft)) (?=[ ─×│▄█▒┊?])/,
      [Math.max(...ends)],
      [one.leg_height_m ?? 0],
      [Math.min(...ends)],
    );
    printed.numbers(/here (\d+ (?:m|ft)) recovery point/, [one.distance_m ?? nothing]);
    printed.done();
  });

  it("are those of the JSON on the page", async () => {
    const page = await rehearsalHtml(HILL, { units });
    const shown = numbersOf(page).map(({ pointer }) => pointer);
    for (const pointer of ["/at_s", "/distance_m", "/height_m", "/battery_pct", "/wind/speed_ms"]) {
      expect(shown).toContain(pointer);
    }
    for (const name of Object.keys(HILL.inputs)) expect(shown).toContain(`/inputs/${name}/value`);
    if (units === "metric") expectNumbersOf(page, HILL);
    const cells = [...page.matchAll(/<data value="([^"]*)" data-at="100" data-column="([^"]*)">([^<]*)</g)];
    const wanted: Readonly<Record<string, number | null>> = {
      need_middle_pct: HILL.need_pct.middle,
      battery_pct: HILL.battery_pct,
      touchdown_middle_pct: HILL.touchdown_pct.middle,
      touchdown_upper_pct: HILL.touchdown_pct.upper,
    };
    expect(cells.map(([, , column]) => column)).toEqual(Object.keys(wanted));
    for (const [, value, column = "", text] of cells) {
      expect(value).toBe(String(wanted[column]));
      expect(text).toBe(`${wanted[column]?.toFixed(2)} %`);
    }
    const used = [...page.matchAll(/<data value="([^"]*)" data-phase="([a-z]+)"/g)].map(([, value]) => Number(value));
    expect(used).toEqual(HILL.phases.map(({ energy_pct }) => energy_pct));
    expect(page).not.toMatch(/NaN|undefined|Infinity|\[object/);
  });
});

/** The numbers of a row of the table of phases. */
function cellsOf(phase: RehearsalResult["phases"][number]): Wanted[] {
  const { start_s, duration_s, distance_m, height_m, ground_speed_ms, energy_pct } = phase;
  const values = [(start_s ?? Number.NaN) - HILL.at_s, duration_s, distance_m, height_m, ground_speed_ms, energy_pct];
  return values.map((value) => value ?? Number.NaN);
}

function sumsOf({ phases, distance_m, need_pct }: RehearsalResult): Wanted[] {
  const lasts_s = phases.reduce((sum, { duration_s }) => sum + (duration_s ?? Number.NaN), 0);
  return [lasts_s, distance_m ?? Number.NaN, need_pct.middle ?? Number.NaN];
}

describe("rehearsalSvg and rehearsalHtml", () => {
  const texts = (svg: string): string[] => {
    const read: string[] = [];
    const parser = new SaxesParser();
    parser.on("text", (text) => void read.push(text));
    parser.write(svg).close();
    return read;
  };

  it("is well-formed, has words for who cannot see it, and the numbers of the result", async () => {
    const svg = await rehearsalSvg(HILL, { units: "metric" });
    expect(texts(svg)).toEqual(expect.arrayContaining(["30 m into the ground", "m above the recovery point", "500"]));
    expect(svg).toMatch(/^<svg xmlns="http:\/\/www.w3.org\/2000\/svg" [^>]*role="img"/);
    expect(svg).toMatch(/prefers-color-scheme:dark/);
    const drawn = svg.replace(/<style>[^]*?<\/style>/, "");
    expect(drawn).not.toMatch(/NaN|undefined|null|Infinity/);
    for (const [, id] of drawn.matchAll(/url\(#([^)]*)\)/g)) expect(drawn).toContain(`id="${id}"`);
  });

  it("says so where there is nothing to draw", async () => {
    const atHand = { ...HILL, at_hand: true };
    expect(await rehearsalSvg(atHand, { units: "metric" })).toMatch(/At hand: it lands from where it is/);
    expect(await rehearsalHtml(atHand)).toMatch(/At hand: it lands from where it is/);
    const unknown = { ...HILL, height_m: null };
    expect(texts(await rehearsalSvg(unknown)).join()).toMatch(/it is not known how high it was/);
    expect(await rehearsalHtml(unknown)).toMatch(/it is not known how high it was/);
    expect(rehearsalText(atHand, LOOK)).toMatch(/At hand: it only lands/);
  });

  it("says that a way home without headway has no end", async () => {
    const phases = HILL.phases.map((one) =>
      one.phase === "transit" ? { ...one, duration_s: null, energy_pct: null } : one,
    );
    const need_pct = { middle: null, upper: null, upper_is: "level", reason: "no_headway" } as const;
    const page = await rehearsalHtml({ ...HILL, phases, need_pct, touchdown_pct: { middle: null, upper: null } });
    expect(page).toContain("no headway: the way home has no end");
    expect(page).toContain('<data value="null" data-at="100" data-column="need_middle_pct">without end</data>');
    expect(page).not.toMatch(/NaN|undefined|Infinity/);
  });

  it("lets nothing be loaded or run", async () => {
    const html = await rehearsalHtml(HILL, { units: "imperial" });
    const style = /<style>([^]*?)<\/style>/.exec(html)?.[1] ?? "";
    const hash = createHash("sha256").update(style).digest("base64");
    const policy = unescaped(/Content-Security-Policy" content="([^"]*)"/.exec(html)?.[1] ?? "");
    expect(policy).toBe(`default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`);
    expect(html).not.toMatch(/<script|src=|url\((?!#)|@import|\s(style|on[a-z]+)=/);
  });

  it("keeps hostile text harmless in every format", async () => {
    const bad: RehearsalResult = {
      ...HILL,
      path: HOSTILE,
      clearance: { centre_m: 1, corridor_m: 1, latitude_deg: 47, longitude_deg: 8, over: HOSTILE, along_m: 1 },
      reasons: Object.fromEntries(Object.keys(HILL.reasons).map((rule) => [rule, HOSTILE])),
    };
    const svg = await rehearsalSvg(bad, { units: "metric" });
    const html = await rehearsalHtml(bad, { units: "metric" });
    for (const text of [rehearsalText(bad, LOOK), svg, html]) {
      expect(text).not.toMatch(UNSAFE);
      expect(text).toContain(String.raw`\u{202e}abc`);
    }
    for (const text of [svg, html]) expect(text).not.toMatch(/<script|<img/);
    expect(texts(svg).join("")).toContain("<script>alert(1)</script>");
  });
});
