import type { Declared } from "../../config/declared.js";
import type { Reading } from "../../config/reading.js";
import type { Channel } from "../../track/channels.js";
import type { ParsedLog } from "../../track/track.js";
import { UserError } from "../../user-error.js";
import { assembleTrack, type ReadRows } from "../assemble-track.js";
import type { ColumnUse } from "../column-use.js";
import { GrowingColumn } from "../growing-column.js";
import { mostRows } from "../most.js";
import type { ProblemList } from "../problem-list.js";
import { quoteText } from "../quote-text.js";
import type { TextEncodingName } from "../text-encoding.js";
import { elementUses } from "./element-uses.js";
import { PointReader } from "./point-reader.js";
import { type PointLanes, readXml } from "./read-xml.js";
import type { XmlBreak } from "./xml-stream.js";

/** How a GPX file was understood. */
export interface GpxDialect {
  readonly encoding: TextEncodingName;
  readonly isGzip: boolean;
  /** As the file states it: `1.1`. */
  readonly version: string | undefined;
  readonly tracks: number;
  readonly segments: number;
}

/** What the GPX parser makes of a file, with how it was understood. */
export interface GpxParsedLog extends ParsedLog {
  readonly parser: "gpx";
  readonly dialect: GpxDialect;
  /** Every element of the track points that was used, and those not understood. */
  readonly columns: readonly ColumnUse[];
  readonly lanes: PointLanes;
}

/**
 * Reads the tracks of a GPX log, block by block.
 *
 * @param blocks the text as UTF-8
 * @throws UserError `log-no-rows` without track points, `log-no-time` if none has a time, `gpx-broken` if the XML breaks
 *   before the first point
 */
export async function readGpx(
  blocks: AsyncIterable<Uint8Array>,
  packing: Pick<GpxDialect, "encoding" | "isGzip">,
  options: {
    readonly path: string;
    readonly columns?: Declared["columns"] | undefined;
    readonly reading: Reading;
    /** `none` reads every point with saxes: slower, the same result. */
    readonly lanes?: "all" | "none" | undefined;
  },
  problems: ProblemList,
): Promise<GpxParsedLog> {
  const { path, columns = {} } = options;
  const { most, full } = mostRows(options);
  const reader = new PointReader(columns, problems, new GrowingColumn(most, full));
  const { broken, lanes } = await readXml(blocks, reader, problems, options.lanes);
  requirePoints(reader, broken, path);
  if (broken !== undefined) reportBreak(broken, problems);
  noteLeftOut(reader, problems);
  if (reader.columns.slots.get("altitude_m")?.origin.source === "ele") {
    problems.add(
      "note",
      "ele-datum",
      "GPX does not say what ele counts from: it was taken as height above mean sea level.",
    );
  }
  const { track, channels } = assembleTrack(readRows(reader), problems);
  if (!track.columns.latitude_deg.some((value) => !Number.isNaN(value))) {
    throw new UserError("log-no-position", "No track point has a position (0, 0 is none).", { where: { file: path } });
  }
  return {
    parser: "gpx",
    track,
    rows: reader.rows,
    rowsRejected: reader.rowsRejected,
    channels,
    unusedColumns: [...reader.columns.unused],
    problems: [],
    dialect: { ...packing, version: reader.version, tracks: reader.tracks, segments: reader.segments },
    columns: elementUses(channels, reader.columns.unused, problems.questions),
    lanes,
  };
}

function requirePoints(reader: PointReader, broken: XmlBreak | undefined, path: string): void {
  if (reader.time_us.length > 0) return;
  if (broken !== undefined) {
    const { line, column, message, isCut } = broken;
    const what = isCut ? "The file breaks off" : "The XML breaks";
    const why = isCut ? "" : `: ${quoteText(message)}`;
    throw new UserError("gpx-broken", `${what} before the first track point${why}.`, {
      where: { file: path, line, column },
      hint: "Export the flight again.",
    });
  }
  const where = { file: path };
  if (reader.rows === 0) {
    const other = reader.waypoints + reader.routes > 0 ? ", only waypoints or routes" : "";
    throw new UserError("log-no-rows", `There are no track points${other}.`, {
      where,
      hint: "Export the track itself.",
    });
  }
  if (reader.rowsWithoutTime === reader.rows) {
    throw new UserError("log-no-time", "No track point has a time.", { where, hint: "Export the track with times." });
  }
  throw new UserError(
    "log-no-rows",
    reader.rows === 1 ? "The only track point was rejected." : `All ${reader.rows} track points were rejected.`,
    { where },
  );
}

function reportBreak({ line, column, message, isCut }: XmlBreak, problems: ProblemList): void {
  if (isCut) {
    problems.add("warning", "truncated", "The file breaks off here: the track points before it were read.", line);
  } else {
    problems.add(
      "warning",
      "gpx-broken",
      `The XML breaks at column ${column} (${message}): only the track points before it were read.`,
      line,
    );
  }
}

function noteLeftOut({ waypoints, routes }: PointReader, problems: ProblemList): void {
  const parts = [
    ...(waypoints === 0 ? [] : [`${waypoints} ${waypoints === 1 ? "waypoint" : "waypoints"}`]),
    ...(routes === 0 ? [] : [`${routes} ${routes === 1 ? "route" : "routes"}`]),
  ];
  if (parts.length > 0)
    problems.add(
      "note",
      "gpx-other-points",
      `The file also has ${parts.join(" and ")}: ignored, only tracks are read.`,
    );
}

function readRows(reader: PointReader): ReadRows {
  const position = (
    source: string,
    values: GrowingColumn,
  ): { values: GrowingColumn; origin: { source: string; unit: string } } => ({
    values,
    origin: { source, unit: "deg" },
  });
  return {
    time_us: reader.time_us,
    timeOrigin: { source: "time", unit: "ISO 8601" },
    utcOffset_us: 0,
    columns: new Map<Channel, { values: GrowingColumn; origin: { source: string; unit: string } }>([
      ["latitude_deg", position("lat", reader.latitudes)],
      ["longitude_deg", position("lon", reader.longitudes)],
      ...reader.columns.slots,
    ]),
    mode: reader.columns.mode,
    segmentStarts: reader.segmentStarts,
  };
}
