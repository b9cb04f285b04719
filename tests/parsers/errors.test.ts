import { describe, expect, test } from "vitest";
import { fixture, read, refusal, said } from "./read.js";

const bytes = (...values: number[]): Uint8Array => Uint8Array.from(values);

describe("what is no log gets one plain line", () => {
  test.each([
    ["nothing", "", "[log-empty] flight.csv  The file is empty. Export the flight as CSV or GPX."],
    [
      "blanks",
      " \r\n\t\n",
      "[log-empty] flight.csv  The file holds nothing but blanks. Export the flight as CSV or GPX.",
    ],
    [
      "zero bytes",
      "\0\0\0\0",
      "[log-empty] flight.csv  The file holds nothing but blanks. Export the flight as CSV or GPX.",
    ],
    [
      "PNG",
      bytes(0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10),
      "[log-not-a-log] flight.csv  This is no flight log but a picture (PNG). Export the flight as CSV or GPX.",
    ],
    [
      "JPEG",
      bytes(0xff, 0xd8, 0xff, 0xe0),
      "[log-not-a-log] flight.csv  This is no flight log but a picture (JPEG). Export the flight as CSV or GPX.",
    ],
    [
      "zip",
      "PK\u0003\u0004rest",
      "[log-not-a-log] flight.csv  This is no flight log but a zip archive or an office document. Export the flight as CSV or GPX.",
    ],
    [
      "PDF",
      "%PDF-1.7\n",
      "[log-not-a-log] flight.csv  This is no flight log but a PDF document. Export the flight as CSV or GPX.",
    ],
    [
      "WebP",
      "RIFF\0\0\0\0WEBPVP8 ",
      "[log-not-a-log] flight.csv  This is no flight log but a picture (WebP). Export the flight as CSV or GPX.",
    ],
    [
      "HTML",
      "<!DOCTYPE html>\n<html><body>404</body></html>",
      "[log-not-a-log] flight.csv  This is no flight log but a web page (perhaps an error page saved in place of the log). Export the flight as CSV or GPX.",
    ],
    [
      "HTML fragment",
      "<HTML>",
      "[log-not-a-log] flight.csv  This is no flight log but a web page (perhaps an error page saved in place of the log). Export the flight as CSV or GPX.",
    ],
    [
      "other XML",
      '<?xml version="1.0"?><!-- <gpx> --><kml></kml>',
      '[log-not-a-log] flight.csv  This is no flight log but XML with the root element "kml". Export the flight as CSV or GPX.',
    ],
    [
      "broken XML",
      "<!-- never closed",
      "[log-not-a-log] flight.csv  This is no flight log but broken XML. Export the flight as CSV or GPX.",
    ],
    [
      "JSON",
      '{ "type": "Feature" }',
      "[log-not-a-log] flight.csv  This is no flight log but JSON. Export the flight as CSV or GPX.",
    ],
    [
      "binary",
      Uint8Array.from({ length: 999 }, (_, index) => (index * 7919) % 256),
      "[log-not-a-log] flight.csv  This is no flight log but binary data. Export the flight as CSV or GPX.",
    ],
    [
      "prose",
      "Dear pilot\nfly safely\n",
      "[log-not-a-log] flight.csv  This is no flight log: no line of it has columns. Export the flight as CSV or GPX.",
    ],
    [
      "cut gzip",
      bytes(0x1f, 0x8b, 8, 0, 0),
      "[log-not-a-log] flight.csv  The gzip stream is damaged from the start: nothing could be unpacked. Copy or export the log again.",
    ],
    [
      "bad gzip",
      bytes(0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 3, 255, 255, 255, 255, 255),
      "[log-not-a-log] flight.csv  The gzip stream is damaged from the start: nothing could be unpacked. Copy or export the log again.",
    ],
  ])("%s", async (_, content, line) => {
    const whole = typeof content === "string" ? Buffer.from(content, "latin1") : content;
    expect(await refusal(whole)).toBe(line);
  });
});

