import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { completeReading } from "../../src/config/reading.js";
import { readGpx } from "../../src/parsers/gpx/read-gpx.js";
import { ProblemList } from "../../src/parsers/problem-list.js";
import { gpxDifferenceOf } from "../helpers/lanes.mjs";
import { randomGpx } from "../helpers/random-gpx.mjs";
import { read, refusal, said } from "./read.js";

const RUNS = Number(process.env["HOMELEG_LANE_RUNS"] ?? 150);
const PARSERS = { readGpx, newProblems: () => new ProblemList(), reading: completeReading() };
const HEAD = '<?xml version="1.0"?>\n<gpx version="1.1"><trk><trkseg>\n';
const TAIL = "</trkseg></trk></gpx>\n";
const COLUMNS = { mode: { column: "note", unit: undefined }, battery: { column: "temp-x.y", unit: "%" } };

function point(second: number, inside = ""): string {
  const time = `<time>2024-05-01T10:00:${String(second % 60).padStart(2, "0")}Z</time>`;
  return `<trkpt lat="47.${second}" lon="8.1"><ele>400.5</ele>${time}${inside}</trkpt>\n`;
}

/** How the points of a document were read; both ways agree, however it is cut into blocks. */
async function lanesOf(text: string, parsers: Parameters<typeof gpxDifferenceOf>[0] = PARSERS): Promise<string> {
  const whole = await gpxDifferenceOf(parsers, Buffer.from(text), 1 << 16);
  expect(whole.difference).toBeUndefined();
  for (const block_bytes of [50, 400].filter((size) => text.length < 1000 * size)) {
    expect((await gpxDifferenceOf(parsers, Buffer.from(text), block_bytes)).difference).toBeUndefined();
  }
  return whole.lanes === undefined ? "refused" : `${whole.lanes.plain} plain, ${whole.lanes.saxes} by saxes`;
}

