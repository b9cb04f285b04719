import type { CoveredFlight, InspectedTerrain, SiteInspection } from "../inspect/site-inspection.js";
import { printable, styleFor, type TextOptions, wrap } from "./text-style.js";

/** @returns for people: how a site was understood, and how much of each flight it knows the ground for */
export function siteReport(site: SiteInspection, options: TextOptions): string {
  const style = styleFor(options);
  const { ascii, width } = options;
  const lines = (texts: readonly string[]): string[] =>
    texts.flatMap((text) => wrap(printable(text, ascii), width, "  ", "    "));
  return `${[
    style.strong("Terrain"),
    ...lines(terrainTexts(site)),
    "",
    style.strong("Obstacles"),
    ...lines(obstacleTexts(site)),
    "",
    style.strong("Zones"),
    ...lines(zoneTexts(site)),
    ...(site.flights.length === 0 ? [] : ["", style.strong("Covered"), ...lines(site.flights.map(coveredText))]),
    ...(site.problems.length === 0
      ? []
      : [
          "",
          style.strong("About the files"),
          ...lines(site.problems.map(({ severity, message }) => `${severity}: ${message}`)),
        ]),
  ].join("\n")}\n`;
}

function terrainTexts({ terrain, terrain_files }: SiteInspection): string[] {
  if (terrain === null) return ["not declared: what stands on the ground cannot be told from what is clear"];
  if (terrain === "flat") return ["flat, as declared: 0 m everywhere"];
  return terrain_files.flatMap(terrainText);
}

function terrainText(file: InspectedTerrain): string[] {
  const { path, format, projection, columns, rows, resolution_m, void_share } = file;
  const voids = void_share === 0 ? "no voids" : `${percentUp(void_share)} % void`;
  return [
    `${path}: ${format}, ${projection}, ${columns} × ${rows} nodes, ${Number(resolution_m.toPrecision(2))} m apart, ${voids}`,
    `${degrees(file.south_deg, "N", "S")} to ${degrees(file.north_deg, "N", "S")}, ${degrees(file.west_deg, "E", "W")} to ${degrees(file.east_deg, "E", "W")}`,
  ];
}

function obstacleTexts({ obstacles }: SiteInspection): string[] {
  if (obstacles === null) return ["not declared, not even that there are none (`obstacles: []`)"];
  const { files, count, by_default, of_unknown_height } = obstacles;
  if (files.length === 0) return ["none, as declared"];
  return [
    `${count} in ${files.join(", ")}`,
    ...(of_unknown_height === 0
      ? []
      : [
          `${of_unknown_height} of unknown height: no way home over ${of_unknown_height === 1 ? "it" : "them"} is clear`,
        ]),
    ...(by_default.length > 0
      ? ["without a height of their own:"]
      : of_unknown_height === 0
        ? ["all with heights of their own"]
        : []),
    ...by_default.map(
      (one) =>
        `${one.count} × ${one.kind} taken as ${one.height_m} m${one.kind === "level" ? " a level" : ""} (${one.basis})`,
    ),
  ];
}

function zoneTexts({ zones }: SiteInspection): string[] {
  if (zones === null) return ["not declared, not even that there are none (`zones: []`)"];
  if (zones.files.length === 0) return ["none, as declared"];
  const kinds = Object.entries(zones.kinds).map(([kind, count]) => `${count} ${kind}`);
  return [`${zones.count} in ${zones.files.join(", ")}: ${kinds.join(", ")}`];
}

function coveredText({ path, index, under_share, way_home_share, is_tied }: CoveredFlight): string {
  const ways =
    way_home_share === null
      ? "no recovery point, and so no way home"
      : `under the whole way home for ${percent(way_home_share)} % of it`;
  const tied = is_tied ? "" : "; not known at take-off, so that heights do not meet the terrain";
  return `${path}, flight ${index}: ground known under ${percent(under_share)} % of the flight, ${ways}${tied}`;
}

/** What is not all of it must not read as 100. */
function percent(share: number): number {
  return Math.floor(share * 100 + 1e-6);
}

/** What is not none of it must not read as 0. */
function percentUp(share: number): number {
  return Math.ceil(share * 1000 - 1e-6) / 10;
}

function degrees(value_deg: number, positive: string, negative: string): string {
  const turned_deg = value_deg > 180 ? value_deg - 360 : value_deg;
  return `${Math.abs(turned_deg).toFixed(5)}° ${turned_deg < 0 ? negative : positive}`;
}
