import type { LogInspection } from "../inspect/inspection.js";
import { columnLines } from "./column-lines.js";
import { printable, wrap } from "./text-style.js";
import { wantsByRule } from "./wants-by-rule.js";

const WIDTH = 80;

/** What a log may say so that no setting need: all of the channels, or any one of them. */
const HELD: readonly { readonly label: string; readonly all?: readonly string[]; readonly any?: readonly string[] }[] =
  [
    { label: "battery percent", all: ["battery"] },
    { label: "height above take-off", all: ["height"] },
    { label: "altitude", any: ["altitude", "altitude_ellipsoidal"] },
    { label: "quality of the position fix", any: ["satellites", "hdop", "fix_type"] },
    { label: "recovery point", all: ["recovery_latitude", "recovery_longitude"] },
    { label: "recovery height", all: ["recovery_height"] },
    { label: "operator's position", all: ["operator_latitude", "operator_longitude"] },
    { label: "wind", all: ["wind_speed", "wind_from"] },
  ];

/**
 * @param inspection of the log that the settings are for, made without any settings
 * @returns a homeleg.yaml in which every setting is still a comment: with `# ` taken from its lines it is filled in, with
 *   values that are examples
 */
export function starterConfig(inspection: LogInspection): string {
  const held = heldIn(inspection);
  const sections = [
    head(inspection),
    inspection.parser === null ? unread(inspection) : contents(inspection, held),
    aircraft(),
    settings(held),
    recoveryPoint(inspection, held),
    operator(held),
    wind(held),
    site(),
    columns(inspection),
    explain("policy: and rules: set limits and switch rules off; docs/settings.md has every key."),
  ];
  const texts = sections.filter((lines) => lines.length > 0).map((lines) => lines.join("\n"));
  return `${texts.join("\n\n")}\n`;
}

/** @returns lines of comment; what a log says is made harmless, so that no line of it becomes a setting */
function explain(text: string, first = "## ", rest = "## "): string[] {
  return wrap(printable(text, false), WIDTH, first, rest);
}

function head({ path }: LogInspection): string[] {
  const name = path.split(/[\\/]/).at(-1) ?? "";
  return [
    ...explain(`homeleg.yaml, begun by \`homeleg init\` for ${name}.`),
    ...explain("It counts for every log in its folder and below."),
    "##",
    ...explain(
      "Lines with two # explain. Lines with one # are settings with invented values: put in your own, and take the " +
        "# and the blank after it away. Values take a unit (60 m, 200 ft, 15 kt). What is left out is assumed by a " +
        "stated rule, and every report says what.",
    ),
  ];
}

function unread({ problems }: LogInspection): string[] {
  return explain(`The log could not be read yet: ${problems[0]?.message ?? ""}`);
}

/** The columns behind each thing that the log says, by label. */
function heldIn({ columns }: LogInspection): ReadonlyMap<string, readonly string[]> {
  const filled = new Map<string, string>();
  for (const { channel, column, filled_share } of columns) {
    if (channel !== null && (filled_share ?? 0) > 0) filled.set(channel, column);
  }
  return new Map(
    HELD.flatMap(({ label, all = [], any = [] }): [string, string[]][] => {
      const found = [...all, ...any].flatMap((channel) => filled.get(channel) ?? []);
      return found.length === 0 || found.length < all.length ? [] : [[label, found]];
    }),
  );
}

function contents({ rows, flights }: LogInspection, held: ReadonlyMap<string, readonly string[]>): string[] {
  const count = (n: number, noun: string): string => `${n} ${noun}${n === 1 ? "" : "s"}`;
  const item = (text: string): string[] => explain(text, "##   ", "##     ");
  const wants = [...wantsByRule(flights)];
  return [
    ...explain(`The log has ${count(rows, "row")} and ${count(flights.length, "flight")}.`),
    ...(held.size === 0 ? [] : explain("It says already, which goes before this file:")),
    ...[...held].flatMap(([label, names]) => item(`${label} (${names.join(", ")})`)),
    ...(wants.length === 0
      ? []
      : explain(
          "These rules lack something. What is said to be in the log only the log can give; the rest is set below:",
        )),
    ...wants.flatMap(([rule, labels]) => item(`${rule}: ${labels.join("; ")}`)),
  ];
}

