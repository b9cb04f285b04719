import { describe, expect, it } from "vitest";
import { completeReading } from "../../src/config/reading.js";
import { refusal, said } from "../parsers/read.js";
import { draw, FEW_BYTES } from "./streams.js";

const HEAD = "time_s,latitude_deg,longitude_deg,mode\n0,47.1,8.2,manual\n1,47.1,8.2,manual\n";

describe("lines and quotes without end", () => {
  it.each([
    ["a line", "2,47.1,8.2,", "This line is longer than 1048576 bytes: it and what comes after it were left out."],
    ["a quote", '2,47.1,8.2,"', /This line is longer|A quote that opens in this row is never closed/],
    ["a row of cells", "2,47.1,8.2,x,", /This line is longer/],
  ])("%s: the rows before it are kept, and nothing more is read", async (label, begin, message) => {
    const { log, drawn_bytes } = await draw(HEAD + begin, label === "a row of cells" ? "1," : "x");
    expect(log?.track.length).toBe(2);
    const [problem] = log?.problems ?? [];
    expect(problem?.code).toBe("truncated");
    expect(problem?.message).toMatch(message);
    expect(drawn_bytes).toBeLessThan(FEW_BYTES);
  });

  it("a first line: there is no log in it", async () => {
    const { line, drawn_bytes } = await draw("time_s,", "a,");
    expect(line).toBe(
      "sent.log:1  The line with the names of the columns is longer than 65536 bytes. Export the flight as CSV or GPX.",
    );
    expect(drawn_bytes).toBeLessThan(FEW_BYTES);
  });
});

describe("a million columns", () => {
  it("in the header: refused with a line", async () => {
    const names = Array.from({ length: 1_000_000 }, (_, k) => `c${k}`).join(",");
    expect(await refusal(`time_s,latitude_deg,longitude_deg,${names}\n0,47,8\n`)).toMatch(/longer than 65536 bytes/);
  });

  it("in a row: rejected with its line", async () => {
    const { log } = await draw(`${HEAD}2,47.1,8.2,x${",1".repeat(400_000)}\n`, "3,47.1,8.2,x\n", {}, 900_000);
    expect(log === undefined ? [] : said(log)).toContain(
      "row-rejected:4 Row rejected: it has 400004 cells for 4 columns.",
    );
  });

  it("as many as fit into a header are read in a moment", async () => {
    const names = Array.from({ length: 10_000 }, (_, k) => String.fromCodePoint(97 + (k % 26))).join(",");
    const began = process.cpuUsage();
    const { log, line } = await draw(
      `time_s,latitude_deg,longitude_deg,${names}\n`,
      `0,47.1,8.2${",1".repeat(10_000)}\n`,
      {},
      60_000,
    );
    expect(line).toBeUndefined();
    expect(log?.track.length).toBe(1);
    expect(process.cpuUsage(began).user / 1e6).toBeLessThan(5);
  });
});

describe("more than a log may have", () => {
  it("rows: refused, with what raises it", async () => {
    let row = 0;
    const rows = Array.from({ length: 7000 }, () => `${(row += 1)},47.1,8.2,x\n`).join("");
    const reading = completeReading({ rows: 5000 });
    const { line, drawn_bytes } = await draw(HEAD, rows, { reading });
    expect(line).toBe(
      "sent.log  This log has more than 5000 rows. If it is to be read all the same, raise `reading.rows` (--set reading.rows=…).",
    );
    expect(drawn_bytes).toBeLessThan(FEW_BYTES);
  });

  it("track points: the same", async () => {
    const point = '<trkpt lat="47.1" lon="8.2"><time>2025-05-17T17:45:00Z</time></trkpt>';
    const { line } = await draw("<gpx><trk><trkseg>", point, { reading: completeReading({ rows: 5000 }) });
    expect(line).toMatch(/^sent\.log {2}This log has more than 5000 rows\./);
  });

  it("bytes: refused, with what raises it", async () => {
    const { line, drawn_bytes } = await draw(HEAD, "2,47.1,8.2,x\n", { reading: completeReading({ log: 5_000_000 }) });
    expect(line).toBe(
      "sent.log  This log holds more than 5 MB, unpacked: it was not read to its end. If it is to be read all the same, raise `reading.log` (--set reading.log=…).",
    );
    expect(drawn_bytes).toBeLessThan(FEW_BYTES);
  });
});
