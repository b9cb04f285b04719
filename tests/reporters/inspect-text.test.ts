import { describe, expect, it } from "vitest";
import { inspectionReport, inspectLog, loadSetting, type LogInspection, starterConfig } from "../../src/index.js";
import type { TextOptions } from "../../src/index.js";
import { parseConfig } from "../../src/config/load-config.js";
import { csvOf } from "../helpers/csv.js";
import { landed, outAndBack } from "../helpers/flights.js";
import { fixture } from "../parsers/read.js";

const PLAIN: TextOptions = { color: 0, ascii: false, width: 80, units: "metric", quiet: false, explainScore: false };
const good = landed(
  outAndBack({
    course_deg: 0,
    out_ms: 10,
    outFor_s: 60,
    back_ms: 10,
    height_m: 40,
    battery_pct: 100,
    rate_pctPerMin: 6,
    step_s: 0.5,
  }),
);

const bare = await loadSetting();
const inspect = (content: string | Uint8Array, path = "flight.csv"): Promise<LogInspection> =>
  inspectLog(typeof content === "string" ? Buffer.from(content) : content, bare, { path });
const told = async (content: string | Uint8Array, options: Partial<TextOptions> = {}): Promise<string> =>
  inspectionReport([await inspect(content)], { ...PLAIN, ...options });

