import { describe, expect, it } from "vitest";
import { read, said } from "../parsers/read.js";
import { draw, FEW_BYTES } from "./streams.js";

const POINT = '<trkpt lat="47.1" lon="8.2"><time>2025-05-17T17:45:00Z</time></trkpt>';
const NEXT = '<trkpt lat="47.2" lon="8.2"><time>2025-05-17T17:45:01Z</time></trkpt>';
const HEAD = `<gpx version="1.1"><trk><trkseg>${POINT}${NEXT}`;

describe("entities", () => {
  it("expands none, however many lie in each other", async () => {
    const levels = Array.from({ length: 30 }, (_, k) => `<!ENTITY e${k + 1} "${`&e${k};`.repeat(10)}">`).join("");
    const name = `<name>&e30;</name>`;
    const log = await read(
      `<!DOCTYPE gpx [<!ENTITY e0 "ha">${levels}]><gpx>${name}<trk><trkseg>${POINT}</trkseg></trk></gpx>`,
    );
    expect(log.track.length).toBe(1);
    expect(said(log)).toEqual([
      "doctype-ignored:1 The document type is ignored. Its entities are not expanded.",
      "entity-undefined:1 An entity that is not defined was ignored (undefined entity.)",
    ]);
  });

  it("fetches no file and no address", async () => {
    const outside = '<!ENTITY file SYSTEM "file:///etc/hostname"><!ENTITY net SYSTEM "http://localhost:9/">';
    const log = await read(
      `<!DOCTYPE gpx SYSTEM "http://localhost:9/g.dtd" [${outside}]><gpx><trk><trkseg>${POINT}` +
        `<trkpt lat="&file;" lon="8.2"><time>2025-05-17T17:45:09Z</time></trkpt></trkseg></trk></gpx>`,
    );
    expect(log.track.length).toBe(1);
    expect(said(log)).toContain('row-rejected:1 Track point rejected: "&file;" is no latitude.');
  });
});

describe("pieces of XML without end", () => {
  it.each([
    ["elements inside each other", "<a>", /^gpx-broken:1 .*\(elements are nested over 100 deep\)/],
    ["an attribute", '<wpt name="x', /goes on for over 1048576 bytes/],
    ["attributes", "<wpt ", /goes on for over 1048576 bytes|Duplicate/i],
    ["a comment", "<!-- x", /goes on for over 1048576 bytes/],
    ["a text", "x", /goes on for over 1048576 bytes/],
  ])("%s: the points before it are kept, and nothing more is read", async (label, begin, said_) => {
    const piece = begin === "<a>" ? begin : label === "attributes" ? "" : "x";
    const head = HEAD + (begin === "<a>" ? "" : begin);
    const { log, drawn_bytes } = await draw(head, label === "attributes" ? uniqueAttributes() : piece);
    expect(log?.track.length).toBe(2);
    expect(log === undefined ? [] : said(log).at(-1)).toMatch(said_);
    expect(drawn_bytes).toBeLessThan(FEW_BYTES);
  });
});

/** Some thousand attributes, no two alike within a megabyte. */
function uniqueAttributes(): string {
  return Array.from({ length: 8000 }, (_, k) => `a${k}="" `).join("");
}
