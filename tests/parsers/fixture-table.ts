import type { Channel } from "../../src/track/channels.js";

/** What a fixture must be read as; what is left out is as in the flight that all fixtures share. */
export interface ExpectedLog {
  /** Columns that differ from the shared flight, or that it does not have. */
  readonly columns?: Partial<Record<Channel, readonly number[]>>;
  /** Columns of the shared flight that this log does not have. */
  readonly without?: readonly Channel[];
  readonly startUtc_s?: number;
  readonly breaks?: readonly number[];
  readonly rows?: number;
  readonly rejected?: number;
  readonly mode?: readonly string[];
  readonly unused?: readonly string[];
  /** `code` or `code:line`, in order. */
  readonly problems?: readonly string[];
}

/** The invented flight of `fixtures/parsers/make.mjs`. */
export const SHARED_FLIGHT: Partial<Record<Channel, readonly number[]>> = {
  time_s: [0, 1, 2, 3],
  latitude_deg: [47.1, 47.1001, 47.1002, 47.1003],
  longitude_deg: [8.2, 8.2001, 8.2002, 8.2003],
  height_m: [0, 5, 10.5, 10],
  battery_pct: [99, 98.5, 98, 97],
};

/** 2024-05-01T10:00:00Z. */
const TEN_O_CLOCK = 1714557600;