describe("inspectLog", () => {
  it("tells the dialect, the columns with their ranges, the sampling and the flights", async () => {
    const log = await inspect(csvOf(good));
    expect(log).toMatchObject({
      path: "flight.csv",
      bytes: csvOf(good).length,
      parser: "csv",
      dialect: { kind: "csv", encoding: "utf-8", gzip: false, delimiter: ",", decimals: "point", header_line: 1 },
      rows: 251,
      rows_rejected: 0,
      start_utc: null,
      duration_s: 130,
      sampling: { median_step_s: 0.5, rate_hz: 2, gaps: 0, longest_gap_s: null, breaks: 0 },
    });
    expect(log.dialect).toMatchObject({ time_format: "s", time_zone: null, units_line: null, comment_mark: null });
    expect(log.columns.map(({ column, channel, unit }) => [column, channel, unit])).toEqual([
      ["time_s", "time", "s"],
      ["latitude_deg", "latitude", "deg"],
      ["longitude_deg", "longitude", "deg"],
      ["height_above_takeoff_m", "height", "m"],
      ["battery_pct", "battery", "%"],
      ["airborne", "airborne", "flag"],
    ]);
    expect(log.columns[3]?.range).toEqual({ least: 0, greatest: 40, unit: "m" });
    expect(log.flights).toMatchObject([
      {
        index: 1,
        start_s: 0,
        end_s: 120,
        basis: "measured",
        ends_in_air: false,
        recovery_point: { basis: "inferred", is_known: true },
      },
    ]);
    expect(log.flights[0]?.not_assessed.find(({ rule }) => rule === "headwind-stall")?.missing).toEqual(["wind"]);
  });

  it("gives ranges in SI whatever the log's units, shares of what is filled, and counts gaps apart from breaks", async () => {
    const rows = [
      "time_s,lat,lon,ground speed (km/h),battery (%)",
      ...[0, 1, 2, 3, 10, 11].map((t) => `${t},47,8,36,`),
      "time_s,lat,lon,ground speed (km/h),battery (%)",
      ...[12, 13].map((t) => `${t},47,8,72,90`),
    ];
    const log = await inspect(rows.join("\n") + "\n");
    expect(log.sampling).toMatchObject({ gaps: 1, longest_gap_s: 7, breaks: 1, median_step_s: 1 });
    expect(log.columns[3]).toMatchObject({ unit: "km/h", range: { least: 10, greatest: 20, unit: "m/s" } });
    expect(log.columns[4]?.filled_share).toBe(0.25);
  });

  it.each([
    ["meaning-unclear.csv", "alt (ft)", "meaning", "does not say above what", 'height: { column: "alt (ft)" }'],
    [
      "unit-not-known.csv",
      "ground speed (warp)",
      "unit",
      'looks like ground_speed but states the unit "warp", which is not known',
      'ground_speed: { column: "ground speed (warp)", unit: "m/s" }',
    ],
    ["tie.csv", "Battery level (%)", "tie", "may be battery", 'battery: { column: "Battery level (%)", unit: "%" }'],
  ])("asks about what it may not guess: %s", async (name, column, kind, why, entry) => {
    const { columns } = await inspect(fixture(name));
    const asked = columns.find((one) => one.column === column);
    expect(asked).toMatchObject({ channel: null, unit: null, range: null, question: { kind, entry } });
    expect(asked?.because).toContain(why);
    expect(asked?.question?.yaml).toBe(`columns: { ${entry} }`);
    const { declared } = await parseConfig(asked?.question?.yaml ?? "", "homeleg.yaml");
    expect(Object.values(declared.columns)[0]?.column).toBe(column);
  });

  it("says of every other column why it is left out", async () => {
    const log = await inspect(
      "time_s,time utc,lat,lon,battery remaining (%),batt (%),whim\n0,2024-05-01T10:00:00Z,1,1,9,9,9\n0.5,2024-05-01T10:00:00Z,1,1,9,9,9\n",
    );
    const why = new Map(log.columns.map(({ column, because }) => [column, because]));
    expect(why.get("time utc")).toBe("tells when the recording began");
    expect(why.get("batt (%)")).toBe('battery is taken from "battery remaining (%)"');
    expect(why.get("whim")).toBe("its name is none of the known words");
    expect(log.columns.map(({ entry }) => entry).filter((entry) => entry !== null)).toEqual([
      'CHANNEL: { column: "whim" }',
    ]);
    expect(inspectionReport([log], PLAIN)).toMatch(/^ {2}columns:\n {4}CHANNEL: \{ column: "whim" \}$/m);
    expect(log.dialect).toMatchObject({ time_format: "s", time_zone: "utc" });
  });

  it("asks only about what the log does not say elsewhere", async () => {
    const log = await inspect("time_s,lat,lon,alt (m),height above takeoff (m)\n0,1,1,9,9\n1,1,1,9,9\n");
    expect(log.columns[3]?.question).toMatchObject({ is_covered: true });
    expect(inspectionReport([log], PLAIN)).not.toContain("columns:");
  });

  it("tells a zone that is stated from one that was taken", async () => {
    expect((await inspect(fixture("iso-no-zone.csv"))).dialect?.time_zone).toBe("utc-assumed");
    expect((await inspect(fixture("iso-offset.csv"))).dialect?.time_zone).toBe("utc");
    expect(await told(fixture("iso-no-zone.csv"))).toContain("taken as UTC, for no zone is stated");
  });

  it("tells the elements of GPX too", async () => {
    const log = await inspect(fixture("gpx-extensions.gpx"));
    expect(log.dialect).toMatchObject({ kind: "gpx", tracks: 1, segments: 1, time_format: "ISO 8601" });
    expect(log.dialect).toMatchObject({ points_plain: log.rows, points_by_xml_parser: 0 });
    expect(await told(fixture("gpx-extensions.gpx"))).toMatch(/^ {2}points: \d+, all plain$/m);
    expect(log.columns.slice(0, 3).map(({ column, channel }) => [column, channel])).toEqual([
      ["time", "time"],
      ["lat", "latitude"],
      ["lon", "longitude"],
    ]);
    expect(log.columns.some(({ channel }) => channel === null)).toBe(true);
  });

  it("says in one line why a log cannot be read", async () => {
    const log = await inspect("");
    expect(log).toMatchObject({ parser: null, dialect: null, sampling: null, columns: [], flights: [], bytes: 0 });
    expect(log.problems).toHaveLength(1);
    expect(inspectionReport([log], PLAIN)).toBe(
      "flight.csv  not read\n  error: The file is empty. Export the flight as CSV or GPX.\n",
    );
  });
});