describe("points that are scanned and points read by saxes are alike", () => {
  test("any document, well-formed or broken, in blocks of any size", async () => {
    let plain = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 1_000_000, max: 2 ** 31 - 1 }),
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: 20, max: 3000 }),
        fc.constantFrom(undefined, COLUMNS),
        async (seed, points, block_bytes, columns) => {
          const parsers = columns === undefined ? PARSERS : { ...PARSERS, columns };
          const { difference, lanes } = await gpxDifferenceOf(parsers, randomGpx(seed, points), block_bytes);
          expect(difference).toBeUndefined();
          plain += lanes?.plain ?? 0;
        },
      ),
      { numRuns: RUNS },
    );
    expect(plain).toBeGreaterThan(RUNS);
  });

  test("any number is what Number makes of it, to the last bit", async () => {
    const number = fc
      .stringMatching(/^[-+]?(?:\d{1,17}\.?\d{0,12}|\.\d{1,12})$/)
      .filter((text) => Math.abs(Number(text)) < 100);
    await fc.assert(
      fc.asyncProperty(fc.array(number, { minLength: 2, maxLength: 30 }), async (texts) => {
        const points = texts.map((text, second) => point(second, `<speed>${text}</speed>`));
        const log = await read(HEAD + points.join("") + TAIL);
        // No channel keeps a −0: adding the offset of its unit makes it 0.
        expect([...(log.track.columns.groundSpeed_ms ?? [])]).toEqual(texts.map((text) => Number(text) + 0));
        expect(log).toMatchObject({ lanes: { plain: texts.length, saxes: 0 } });
      }),
      { numRuns: RUNS },
    );
  });

  const plain = "3 plain, 0 by saxes";
  const odd = "2 plain, 1 by saxes";
  test.each<[string, string, string]>([
    ["more elements", point(1, "<sat>9</sat><fix>3d</fix><desc>a, b</desc>"), plain],
    ["extensions with prefixes", point(1, "<extensions><x:P>\n<x:speed>3.2</x:speed>\r\n</x:P></extensions>"), plain],
    ["blanks around values", point(1, "<sat> 9\n</sat>"), plain],
    ["blanks around a time", point(1).replace("<time>", "<time> ").replace("</time>", "  </time>"), plain],
    ["a blank before a time", point(1).replace("<time>", "<time> "), plain],
    ["a blank behind a time", point(1).replace("</time>", " </time>"), plain],
    ["empty elements", point(1, "<sat/><hdop></hdop><time/>"), plain],
    ["two of a kind", point(1, "<sat>9</sat><sat>8</sat><time>2024-05-01T10:00:07Z</time>"), plain],
    ["texts between elements", point(1, "a<sat>9</sat>b"), plain],
    ["values that are none", point(1, "<sat>many</sat><hdop>99999</hdop><speed>1e9999</speed>"), plain],
    ["a time in another form", point(1, "<time>2024/05/01 10:00:01+02:00</time>"), plain],
    ["no time", '<trkpt lat="47" lon="8"></trkpt>\n', plain],
    ["no number", '<trkpt lat="north" lon=" 8 "><time>2024-05-01T10:00:01Z</time></trkpt>\n', plain],
    [
      "attributes in other quotes and order",
      "<trkpt\n lon='8.1'\r\n\tlat='47.1' ><time>2024-05-01T10:00:01Z</time></trkpt>\n",
      plain,
    ],
    ["a long name", point(1, `<${"x".repeat(100)}>1</${"x".repeat(100)}>`), plain],
    ["a longer name", point(1, `<${"x".repeat(101)}>1</${"x".repeat(101)}>`), odd],
    ["an entity", point(1, "<sat>&#57;</sat>"), odd],
    ["CDATA", point(1, "<sat><![CDATA[9]]></sat>"), odd],
    ["a comment", point(1, "<!-- a --><sat>9</sat>"), odd],
    ["a processing instruction", point(1, "<?a b?>"), odd],
    ["a letter that is not ASCII", point(1, "<desc>Höhe</desc>"), odd],
    ["a greater sign", point(1, "<desc>a > b</desc>"), odd],
    ["a line break in a text", point(1, "<desc>a\r\nb</desc>"), odd],
    ["a long text", point(1, `<desc>${"x".repeat(101)}</desc>`), odd],
    ["many blanks", point(1, `<sat>${" ".repeat(199)}9</sat>`), odd],
    ["many elements", point(1, "<sat>9</sat>".repeat(70)), odd],
    ["an attribute inside", point(1, '<link href="a"><text>b</text></link>'), odd],
    ["a point inside", point(1, '<trkpt lat="1" lon="2"/>'), odd],
    ["a blank in a last tag", point(1, "<sat>9</sat >"), odd],
    ["another attribute", '<trkpt lat="47" lon="8" id="1"><time>2024-05-01T10:00:01Z</time></trkpt>\n', odd],
    ["an attribute lacking", '<trkpt lat="47"><time>2024-05-01T10:00:01Z</time></trkpt>\n', odd],
    ["a tab in an attribute", '<trkpt lat="47" lon="8\t"><time>2024-05-01T10:00:01Z</time></trkpt>\n', odd],
    ["no last tag", '<trkpt lat="47" lon="8"/>\n', odd],
  ])("%s", async (_, middle, lanes) => {
    expect(await lanesOf(HEAD + point(0) + middle + point(2) + TAIL)).toBe(lanes);
  });

  test.each<[string, string]>([
    ["an attribute twice", '<trkpt lat="47" lat="47" lon="8"></trkpt>'],
    ["an attribute twice in place of the other", '<trkpt lat="47" lat="8"></trkpt>'],
    ["no blank between attributes", '<trkpt lat="47"lon="8"></trkpt>'],
    ["tags that do not match", point(1, "<sat>9</hdop>")],
    ["a tag too many", point(1, "</sat>")],
    ["a name that is none", point(1, "<1>9</1>")],
    ["the end of CDATA", point(1, "<sat>]]></sat>")],
    ["a control character", point(1, "<desc>\u0001</desc>")],
    ["a control character between points", "\u0001"],
    ["an entity that is not defined", point(1, "<desc>&nope;</desc>")],
    ["a less sign in an attribute", '<trkpt lat="<" lon="8"></trkpt>'],
    ["elements without end", "<sat>".repeat(120)],
    ["the end of the file", "</trkseg></trk></gpx>more"],
  ])("%s breaks both at the same place", async (_, broken) => {
    for (const end of ["\n", "\r\n", "\r", ""]) {
      const text = `${HEAD}${point(0)}\n  ${point(5)}${broken}${point(2)}${TAIL}`.replaceAll("\n", end);
      expect(await lanesOf(text)).toMatch(/^2 plain, /);
      expect((await read(text)).problems).toContainEqual(expect.objectContaining({ code: "gpx-broken" }));
    }
  });
});