describe("a CSV log that cannot be used says why and what to do", () => {
  test.each([
    [
      "header only",
      "time_s,lat,lon\n",
      "[log-no-rows] flight.csv:1  There are no rows below the header. Export the flight again.",
    ],
    [
      "header and units only",
      "\ntime,lat,lon\ns,deg,deg\n",
      "[log-no-rows] flight.csv:2  There are no rows below the header. Export the flight again.",
    ],
    [
      "no names",
      "1,2,3\n2,2,3\n",
      "[log-no-header] flight.csv:1  The columns have no names. Put a line with the names of the columns on top, such as time_s,latitude,longitude.",
    ],
    [
      "no position",
      "time_s,a,b\n1,2,3\n",
      '[log-no-position] flight.csv:1  No column for latitude and longitude was recognised among "time_s", "a", "b". Map it in homeleg.yaml: columns: { latitude: { column: "NAME", unit: "deg" } }',
    ],
    [
      "no longitude",
      "time_s,lat,b\n1,2,3\n",
      '[log-no-position] flight.csv:1  No column for longitude was recognised among "time_s", "lat", "b". Map it in homeleg.yaml: columns: { longitude: { column: "NAME", unit: "deg" } }',
    ],
    [
      "no time",
      "a,lat,lon\n1,2,3\n",
      '[log-no-time] flight.csv  No column for the time was recognised among "a", "lat", "lon". Map it in homeleg.yaml: columns: { time: { column: "NAME", unit: "s" } }',
    ],
    [
      "time without a unit",
      "time,lat,lon\n1,2,3\n",
      '[log-no-time] flight.csv  Column "time" states no unit of time. If it fits, add to homeleg.yaml: columns: { time: { column: "time", unit: "s" } }',
    ],
    [
      "day or month first",
      "time,lat,lon\n05/06/2024 10:00:00,2,3\n",
      '[log-no-time] flight.csv  Column "time" may be day first or month first. If it fits, add to homeleg.yaml: columns: { time: { column: "time", unit: "d/m/y" } }',
    ],
    [
      "no readable time",
      "time,lat,lon\nnoon,2,3\n",
      '[log-no-time] flight.csv  Column "time" holds no times that can be read. Known are ISO 8601, seconds and milliseconds, hh:mm:ss, or a date and a time of day in two columns.',
    ],
    [
      "all rows rejected",
      "time_s,lat,lon\n1,x,3\n2,y,3\n",
      '[log-no-rows] flight.csv:2  All 2 rows were rejected; the first: "x" in column "lat" is not a number.',
    ],
    [
      "the only row rejected",
      "time_s,lat,lon\n1,x,3\n",
      '[log-no-rows] flight.csv:2  The only row was rejected; the first: "x" in column "lat" is not a number.',
    ],
    [
      "no fix at all",
      "time_s,lat,lon\n1,0,0\n2,,\n",
      "[log-no-position] flight.csv  No row has a position (0, 0 is none).",
    ],
  ])("%s", async (_, content, line) => {
    expect(await refusal(content)).toBe(line);
  });

  test("control characters of a log are escaped and long names cut", async () => {
    const name = `\u001b[31m${"x".repeat(80)}`;
    expect(await refusal(`${name},lat,lon\n1,2,3\n`)).toContain(`"\\u001b[31m${"x".repeat(54)}…"`);
  });

  test("of many columns the first twelve are listed", async () => {
    const names = Array.from({ length: 20 }, (_, index) => `q${index}`);
    expect(await refusal(`${["time_s", ...names].join(",")}\n${"1,".repeat(20)}1\n`)).toContain('"q10" and 9 more.');
  });
});

describe("a GPX log that cannot be used says why", () => {
  test.each([
    ["no points", "<gpx/>", "[log-no-rows] flight.csv  There are no track points. Export the track itself."],
    [
      "waypoints only",
      '<gpx><wpt lat="1" lon="1"/></gpx>',
      "[log-no-rows] flight.csv  There are no track points, only waypoints or routes. Export the track itself.",
    ],
    [
      "no times",
      '<gpx><trkpt lat="1" lon="1"/></gpx>',
      "[log-no-time] flight.csv  No track point has a time. Export the track with times.",
    ],
    [
      "all rejected",
      '<gpx><trkpt lat="1" lon="1"><time>x</time></trkpt></gpx>',
      "[log-no-rows] flight.csv  The only track point was rejected.",
    ],
    [
      "no fix at all",
      '<gpx><trkpt lat="0" lon="0"><time>2024-05-01T10:00:00Z</time></trkpt></gpx>',
      "[log-no-position] flight.csv  No track point has a position (0, 0 is none).",
    ],
    [
      "cut before the first point",
      '<gpx>\n<trk><trkseg><trkpt lat="1"',
      "[gpx-broken] flight.csv:2:28  The file breaks off before the first track point. Export the flight again.",
    ],
    [
      "broken before the first point",
      "<gpx>\n<trk name=1>",
      '[gpx-broken] flight.csv:2:12  The XML breaks before the first track point: "unquoted attribute value.". Export the flight again.',
    ],
  ])("%s", async (_, content, line) => {
    expect(await refusal(content)).toBe(line);
  });
});