describe("the inspection as text", () => {
  it("says what each column was taken for and which rules lack what", async () => {
    const text = await told(csvOf(good));
    expect(text).toMatch(/^ {2}CSV, comma, decimal point, names in line 1, LF, UTF-8$/m);
    expect(text).toMatch(/^ {2}time: s, from a start that the log does not say$/m);
    expect(text).toMatch(/251 rows, none rejected; 2 min 10 s, a row every 0\.5 s \(2 a second\)/);
    expect(text).toMatch(/^ {2}battery_pct +battery +% +100 % {2}\d/m);
    expect(text).toMatch(/^ {2}1 {2}00:00–02:00, 2 min 00 s, found by the log's own flag$/m);
    expect(text).toMatch(/^ {2}headwind-stall: wants wind$/m);
  });

  it("prints the lines to paste for what only the pilot can say", async () => {
    expect(await told(fixture("meaning-unclear.csv"))).toContain(
      [
        "  columns:",
        '    height: { column: "alt (ft)" }',
        "    # or altitude, height_above_ground, altitude_ellipsoidal",
        '    ground_speed: { column: "speed [m/s]" }',
      ].join("\n"),
    );
    expect(await told(fixture("tie.csv"))).toContain('    # or battery: { column: "Battery level (%)", unit: "%" }');
  });

  it.each(["units-row.csv", "comment-lines.csv", "utf16le-bom.csv", "packed.csv.gz", "gpx-11.gpx", "iso-no-zone.csv"])(
    "fits 80 columns, in ASCII where asked: %s",
    async (name) => {
      const text = await told(fixture(name), { ascii: true });
      expect(text).toMatch(/^[\n\u0020-\u007e]*$/);
      for (const line of text.split("\n")) expect(line.length, line).toBeLessThanOrEqual(80);
    },
  );

  it("never hands a log's control characters to the terminal", async () => {
    const text = await told("time_s,lat,lon,\u001b[2Jalt,\u202ewhim\n0,1,1,1,1\n1,1,1,1,1\n");
    // oxlint-disable-next-line no-control-regex
    expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u202e]/);
    expect(text).toContain("\\u{202e}whim");
  });
});

describe("the starter settings", () => {
  const uncommented = (text: string): string => text.replace(/^# /gm, "");

  it("declare nothing as they are, and are whole settings once their comments are taken away", async () => {
    const text = starterConfig(await inspect(fixture("meaning-unclear.csv")));
    for (const line of text.split("\n")) expect(line).toMatch(/^(#.*)?$/);
    expect((await parseConfig(text, "homeleg.yaml")).written.size).toBe(0);
    const { declared } = await parseConfig(uncommented(text), "homeleg.yaml");
    expect(declared).toMatchObject({
      aircraft: { speeds_ms: { recovery: 10 }, drain_pctPerMin: { hover: 4 } },
      settings: { recoveryHeight_m: 50, lostLinkAction: "return" },
      operator: { kind: "at-takeoff" },
      wind: { speed_ms: 4 },
      site: { terrain: { kind: "flat" }, obstacles: [], zones: [] },
      columns: { height: { column: "alt (ft)" }, ground_speed: { column: "speed [m/s]" } },
    });
    expect(declared.recoveryPoints).toHaveLength(1);
  });

  it("say what the log has already, and ask for none of it", async () => {
    const people = "operator latitude,operator longitude,recovery latitude,recovery longitude";
    const text = starterConfig(
      await inspect(
        `time_s,lat,lon,wind speed (m/s),wind from (deg),recovery height (m),${people}\n0,1,1,3,90,50,1,1,1,1\n1,1,1,3,90,50,1,1,1,1\n`,
      ),
    );
    expect(text).toContain("##   wind (wind speed (m/s), wind from (deg))");
    for (const key of ["wind", "operator", "recovery_point"])
      expect(text).toContain(`## ${key}: is in the log, nothing to declare.`);
    expect(uncommented(text)).not.toMatch(/^ *(wind|operator|recovery_point|recovery_height):/m);
  });

  it("take half of the wind for none", async () => {
    const text = starterConfig(await inspect("time_s,lat,lon,wind speed (m/s)\n0,1,1,3\n1,1,1,3\n"));
    expect(text).toMatch(/^# wind: \{ speed: /m);
    expect(text).not.toContain("##   wind (");
  });

  it("keep what a log says inside comments, whatever its names are", async () => {
    const log = await inspect(fixture("meaning-unclear.csv"), "a\nsettings: {}.csv");
    const text = starterConfig(log);
    expect(text).toContain("a\\u{a}settings: {}.csv");
    expect((await parseConfig(text, "homeleg.yaml")).written.size).toBe(0);
  });

  it.each(['"alt" (ft)', "alt\u0001 (ft)", `alt${" ".repeat(70)}(ft)`])(
    "name a column so that it is read back: %j",
    async (name) => {
      const rows = Array.from({ length: 20 }, (_, t) => `${t},1,1,1\n`).join("");
      const log = await inspect(`time_s,lat,lon,"${name.replaceAll('"', '""')}"\n${rows}`);
      const { declared } = await parseConfig(uncommented(starterConfig(log)), "homeleg.yaml");
      expect(declared.columns).toEqual({ height: { column: name, unit: undefined } });
    },
  );
});
