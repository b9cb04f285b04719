import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { UNREADABLE } from "../../src/parsers/cell-readers.js";
import { IsoReader } from "../../src/parsers/iso-reader.js";
import { readTimeText, type DateOrder } from "../../src/parsers/time-text.js";
import { midnightFollower } from "../../src/parsers/csv/time-format.js";

/** Microseconds since 1970 by the JavaScript date, which knows ISO 8601. */
function micros(iso: string): number {
  return Date.parse(iso) * 1000;
}

function total(text: string, order: DateOrder = "y-m-d"): number | undefined {
  const read = readTimeText(text, order);
  return read && (read.date_us ?? 0) + (read.clock_us ?? 0) - (read.zone_us ?? 0);
}

describe("dates and times of day", () => {
  test.each<[string, string]>([
    ["2024-05-01T10:20:30Z", "2024-05-01T10:20:30Z"],
    ["2024-05-01 10:20:30.5", "2024-05-01T10:20:30.5Z"],
    ["2024-05-01T10:20:30,25+02:00", "2024-05-01T08:20:30.25Z"],
    ["2024-05-01T10:20:30-0530", "2024-05-01T15:50:30Z"],
    ["2024-05-01 10:20:30 UTC+2", "2024-05-01T08:20:30Z"],
    ["2024/05/01 10:20", "2024-05-01T10:20:00Z"],
    ["1.5.2024 10:20:30", "2024-05-01T10:20:30Z"],
    ["01.05.2024, 10:20:30", "2024-05-01T10:20:30Z"],
    ["2024-05-01 12:00:01 AM", "2024-05-01T00:00:01Z"],
    ["2024-05-01 12:00:01 p.m.", "2024-05-01T12:00:01Z"],
    ["2024-02-29", "2024-02-29T00:00:00Z"],
  ])("%s", (text, iso) => {
    expect(total(text)).toBe(micros(iso));
  });

  test("microseconds are kept", () => {
    expect(total("2024-05-01T10:20:30.123456Z")).toBe(micros("2024-05-01T10:20:30Z") + 123_456);
  });

  test.each<[DateOrder, string]>([
    ["d/m/y", "2024-06-05T00:00:00Z"],
    ["m/d/y", "2024-05-06T00:00:00Z"],
  ])("05/06/2024 as %s", (order, iso) => {
    expect(total("05/06/2024", order)).toBe(micros(iso));
  });

  test.each([
    "",
    "noon",
    "2024-02-30",
    "2024-13-01",
    "2024-05-01T24:00:00",
    "2024-05-01T10:61:00",
    "10:00:61",
    "13:00:00 PM",
    "2024-05-01T10:20:30+15:00",
    "2024-05-01T10:20:30 Mars",
    "1850-05-01",
    "12",
    "x".repeat(80),
  ])("%s is none", (text) => {
    expect(readTimeText(text, "y-m-d")).toBeUndefined();
  });

  test("hours may count on where there is no date", () => {
    expect(total("100:00:01")).toBe((100 * 3600 + 1) * 1e6);
  });
});

describe("the quick reader of ISO 8601", () => {
  test("agrees with the JavaScript date", () => {
    const iso = new IsoReader();
    fc.assert(
      fc.property(
        fc.date({ min: new Date("1970-01-01"), max: new Date("2100-01-01"), noInvalidDate: true }),
        (date) => {
          expect(iso.read(date.toISOString())).toBe(date.getTime() * 1000);
        },
      ),
    );
  });

  test.each([
    "2024-05-01T10:20:30",
    "2024-05-01T10:20:30.1234567Z",
    "2024-05-01T10:20:30,5Z",
    "2024-05-01T25:20:30Z",
    "05/06/2024 10:00:00Z",
    "2024-02-30T10:20:30Z",
    "2024-05-01T10:20:3xZ",
    "2024-05-01T10:20:3éZ",
    "２024-05-01T10:20:30Z",
  ])("leaves %s to the other", (text) => {
    expect(new IsoReader().read(text)).toBe(UNREADABLE);
  });
});

test("midnight is followed forward, and a late row back", () => {
  const follow = midnightFollower();
  const hours = [23, 23.9, 0.1, 23.95, 0.2, 12, 23, 1].map((hour) => follow(hour * 3.6e9) / 3.6e9);
  expect(hours.map((hour) => Math.round(hour * 100) / 100)).toEqual([23, 23.9, 24.1, 23.95, 24.2, 36, 47, 49]);
  expect(follow(NaN)).toBeNaN();
  expect(follow(UNREADABLE)).toBe(UNREADABLE);
});