function aircraft(): string[] {
  return [
    ...explain(
      "The aircraft. recovery: air speed on the way home; landing: the last metres. drain: battery use in percent of " +
        "full charge; left out, it is fitted from each flight.",
    ),
    "# aircraft:",
    "#   name: trainer",
    "#   speeds: { recovery: 10 m/s, climb: 3 m/s, descent: 3 m/s, landing: 0.8 m/s }",
    "#   drain: { hover: 4 %/min, climb: 6 %/min, cruise: 5 %/min, descent: 3.5 %/min }",
  ];
}

function settings(held: ReadonlyMap<string, readonly string[]>): string[] {
  const height = held.has("recovery height") ? [] : ["#   recovery_height: 50 m"];
  return [
    ...explain(
      "What the aircraft was set to. recovery_height_above: recovery-point or take-off; lost_link_action: return, " +
        `land or hold.${held.has("recovery height") ? " The recovery height is in the log." : ""}`,
    ),
    "# settings:",
    ...height,
    "#   recovery_height_above: recovery-point",
    "#   lost_link_action: return",
  ];
}

function recoveryPoint({ flights }: LogInspection, held: ReadonlyMap<string, readonly string[]>): string[] {
  if (held.has("recovery point")) return explain("recovery_point: is in the log, nothing to declare.");
  const [first] = flights;
  const inferred = first === undefined ? "" : ` In the first flight: ${first.recovery_point.from}.`;
  return [
    ...explain(`The recovery point. Declare it only where what is inferred is wrong.${inferred}`),
    "# recovery_point: { latitude: 47.1, longitude: 8.2 }",
  ];
}

function operator(held: ReadonlyMap<string, readonly string[]>): string[] {
  if (held.has("operator's position")) return explain("operator: is in the log, nothing to declare.");
  return [
    ...explain(
      "Where the operator stood: at-takeoff, { latitude: 47.1, longitude: 8.2 }, or a recorded track with UTC times, " +
        "{ track: phone.gpx }.",
    ),
    "# operator: at-takeoff",
  ];
}

function wind(held: ReadonlyMap<string, readonly string[]>): string[] {
  if (held.has("wind")) return explain("wind: is in the log, nothing to declare.");
  return [
    ...explain("The wind of that day. from: where it blew from, true; height: above the ground."),
    "# wind: { speed: 4 m/s, from: 270 deg, gust: 7 m/s, height: 10 m }",
  ];
}

function site(): string[] {
  return [
    ...explain(
      "The ground. terrain: flat, or a grid such as { file: hill.tif, surface: false, error: 0 m }; obstacles: [] says " +
        "that nothing stands there, else name files, such as [masts.geojson]; zones the same, for what is overhead, water, " +
        "keep-outs and where not to land.",
    ),
    "# site:",
    "#   terrain: flat",
    "#   obstacles: []",
    "#   zones: []",
  ];
}

function columns({ parser, columns }: LogInspection): string[] {
  const isRead = parser !== null;
  const entry = (channel: string, unit: string): string => `${channel}: { column: "NAME", unit: "${unit}" }`;
  const lines = isRead
    ? columnLines(columns)
    : [entry("time", "s"), entry("latitude", "deg"), entry("longitude", "deg")];
  if (lines.length === 0) return [];
  return [
    ...explain(
      isRead
        ? "Columns that are not used: only you can say what they are. Check each line first."
        : "Which column is what, by the names in the log. Without these three no log can be read.",
    ),
    "# columns:",
    ...lines.map((line) => `#   ${line}`),
  ];
}