describe("problems are worded for people", () => {
  test("rejected rows: five by line, then the number", async () => {
    expect(said(await read(fixture("rejected-rows.csv")))).toEqual([
      'row-rejected:6 Row rejected: "north" in column "latitude" is not a number.',
      'row-rejected:7 Row rejected: "91" in column "latitude" is out of range.',
      'row-rejected:8 Row rejected: "181" in column "longitude" is out of range.',
      "row-rejected:9 Row rejected: it has no time.",
      'row-rejected:10 Row rejected: "noon" is no time.',
      "row-rejected and 2 more rows were rejected.",
    ]);
  });

  test.each([
    [
      "unit-not-stated.csv",
      'unit-unknown Column "current" looks like current but states no unit: not used. If it is in A, add to homeleg.yaml: columns: { current: { column: "current", unit: "A" } } (known units: A, mA).',
    ],
    [
      "unit-not-known.csv",
      'unit-unknown Column "ground speed (warp)" looks like ground_speed but states the unit "warp", which is not known: not used. If it is in m/s, add to homeleg.yaml: columns: { ground_speed: { column: "ground speed (warp)", unit: "m/s" } } (known units: m/s, km/h, mph, kt, ft/min, ft/s, cm/s).',
    ],
    [
      "meaning-unclear.csv",
      'meaning-unclear Column "alt (ft)" does not say above what: not used. Say which of height, altitude, height_above_ground, altitude_ellipsoidal it is in homeleg.yaml, such as: columns: { height: { column: "alt (ft)" } }',
    ],
    [
      "tie.csv",
      'columns-tie Columns "battery_pct" and "Battery level (%)" may both be battery: neither is used. Name one in homeleg.yaml: columns: { battery: { column: "battery_pct", unit: "%" } }',
    ],
    [
      "clock-reset.csv",
      "clock-reset The clock goes back by 5 s at data row 7: what follows is taken as a new recording, 1 s after the one before.",
    ],
    ["gpx-10.gpx", "ele-datum GPX does not say what ele counts from: it was taken as height above mean sea level."],
    ["gpx-waypoints.gpx", "gpx-other-points The file also has 2 waypoints and 1 route: ignored, only tracks are read."],
    [
      "gpx-broken.gpx",
      "gpx-broken:6 The XML breaks at column 13 (unquoted attribute value.): only the track points before it were read.",
    ],
    [
      "gpx-entity-in-point.gpx",
      "gpx-broken:6 The XML breaks at column 45 (undefined entity.): only the track points before it were read.",
    ],
    ["truncated.csv", "truncated:5 The file breaks off in this line, which was left out."],
  ])("%s", async (file, line) => {
    expect(said(await read(fixture(file)))).toContain(line);
  });

  test("a quote that is never closed is told apart from a cut file", async () => {
    const log = await read('time_s,lat,lon,note\n1,2,3,x\n2,2,3,"open\n3,2,3,x\n4,2,3,x\n');
    expect(log.track.length).toBe(1);
    expect(said(log)).toEqual([
      "truncated:3 A quote that opens in this row is never closed: the row and the 2 lines after it were left out.",
    ]);
  });

  test("an unclear column is only a note where another says it", async () => {
    const log = await read("time_s,lat,lon,alt (m),altitude amsl (m)\n1,2,3,4,5\n");
    expect(log.problems.map(({ severity, code }) => `${severity} ${code}`)).toEqual(["note meaning-unclear"]);
  });
});
