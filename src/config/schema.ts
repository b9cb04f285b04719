import * as z from "zod";
import { CHANNEL_IDS } from "../track/channels.js";
import type { ReadingKey } from "./reading.js";
import { RULE_IDS } from "./rule-ids.js";
import { policy } from "./schema-policy.js";
import { always, choice, flag, group, numberOf, quantity, text } from "./schema-fields.js";
import type { Section } from "./sections.js";
import { withUnit } from "./units.js";

const notNegative = { atLeast: 0 };
const positive = { moreThan: 0 };
const percent = () => quantity("percent", { atLeast: 0, atMost: 100 });
const rate = () => quantity("rate", positive);
const power = () => quantity("power", positive);
const latitude = () => quantity("coordinate", { atLeast: -90, atMost: 90 });
const longitude = () => quantity("coordinate", { atLeast: -180, atMost: 180 });
const path = () => text("the path of a file, relative to the file that names it");

const ENERGY_KEYS = ["drain", "power", "endurance", "body"] as const;

const aircraft = group({
  name: text("a name").optional(),
  battery: group({
    capacity: quantity("charge", positive).optional(),
    nominal_voltage: quantity("voltage", positive).optional(),
    cells: quantity("count", { atLeast: 1, isWhole: true }).optional(),
    cell_floor: quantity("voltage", positive).optional(),
  }).optional(),
  speeds: group({
    recovery: quantity("speed", positive).optional(),
    climb: quantity("speed", positive).optional(),
    descent: quantity("speed", positive).optional(),
    landing: quantity("speed", positive).optional(),
  }).optional(),
  drain: group({
    hover: rate(),
    climb: rate(),
    cruise: rate(),
    descent: rate(),
    spread: percent().optional(),
    tied: z.array(choice(["hover", "climb", "cruise", "descent"])).optional(),
  }).optional(),
  power: group({ hover: power(), climb: power(), cruise: power(), descent: power() }).optional(),
  endurance: group({ hover: quantity("time", positive), cruise: quantity("time", positive).optional() }).optional(),
  body: group({
    mass: quantity("mass", positive),
    rotors: quantity("count", { atLeast: 1, isWhole: true }),
    rotor_diameter: quantity("length", positive),
    efficiency: quantity("share", { moreThan: 0, atMost: 1 }).optional(),
  }).optional(),
}).check(
  always((value, complain) => {
    const [first, ...others] = ENERGY_KEYS.filter((key) => value[key] !== undefined);
    for (const key of others) {
      complain({
        path: [key],
        said: `\`aircraft.${key}\` stands beside \`aircraft.${first}\`.`,
        message: "Declare only one of `drain`, `power`, `endurance` and `body`.",
      });
    }
  }),
);

const settings = group({
  recovery_height: quantity("length", notNegative).optional(),
  recovery_height_above: choice(["recovery-point", "take-off"]).optional(),
  lost_link_action: choice(["return", "land", "hold"]).optional(),
  trigger_delay: quantity("time", notNegative).optional(),
  turn_time: quantity("time", notNegative).optional(),
  slow_height: quantity("length", notNegative).optional(),
  recovery_modes: z
    .array(text("a word of the log's mode column"), {
      error: "Write a list of mode words, such as `[ homing ]`.",
    })
    .optional(),
  near: group({ radius: quantity("length", notNegative), action: choice(["land", "level", "climb"]) }).optional(),
});

const timedPoints = z
  .array(group({ at: quantity("time", notNegative), latitude: latitude(), longitude: longitude() }))
  .check(
    always((points, complain) => {
      if (points.length === 0) complain({ path: [], message: "Write a point, or a list of points with their times." });
      for (let index = 1; index < points.length; index += 1) {
        const before = numberOf(points[index - 1]?.at);
        const at = numberOf(points[index]?.at);
        if (before === undefined || at === undefined || at > before) continue;
        complain({
          path: [index, "at"],
          message: `It must be later than the point before, ${withUnit(before, "time")}.`,
        });
      }
    }),
  );

const recoveryPoint = z.union([group({ latitude: latitude(), longitude: longitude() }), timedPoints], {
  error: "Write `{ latitude, longitude }`, or a list of `{ at, latitude, longitude }`.",
});

const OPERATOR_FORMS = "`at-takeoff`, `{ latitude, longitude }` or `{ track: file }`";
const operator = z.union(
  [
    z.literal("at-takeoff"),
    group({
      latitude: latitude().optional(),
      longitude: longitude().optional(),
      track: path().optional(),
    }).superRefine(({ latitude, longitude, track }, context) => {
      const isPosition = latitude !== undefined && longitude !== undefined && track === undefined;
      const isTrack = latitude === undefined && longitude === undefined && track !== undefined;
      if (isPosition || isTrack) return;
      const params = { said: "`operator` is neither a position nor a track." };
      context.addIssue({ code: "custom", message: `Write ${OPERATOR_FORMS}.`, params });
    }),
  ],
  { error: `Write ${OPERATOR_FORMS}.` },
);