/** Every fixture, one quirk each; the quirk is in the name. */
export const FIXTURES: readonly (readonly [file: string, expected: ExpectedLog])[] = [
  [
    "bad-cells.csv",
    {
      columns: { height_m: [0, 5, NaN, 10], battery_pct: [99, 98.5, 98, NaN] },
      problems: ["cell-unreadable:4", "cell-out-of-range:5"],
    },
  ],
  ["blank-lines.csv", {}],
  ["camel-case.csv", {}],
  ["clock-half-days.csv", {}],
  [
    "clock-reset.csv",
    {
      without: ["height_m", "battery_pct"],
      columns: {
        latitude_deg: [47, 47.01, 47.02, 47.03, 47.04, 47.05, 47.06, 47.07, 47.08, 47.09, 47.1, 47.11],
        longitude_deg: [8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8, 8],
        time_s: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11],
      },
      breaks: [6],
      rows: 12,
      problems: ["clock-reset"],
    },
  ],
  [
    "clock-jump.csv",
    {
      columns: { time_s: [0, 1, 767872802, 767872803] },
      startUtc_s: 946684800,
      breaks: [2],
      problems: ["clock-jump"],
    },
  ],
  ["index-column.csv", { unused: ["#"] }],
  ["comma-plain.csv", {}],
  ["comment-lines.csv", {}],
  ["commented-header.csv", {}],
  ["cr-only.csv", {}],
  ["crlf.csv", {}],
  ["date-and-time.csv", { startUtc_s: TEN_O_CLOCK }],
  ["date-midnight.csv", { startUtc_s: 1714607998, problems: ["time-zone-assumed"] }],
  ["decimal-comma-quoted.csv", {}],
  ["decimal-comma-semicolon.csv", {}],
  ["decimal-comma-tab.csv", {}],
  ["degrees-minutes.csv", { without: ["height_m", "battery_pct"] }],
  ["duplicate-names.csv", { unused: ["note", "note"] }],
  ["elapsed-beside-date.csv", { startUtc_s: TEN_O_CLOCK }],
  ["elapsed-ms.csv", {}],
  [
    "energy.csv",
    {
      columns: {
        voltage_V: [15.2, 15.2, 15.2, 15.2],
        current_A: [12.5, 12.5, 12.5, 12.5],
        chargeUsed_mAh: [250, 250, 250, 250],
        energyUsed_Wh: [3.8, 3.8, 3.8, 3.8],
        cellVoltage1_V: [3.81, 3.81, 3.81, 3.81],
        cellVoltageLowest_V: [3.79, 3.79, 3.79, 3.79],
      },
      problems: ["unit-by-values", "unit-by-values"],
    },
  ],
  ["epoch-ms.csv", { startUtc_s: TEN_O_CLOCK }],
  ["epoch-s.csv", { startUtc_s: TEN_O_CLOCK }],
  ["epoch-us.csv", { startUtc_s: TEN_O_CLOCK }],
  [
    "flags-and-fix.csv",
    {
      columns: {
        armed: [1, 0, 1, 1],
        airborne: [0, 1, 1, NaN],
        recoveryActive: [0, 1, 0, 1],
        fixType: [0, 2, 3, 4],
        satellites: [4, 9, 12, 18],
        hdop: [9.9, 2, 0.9, 0.7],
      },
      mode: ["Manual", "Manual", "", "Return"],
    },
  ],
  [
    "gpx-10.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510], course_deg: [90, 90, 90, 90], groundSpeed_ms: [5, 5, 5, 5] },
      startUtc_s: TEN_O_CLOCK,
      problems: ["ele-datum"],
    },
  ],
  [
    "gpx-11.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510] },
      startUtc_s: TEN_O_CLOCK,
      problems: ["ele-datum"],
    },
  ],
  [
    "gpx-bad-points.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510] },
      startUtc_s: TEN_O_CLOCK,
      rows: 6,
      rejected: 2,
      problems: ["ele-datum", "row-rejected:8", "row-rejected:9"],
    },
  ],
  [
    "gpx-broken.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { latitude_deg: [47.1, 47.1001], longitude_deg: [8.2, 8.2001], altitude_m: [500, 505], time_s: [0, 1] },
      startUtc_s: TEN_O_CLOCK,
      rows: 2,
      problems: ["gpx-broken:6", "ele-datum"],
    },
  ],
  [
    "gpx-called.csv",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510] },
      startUtc_s: TEN_O_CLOCK,
      problems: ["ele-datum"],
    },
  ],
  [
    "gpx-doctype.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510] },
      startUtc_s: TEN_O_CLOCK,
      problems: ["doctype-ignored:2", "ele-datum"],
    },
  ],
  [
    "gpx-entity-in-name.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510] },
      startUtc_s: TEN_O_CLOCK,
      problems: ["ele-datum", "entity-undefined:3"],
    },
  ],
  [
    "gpx-entity-in-point.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { latitude_deg: [47.1, 47.1001], longitude_deg: [8.2, 8.2001], altitude_m: [500, 505], time_s: [0, 1] },
      startUtc_s: TEN_O_CLOCK,
      rows: 2,
      problems: ["gpx-broken:6", "ele-datum"],
    },
  ],
  [
    "gpx-extensions.gpx",
    {
      columns: {
        altitude_m: [500, 505, 510.5, 510],
        fixType: [3, 3, 3, 3],
        satellites: [10, 11, 12, 13],
        hdop: [0.9, 0.9, 0.9, 0.9],
        battery_pct: [99, 98, 97, 96],
        height_m: [0, 1, 2, 3],
      },
      startUtc_s: TEN_O_CLOCK,
      mode: ["Manual", "Manual", "Manual", "Manual"],
      unused: ["speed", "heartbeat"],
      problems: ["meaning-unclear", "ele-datum"],
    },
  ],
  [
    "gpx-fix-words.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510], fixType: [0, 2, 3, 4] },
      startUtc_s: TEN_O_CLOCK,
      problems: ["ele-datum"],
    },
  ],
  [
    "gpx-late-extension.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510], windSpeed_ms: [NaN, NaN, 10, 10] },
      startUtc_s: TEN_O_CLOCK,
      problems: ["ele-datum"],
    },
  ],
  [
    "gpx-lon-180.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { latitude_deg: [-17, -17], longitude_deg: [180, -179.9999], time_s: [0, 1] },
      startUtc_s: TEN_O_CLOCK,
      rows: 2,
    },
  ],
  [
    "gpx-missing-times.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510] },
      startUtc_s: TEN_O_CLOCK,
      rows: 6,
      rejected: 2,
      problems: ["ele-datum", "row-rejected:8", "row-rejected:9"],
    },
  ],
  [
    "gpx-no-namespace.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510] },
      startUtc_s: TEN_O_CLOCK,
      problems: ["ele-datum"],
    },
  ],
  [
    "gpx-prefixed.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510] },
      startUtc_s: TEN_O_CLOCK,
      problems: ["ele-datum"],
    },
  ],
  [
    "gpx-segments.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510] },
      startUtc_s: TEN_O_CLOCK,
      breaks: [2],
      problems: ["ele-datum"],
    },
  ],
  [
    "gpx-truncated.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: {
        latitude_deg: [47.1, 47.1001, 47.1002],
        longitude_deg: [8.2, 8.2001, 8.2002],
        altitude_m: [500, 505, 510.5],
        time_s: [0, 1, 2],
      },
      startUtc_s: TEN_O_CLOCK,
      rows: 3,
      problems: ["truncated:7", "ele-datum"],
    },
  ],
  [
    "gpx-two-tracks.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510] },
      startUtc_s: TEN_O_CLOCK,
      breaks: [2],
      problems: ["ele-datum", "rows-out-of-order"],
    },
  ],
  [
    "gpx-undeclared-prefix.gpx",
    {
      without: ["height_m"],
      columns: { altitude_m: [500, 505, 510.5, 510], battery_pct: [90, 90, 90, 90] },
      startUtc_s: TEN_O_CLOCK,
      problems: ["ele-datum"],
    },
  ],
  [
    "gpx-utf16.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510] },
      startUtc_s: TEN_O_CLOCK,
      problems: ["ele-datum"],
    },
  ],
  [
    "gpx-waypoints.gpx",
    {
      without: ["height_m", "battery_pct"],
      columns: { altitude_m: [500, 505, 510.5, 510] },
      startUtc_s: TEN_O_CLOCK,
      problems: ["gpx-other-points", "ele-datum"],
    },
  ],
  [
    "header-repeated.csv",
    {
      columns: {
        latitude_deg: [47.1, 47.1001, 47.1002, 47.1003, 47.1, 47.1001, 47.1002, 47.1003],
        longitude_deg: [8.2, 8.2001, 8.2002, 8.2003, 8.2, 8.2001, 8.2002, 8.2003],
        height_m: [0, 5, 10.5, 10, 0, 5, 10.5, 10],
        battery_pct: [99, 98.5, 98, 97, 99, 98.5, 98, 97],
        time_s: [0, 1, 2, 3, 100, 101, 102, 103],
      },
      breaks: [4],
      rows: 8,
      problems: ["header-repeated"],
    },
  ],
  [
    "hemisphere-letters.csv",
    {
      columns: {
        latitude_deg: [-47.1, -47.1001, -47.1002, -47.1003],
        longitude_deg: [-8.2, -8.2001, -8.2002, -8.2003],
      },
    },
  ],
  [
    "imperial.csv",
    {
      without: ["battery_pct"],
      columns: {
        height_m: [30.48, 30.48, 30.48, 30.48],
        groundSpeed_ms: [4.4704, 4.4704, 4.4704, 4.4704],
        climbRate_ms: [1.524, 1.524, 1.524, 1.524],
        temperature_C: [10, 10, 10, 10],
      },
    },
  ],
  ["iso-no-zone.csv", { startUtc_s: TEN_O_CLOCK, problems: ["time-zone-assumed"] }],
  ["iso-offset.csv", { startUtc_s: TEN_O_CLOCK }],
  ["iso-slashes.csv", { startUtc_s: TEN_O_CLOCK }],
  ["iso-zulu.csv", { startUtc_s: TEN_O_CLOCK }],
  ["latin1-degrees.csv", { without: ["height_m", "battery_pct"], columns: { temperature_C: [0, 5, 10.5, 10] } }],
  [
    "line-breaks-in-quotes.csv",
    {
      columns: {
        latitude_deg: [47.1, 47.1001, 47.1003],
        longitude_deg: [8.2, 8.2001, 8.2003],
        height_m: [0, 5, 10],
        battery_pct: [99, 98.5, 97],
        time_s: [0, 1, 3],
      },
      rejected: 1,
      unused: ["note"],
      problems: ["row-rejected:7"],
    },
  ],
  [
    "meaning-unclear.csv",
    {
      without: ["height_m", "battery_pct"],
      unused: ["alt (ft)", "speed [m/s]"],
      problems: ["meaning-unclear", "meaning-unclear"],
    },
  ],
  ["midnight.csv", {}],
  ["missing-words.csv", { without: ["height_m"] }],
  [
    "nautical.csv",
    {
      without: ["height_m", "battery_pct"],
      columns: {
        altitude_m: [1852, 1852, 1852, 1852],
        groundSpeed_ms: [5.144444444444445, 5.144444444444445, 5.144444444444445, 5.144444444444445],
        windSpeed_ms: [10, 10, 10, 10],
        windFrom_deg: [180, 180, 180, 180],
      },
    },
  ],
  ["newest-first.csv", { problems: ["rows-out-of-order"] }],
  ["no-final-line-end.csv", {}],
  ["nul-padded.csv", {}],
  ["one-row-a-sensor.csv", { rows: 12, problems: ["rows-joined"] }],
  ["order-and-case.csv", {}],
  ["out-of-order.csv", { problems: ["rows-out-of-order"] }],
  [
    "packed-cut.csv.gz",
    {
      columns: {
        latitude_deg: [47.1, 47.1001],
        longitude_deg: [8.2, 8.2001],
        height_m: [0, 5],
        battery_pct: [99, 98.5],
        time_s: [0, 1],
      },
      rows: 2,
      problems: ["gzip-truncated"],
    },
  ],
  ["packed.csv.gz", {}],
  ["pipe.csv", {}],
  [
    "places.csv",
    {
      columns: {
        operatorLatitude_deg: [NaN, 47.1, 47.1, NaN],
        operatorLongitude_deg: [NaN, 8.2, 8.2, NaN],
        recoveryLatitude_deg: [47.1, 47.1, 47.1, 47.1],
        recoveryLongitude_deg: [8.2, 8.2, 8.2, 8.2],
        recoveryHeight_m: [60, 60, 60, 60],
      },
    },
  ],
  [
    "position-blank.csv",
    { columns: { latitude_deg: [47.1, NaN, 47.1002, 47.1003], longitude_deg: [8.2, NaN, 8.2002, 8.2003] } },
  ],
  [
    "position-zero.csv",
    {
      columns: { latitude_deg: [NaN, 47.1001, 47.1002, 47.1003], longitude_deg: [NaN, 8.2001, 8.2002, 8.2003] },
      problems: ["position-zero"],
    },
  ],
  ["quoted-everything.csv", {}],
  [
    "rejected-rows.csv",
    {
      rows: 11,
      rejected: 7,
      problems: [
        "row-rejected:6",
        "row-rejected:7",
        "row-rejected:8",
        "row-rejected:9",
        "row-rejected:10",
        "row-rejected",
      ],
    },
  ],
  ["repeated-rows.csv", { rows: 6, problems: ["rows-repeated"] }],
  ["row-short.csv", { columns: { height_m: [0, 5, 10.5, NaN], battery_pct: [99, 98.5, 98, NaN] } }],
  ["row-too-long.csv", { rows: 5, rejected: 1, problems: ["row-rejected:6"] }],
  ["same-time-differs.csv", { rows: 5, problems: ["rows-same-time"] }],
  ["scaled-integers.csv", { without: ["battery_pct"], columns: { voltage_V: [15.2, 15.19, 15.18, 15.17] } }],
  ["semicolon.csv", {}],
  ["share.csv", {}],
  ["tab.csv", {}],
  ["thousands-comma.csv", { columns: { altitude_m: [1200.5, 1201.5, 1202.5, 1203.5] } }],
  ["thousands.csv", { columns: { altitude_m: [1204.5, 1209.5, 1215, 1214.5] } }],
  ["tie-by-unit.csv", { unused: ["relative height (ft)"] }],
  ["tie.csv", { without: ["battery_pct"], unused: ["battery_pct", "Battery level (%)"], problems: ["columns-tie"] }],
  ["title-lines.csv", {}],
  ["trailing-delimiters-rows.csv", {}],
  ["trailing-delimiters.csv", {}],
  [
    "truncated-in-last-cell.csv",
    {
      columns: {
        latitude_deg: [47.1, 47.1001, 47.1002],
        longitude_deg: [8.2, 8.2001, 8.2002],
        height_m: [0, 5, 10.5],
        battery_pct: [99.25, 98.25, 98.25],
        time_s: [0, 1, 2],
      },
      rows: 3,
      problems: ["truncated:5"],
    },
  ],
  [
    "truncated-in-quotes.csv",
    {
      columns: {
        latitude_deg: [47.1, 47.1001, 47.1002],
        longitude_deg: [8.2, 8.2001, 8.2002],
        height_m: [0, 5, 10.5],
        battery_pct: [99, 98.5, 98],
        time_s: [0, 1, 2],
      },
      rows: 3,
      problems: ["truncated:5"],
    },
  ],
  [
    "truncated.csv",
    {
      columns: {
        latitude_deg: [47.1, 47.1001, 47.1002],
        longitude_deg: [8.2, 8.2001, 8.2002],
        height_m: [0, 5, 10.5],
        battery_pct: [99, 98.5, 98],
        time_s: [0, 1, 2],
      },
      rows: 3,
      problems: ["truncated:5"],
    },
  ],
  ["unit-not-known.csv", { unused: ["ground speed (warp)"], problems: ["unit-unknown"] }],
  ["unit-not-stated.csv", { unused: ["ground speed", "current"], problems: ["unit-unknown", "unit-unknown"] }],
  [
    "units-by-values.csv",
    {
      columns: { voltage_V: [15, 15, 15, 15], heading_deg: [350, 10, 10, 10], link_pct: [99, 98, 98, 98] },
      unused: ["state of charge"],
      problems: ["unit-by-values", "unit-by-values", "unit-by-values"],
    },
  ],
  ["units-row-brackets.csv", {}],
  ["units-row.csv", {}],
  ["us-dates.csv", { startUtc_s: 1715594400 }],
  ["utf16be-bare.csv", {}],
  ["utf16be-bom.csv", {}],
  ["utf16le-bare.csv", {}],
  ["utf16le-bom.csv", {}],
  ["utf8-bom-quoted.csv", {}],
  ["utf8-bom.csv", {}],
  [
    "values-tell-nothing.csv",
    {
      without: ["battery_pct"],
      unused: ["battery", "heading", "signal"],
      problems: ["unit-unknown", "unit-unknown", "unit-unknown"],
    },
  ],
  ["wrapped-quotes.csv", { unused: ["note"] }],
];
