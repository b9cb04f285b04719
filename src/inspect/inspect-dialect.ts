import type { ReadLogResult } from "../parsers/read-log.js";
import type { LogDialect } from "./inspection.js";

/** @returns how the bytes became rows: encoding, delimiter, header, time */
export function inspectDialect(parsed: ReadLogResult): LogDialect {
  const { encoding, isGzip } = parsed.dialect;
  const isZoneAssumed = parsed.problems.some(({ code }) => code === "time-zone-assumed");
  const zone = isZoneAssumed ? "utc-assumed" : "utc";
  const packing = {
    encoding,
    gzip: isGzip,
    time_format: parsed.channels["time"]?.unit ?? "",
    time_zone: parsed.track.startUtc_s === undefined ? null : zone,
  } as const;
  if (parsed.parser === "gpx") {
    const { version, tracks, segments } = parsed.dialect;
    const { plain, saxes } = parsed.lanes;
    const lanes = { points_plain: plain, points_by_xml_parser: saxes };
    return { ...packing, kind: "gpx", version: version ?? null, tracks, segments, ...lanes };
  }
  const { delimiter, lineEnding, decimals, comment, headerLine, unitsLine } = parsed.dialect;
  return {
    ...packing,
    kind: "csv",
    delimiter,
    line_ending: lineEnding,
    decimals,
    comment_mark: comment ?? null,
    header_line: headerLine,
    units_line: unitsLine ?? null,
    rows_plain: parsed.lanes.plain,
    rows_by_csv_parser: parsed.lanes.csvParse,
  };
}
