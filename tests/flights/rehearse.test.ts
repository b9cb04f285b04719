import { describe, expect, it } from "vitest";
import { loadSetting, rehearse, type RehearsalResult } from "../../src/index.js";
import { parseMomentTime } from "../../src/moment-time.js";
import { csvOf } from "../helpers/csv.js";
import { LATE } from "../helpers/run.js";

const encode = (text: string): Uint8Array => new TextEncoder().encode(text);
/** Two flights of LATE, the second an hour after the first, each on the ground before and after, with a gap in the first. */
const rows = [
  ...LATE.filter(({ time_s }) => time_s < 100 || time_s > 130),
  ...LATE.map((row) => ({ ...row, time_s: row.time_s + 3600 })),
];
const LOG = encode(csvOf(rows));
const UTC = encode(
  csvOf(LATE)
    .replace("time_s", "time")
    .replace(/^(\d+),/gm, (_, t: string) => `${new Date(Date.UTC(2026, 0, 1) + Number(t) * 1000).toISOString()},`),
);
const ask = async (at: string, flight?: number, log = LOG): Promise<RehearsalResult> =>
  rehearse(log, await loadSetting(), { path: "a.csv", at, flight });

describe("parseMomentTime", () => {
  it.each([
    ["412", 412],
    ["412.5", 412.5],
    ["6:52", 412],
    ["0:06:52", 412],
    ["1:00:00.25", 3600.25],
    ["75:10", 4510],
  ])("%s is %s s", (text, at_s) => expect(parseMomentTime(text)).toEqual({ kind: "elapsed", at_s }));

  it.each([
    ["2026-01-01T00:00:10Z", Date.UTC(2026, 0, 1, 0, 0, 10) / 1000],
    ["2026-01-01T01:00:10+01:00", Date.UTC(2026, 0, 1, 0, 0, 10) / 1000],
  ])("%s is UTC", (text, utc_s) => expect(parseMomentTime(text)).toEqual({ kind: "utc", utc_s }));

  it.each(["", "6:60", "1:60:00", "-5", "6m52", "2026-01-01T00:00:10", "2026-13-01T00:00:10Z", "NaN", "1e3"])(
    "refuses %j",
    (text) => expect(() => parseMomentTime(text)).toThrow(/is no time of a log/),
  );
});

describe("rehearse", () => {
  it("takes the last sample at or before the time", async () => {
    expect((await ask("50")).at_s).toBe(50);
    expect((await ask("50.9")).at_s).toBe(50);
    expect(await ask("1:01:00")).toMatchObject({ at_s: 3660, flight: 2 });
    expect(await ask("1:01:00", 2)).toMatchObject({ flight: 2 });
  });

  it("takes UTC where the log has it, and asks for elapsed time where it has not", async () => {
    expect(await ask("2026-01-01T00:01:00Z", undefined, UTC)).toMatchObject({
      at_s: 60,
      at_utc: "2026-01-01T00:01:00.000Z",
    });
    await expect(ask("2026-01-01T00:01:00Z")).rejects.toMatchObject({ code: "log-without-utc" });
  });

  it.each([
    ["30:00", undefined, /^30:00 \(1800 s\) is in no flight of a\.csv\.$/, "time-outside"],
    ["50", 2, /^00:50 \(50 s\) is not in flight 2 of a\.csv\.$/, "time-outside"],
    [
      "110",
      undefined,
      /^01:50 \(110 s\) is in a gap of the record of a\.csv \(01:39 \(99 s\) to 02:11 \(131 s\)\)\.$/,
      "time-in-gap",
    ],
  ])("says when the flights are for %s", async (at, flight, message, code) => {
    await expect(ask(at, flight)).rejects.toMatchObject({
      code,
      message: expect.stringMatching(message) as string,
      hint: "Flight 1 from 00:00 (0 s) to 14:40 (880 s), flight 2 from 1:00:00 (3600 s) to 1:14:40 (4480 s).",
    });
  });

  it("says so for a log without a flight", async () => {
    const still = encode("time_s,latitude_deg,longitude_deg\n0,47,8\n1,47,8\n");
    await expect(ask("0", undefined, still)).rejects.toMatchObject({ hint: "No flight was found in it." });
  });
});