describe("the scan", () => {
  const many = Array.from({ length: 3000 }, (_, second) => point(second, "<sat>9</sat>"));

  test("goes over the ends of blocks", async () => {
    expect(await lanesOf(HEAD + many.join("") + TAIL)).toBe("3000 plain, 0 by saxes");
  });

  test("keeps the lines of what is behind it", async () => {
    const broken = `${HEAD}${many.join("\r\n")}\n <trkpt lat="x" lon="8"><time>2024-05-01T10:00:01Z</time></trkpt> &nope; <a></b>`;
    expect(await lanesOf(broken)).toBe("3001 plain, 0 by saxes");
    expect(said(await read(broken))).toEqual(
      expect.arrayContaining([
        "gpx-broken:6003 The XML breaks at column 81 (unexpected close tag.): only the track points before it were read.",
        'row-rejected:6003 Track point rejected: "x" is no latitude.',
        "entity-undefined:6003 An entity that is not defined was ignored (undefined entity.)",
      ]),
    );
  });

  test("takes points of any prefix, once saxes has met one", async () => {
    const text = (HEAD + many.join("") + TAIL).replaceAll(/<(\/?)(?=[a-z])/g, "<$1g:");
    expect(await lanesOf(text)).toMatch(/^2[5-9]\d\d plain, /);
  });

  test("takes nothing inside of comments, CDATA and points", async () => {
    const hidden = `<!-- > ${point(1)} --><![CDATA[> ${point(2)}]]><trkpt lat="1" lon="2">${point(3)}</trkpt>`;
    expect(await lanesOf(`${HEAD}${hidden}${point(4)}${TAIL}`)).toBe("1 plain, 1 by saxes");
  });

  test("goes on behind comments and other elements", async () => {
    const text = `${HEAD}<!-- a -->${point(1)}</trkseg><trkseg>${point(2)}<x/>\r\n${point(3)}${TAIL}`;
    expect(await lanesOf(text)).toBe("3 plain, 0 by saxes");
  });

  test("keeps to the depth that saxes is kept to", async () => {
    const nested = point(1, "<a><b>9</b></a>");
    for (const depth of [93, 94, 95, 96, 97]) {
      const text = `${HEAD}${nested}${"<d>".repeat(depth)}${nested}${"</d>".repeat(depth)}${nested}${TAIL}`;
      expect(await lanesOf(text)).toBe(depth < 95 ? "3 plain, 0 by saxes" : "1 plain, 0 by saxes");
    }
  });

  test("takes no root", async () => {
    expect(await lanesOf(`<!-- a -->${point(1)}`)).toBe("0 plain, 1 by saxes");
    expect(await lanesOf(`${HEAD}${point(1)}${TAIL}<!-- a -->${point(2)}`)).toBe("1 plain, 0 by saxes");
  });

  test("is hardly tried where no point is plain, and comes back", async () => {
    const odd = many.map((text) => text.replace("<sat>9", "<sat>&#57;"));
    expect(await lanesOf(HEAD + odd.join("") + many.join("") + TAIL)).toMatch(/^2[3-9]\d\d plain, /);
  });

  test("leaves a point of more than 64 KiB to saxes", async () => {
    const long = point(1, "<sat>9</sat>\n".repeat(6000));
    expect(await lanesOf(HEAD + many.join("") + long + many.join("") + TAIL)).toBe("6000 plain, 1 by saxes");
  });

  test("gives up on a piece of a mebibyte where saxes alone would", async () => {
    for (const length of [1_000_000, 1_050_000, 1_114_000, 1_200_000]) {
      await lanesOf(`${HEAD}${point(0)}${point(1)}<!--${"x".repeat(length)}-->${point(2)}${TAIL}`);
      await lanesOf(`${HEAD}${point(0)}${point(1)}${" ".repeat(length)}${point(2)}${TAIL}`);
      await lanesOf(`${HEAD}${point(0)}${point(1).replace("<ele>", `${" ".repeat(length)}<ele>`)}${point(2)}${TAIL}`);
    }
  });

  test("learns no more than 64 names", async () => {
    const text = Array.from({ length: 100 }, (_, second) => point(second, `<n${second}>1</n${second}>`)).join("");
    expect(await lanesOf(HEAD + text + TAIL)).toBe("62 plain, 38 by saxes");
  });

  test("stops where the log has too many points", async () => {
    const reading = completeReading({ rows: 2000 });
    expect(await lanesOf(HEAD + many.join("") + TAIL, { ...PARSERS, reading })).toBe("refused");
    expect(await refusal(HEAD + many.join("") + TAIL, { reading })).toContain("more than 2000 rows");
  });
});