const wind = group({
  speed: quantity("speed", notNegative),
  from: quantity("angle", { atLeast: 0, atMost: 360 }),
  gust: quantity("speed", notNegative).optional(),
  height: quantity("length", positive).optional(),
  shear: quantity("count", { atLeast: -0.2, atMost: 1 }).optional(),
  // The roughest class of the published tables; at 2 m, the lowest height of the profile, the log law has no answer.
  roughness: quantity("length", { moreThan: 0, atMost: 1.6 }).optional(),
}).check(
  always((value, complain) => {
    if (value.shear !== undefined && value.roughness !== undefined) {
      complain({
        path: ["roughness"],
        said: "`wind.roughness` stands beside `wind.shear`.",
        message: "Declare one of them: `shear` is the power law, `roughness` the log law.",
      });
    }
    const gust = numberOf(value.gust);
    const speed = numberOf(value.speed);
    if (gust === undefined || speed === undefined || gust >= speed) return;
    // Rounded up, so that the number said would pass.
    const least = withUnit(Math.ceil(speed * 100 - 1e-9) / 100, "speed");
    complain({ path: ["gust"], message: `It must be at least the wind's speed, ${least}.` });
  }),
);

const terrainFile = group({
  file: path(),
  surface: flag().optional(),
  error: quantity("length", notNegative).optional(),
  projection: text("the file's coordinate system: `EPSG:32632`, or a definition that begins with +proj=").optional(),
});
const terrainFiles = z.array(
  z.union([path().refine((file) => file !== "flat", { error: "`flat` stands alone, outside a list." }), terrainFile], {
    error: "Write a path, or `{ file, surface, error, projection }`.",
  }),
);
const site = group({
  terrain: z
    .union([z.literal("flat"), path(), terrainFile, terrainFiles.min(1, { error: "Name at least one file." })], {
      error: "Write `flat`, a path, `{ file, surface, error, projection }`, or a list of those, finest first.",
    })
    .optional(),
  obstacles: paths("masts.geojson").optional(),
  zones: paths("zones.geojson").optional(),
  default_heights: group({
    trees: quantity("length", notNegative).optional(),
    woods: quantity("length", notNegative).optional(),
    power_line: quantity("length", notNegative).optional(),
    level: quantity("length", positive).optional(),
  }).optional(),
});

const off = group(
  { off: text("the reason why it is off: it is repeated in every report") },
  'Write `{ off: "the reason" }`.',
);
const column = z.union(
  [
    text("the name of a column, in quotes where it is a number"),
    group({ column: text("the name of a column, in quotes where it is a number"), unit: text("a unit").optional() }),
  ],
  {
    error: "Write the name of a column, or `{ column, unit }`.",
  },
);

const reading = group({
  rows: quantity("count", { atLeast: 1, isWhole: true }).optional(),
  log: quantity("size", positive).optional(),
  // The text of a map is one string, which cannot be longer.
  map: quantity("size", { moreThan: 0, atMost: 500_000_000 }).optional(),
  terrain: quantity("size", positive).optional(),
  heights: quantity("count", { atLeast: 4, isWhole: true }).optional(),
} satisfies Record<ReadingKey, unknown>);

/** What a homeleg.yaml may hold, after the files that sections name were read in. Gives SI units. */
export const homelegSchema = group({
  aircraft: aircraft.optional(),
  settings: settings.optional(),
  recovery_point: recoveryPoint.optional(),
  operator: operator.optional(),
  wind: wind.optional(),
  site: site.optional(),
  policy: policy.optional(),
  rules: group(fieldForEach(RULE_IDS, off.optional())).optional(),
  columns: group(fieldForEach(CHANNEL_IDS, column.optional())).optional(),
  reading: reading.optional(),
} satisfies Record<Section, unknown>);

/** What the schema gives: SI units, keys as in homeleg.yaml. */
export type HomelegYaml = z.output<typeof homelegSchema>;

/** A JSON Schema as an object. */
export type JsonSchema = z.core.JSONSchema.BaseSchema;

/** @returns the JSON Schema (2020-12) of homeleg.yaml, for editors; any section may also be the path of a file */
export function homelegJsonSchema(): JsonSchema {
  const { properties, ...schema } = z.toJSONSchema(homelegSchema, { io: "input" });
  const file: JsonSchema = { type: "string", description: "The path of a file that holds these keys." };
  const withFile: Record<string, JsonSchema> = {};
  for (const [name, section] of Object.entries(properties ?? {})) {
    if (typeof section === "object") withFile[name] = { anyOf: [section, file] };
  }
  return { ...schema, title: "homeleg.yaml", properties: withFile };
}

function paths(example: string) {
  const error = `Write a list of paths, such as \`[ ${example} ]\`; \`[]\` declares that there are none.`;
  return z.array(path(), { error });
}

function fieldForEach<Field>(names: readonly string[], field: Field): Record<string, Field> {
  return Object.fromEntries(names.map((name) => [name, field]));
}
