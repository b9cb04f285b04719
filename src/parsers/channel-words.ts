import type { Channel } from "../track/channels.js";

/**
 * What a column is taken for when nothing states its unit:
 * `own`: only one unit makes sense (`satellites`, `latitude`), the channel's own;
 * `volts`: V when the values look like volts; `cell`: V when they look like those of one cell;
 * `degrees`: degrees when some value is too large for radians;
 * `percent`: % when the values go over 1 and not over 100;
 * `over-60`: the same, but they must pass 60 as well, since "battery" may be volts and "signal" may be bars;
 * `ask`: never guessed.
 */
export type UnitlessRule = "own" | "volts" | "cell" | "degrees" | "percent" | "over-60" | "ask";

/** Trade words for one channel. A phrase matches in any case and spacing; see `recognise-name.ts` for the score. */
export interface ChannelWords {
  readonly channel: Channel | "mode";
  /** Full names. */
  readonly names: readonly string[];
  /** Abbreviations and looser words: a full name wins over them. */
  readonly short?: readonly string[];
  /** Words that mean this channel only next to a unit that fits it (`battery (V)`). */
  readonly withUnit?: readonly string[];
  readonly unitless: UnitlessRule;
  /** Least and greatest value that can be one, in the channel's own unit: others are sentinels for "not known". */
  readonly range?: readonly [number, number];
}

const CELLS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12] as const;
const LATITUDE: readonly [number, number] = [-90, 90];
const LONGITUDE: readonly [number, number] = [-180, 180];

/** Every combination, in order: `each(["operator", "pilot"], ["latitude", "lat"])`. */
function each(subjects: readonly string[], words: readonly string[]): string[] {
  return subjects.flatMap((subject) => words.map((word) => `${subject} ${word}`));
}

/** Plain words of the trade for every channel but time. No maker's, app's or product's own column names. */
export const CHANNEL_WORDS: readonly ChannelWords[] = [
  { channel: "latitude_deg", names: ["latitude"], short: ["lat"], unitless: "own", range: LATITUDE },
  { channel: "longitude_deg", names: ["longitude"], short: ["lon", "lng", "long"], unitless: "own", range: LONGITUDE },
  {
    channel: "height_m",
    names: [
      ...each(["height", "altitude"], ["above takeoff", "above take off point", "above takeoff point"]),
      ...each(["relative"], ["height", "altitude"]),
    ],
    short: ["rel height", "rel altitude", "rel alt", "relative alt", "height rel", "alt rel", "alt above takeoff"],
    unitless: "ask",
  },
  {
    channel: "heightAboveGround_m",
    names: ["height above ground", "height agl", "altitude above ground", "altitude agl", "height above ground level"],
    short: ["agl", "alt agl", "agl height", "agl altitude", "agl alt", "height above terrain", "terrain clearance"],
    unitless: "ask",
  },
  {
    channel: "altitude_m",
    names: [
      ...each(["altitude", "elevation", "height"], ["amsl", "msl", "above sea level", "above mean sea level"]),
      ...each(["amsl", "msl"], ["altitude", "height"]),
    ],
    short: ["amsl", "msl", "alt amsl", "alt msl", "amsl alt", "msl alt", "alt above sea level", "asl", "altitude asl"],
    unitless: "ask",
  },
  {
    channel: "altitudeEllipsoidal_m",
    names: ["altitude ellipsoidal", "ellipsoidal altitude", "ellipsoidal height", "height above ellipsoid"],
    short: ["hae", "altitude hae", "alt hae", "altitude above ellipsoid", "altitude ellipsoid", "height ellipsoid"],
    unitless: "ask",
  },
  {
    channel: "groundSpeed_ms",
    names: ["ground speed", "speed over ground"],
    short: ["sog", "horizontal speed", "gs"],
    unitless: "ask",
  },
  { channel: "airSpeed_ms", names: ["air speed", "true air speed"], short: ["tas"], unitless: "ask" },
  {
    channel: "climbRate_ms",
    names: ["climb rate", "rate of climb", "vertical speed"],
    short: ["climb", "vario", "variometer", "vertical rate"],
    unitless: "ask",
  },
  {
    channel: "course_deg",
    names: ["course", "course over ground", "track over ground"],
    short: ["cog", "track", "track angle", "true course", "ground course", "ground track"],
    unitless: "degrees",
  },
  {
    channel: "heading_deg",
    names: ["heading", "true heading"],
    short: ["yaw", "hdg", "yaw angle"],
    unitless: "degrees",
  },
  { channel: "pitch_deg", names: ["pitch", "pitch angle"], unitless: "degrees" },
  { channel: "roll_deg", names: ["roll", "roll angle"], unitless: "degrees" },
  {
    channel: "battery_pct",
    names: ["battery level", "battery charge", "state of charge", "battery remaining", "battery state of charge"],
    short: ["soc", "battery capacity remaining", "remaining battery", "charge remaining", "charge level"],
    withUnit: ["charge", "pack"],
    unitless: "percent",
    range: [0, 100],
  },
  { channel: "battery_pct", names: ["battery"], short: ["batt", "bat"], unitless: "over-60", range: [0, 100] },
  {
    channel: "voltage_V",
    names: ["voltage", "battery voltage", "pack voltage"],
    short: ["volts", "volt", "total voltage", "batt voltage", "bat voltage", "main voltage"],
    withUnit: ["battery", "batt", "bat", "pack"],
    unitless: "volts",
    range: [0, 1000],
  },
  {
    channel: "current_A",
    names: ["current", "battery current", "pack current"],
    short: ["amps", "batt current", "bat current", "current draw", "total current"],
    withUnit: ["battery", "batt", "pack"],
    unitless: "ask",
  },
  {
    channel: "chargeUsed_mAh",
    names: ["charge used", "charge consumed", "capacity used", "capacity consumed"],
    short: ["used charge", "consumed charge", "used capacity", "consumed", "battery used", "battery consumed"],
    withUnit: ["used", "drawn", "consumption"],
    unitless: "ask",
  },
  {
    channel: "energyUsed_Wh",
    names: ["energy used", "energy consumed"],
    short: ["used energy", "consumed energy", "energy"],
    withUnit: ["used", "consumed", "consumption", "battery used", "battery consumed"],
    unitless: "ask",
  },
  ...CELLS.map((cell): ChannelWords => ({
    channel: `cellVoltage${cell}_V`,
    names: [`cell ${cell} voltage`, `cell voltage ${cell}`, `voltage cell ${cell}`],
    short: [`cell ${cell}`, `cell ${cell} volts`, `battery cell ${cell} voltage`, `battery cell ${cell}`],
    unitless: "cell",
    range: [0, 10],
  })),
  {
    channel: "cellVoltageLowest_V",
    names: ["lowest cell voltage", "cell voltage lowest", "minimum cell voltage"],
    short: ["lowest cell", "min cell voltage", "cell voltage min", "cell voltage minimum", "min cell"],
    unitless: "cell",
    range: [0, 10],
  },
  {
    channel: "satellites",
    names: ["satellites", "number of satellites", "satellite count"],
    short: ["sats", "sat", "num satellites", "num sats", "satellites used", "sat count", "sats used"],
    unitless: "own",
    range: [0, 200],
  },
  {
    channel: "hdop",
    names: ["hdop", "horizontal dilution of precision"],
    short: ["horizontal dop"],
    unitless: "own",
    range: [0, 1000],
  },
  {
    channel: "fixType",
    names: ["fix type", "fix"],
    short: ["fix mode", "fix quality", "position fix"],
    unitless: "own",
  },
  {
    channel: "link_pct",
    names: ["link quality", "control link quality"],
    short: ["link", "signal", "signal strength", "signal quality", "control link", "link strength", "control signal"],
    unitless: "over-60",
    range: [0, 100],
  },
  {
    channel: "operatorLatitude_deg",
    names: each(["operator", "pilot"], ["latitude"]),
    short: ["operator lat", "pilot lat", "controller latitude", "controller lat"],
    unitless: "own",
    range: LATITUDE,
  },
  {
    channel: "operatorLongitude_deg",
    names: each(["operator", "pilot"], ["longitude"]),
    short: [...each(["operator", "pilot", "controller"], ["lon", "lng", "long"]), "controller longitude"],
    unitless: "own",
    range: LONGITUDE,
  },
  {
    channel: "recoveryLatitude_deg",
    names: each(["recovery", "recovery point"], ["latitude"]),
    short: each(["recovery", "recovery point"], ["lat"]),
    unitless: "own",
    range: LATITUDE,
  },
  {
    channel: "recoveryLongitude_deg",
    names: each(["recovery", "recovery point"], ["longitude"]),
    short: each(["recovery", "recovery point"], ["lon", "lng", "long"]),
    unitless: "own",
    range: LONGITUDE,
  },
  { channel: "recoveryHeight_m", names: ["recovery height"], short: ["recovery altitude"], unitless: "ask" },
  { channel: "windSpeed_ms", names: ["wind speed"], short: ["wind"], unitless: "ask" },
  {
    channel: "windFrom_deg",
    names: ["wind from", "wind direction"],
    short: ["wind dir"],
    withUnit: ["wind"],
    unitless: "degrees",
  },
  { channel: "mode", names: ["mode", "flight mode"], unitless: "own" },
  { channel: "armed", names: ["armed"], short: ["motors armed", "is armed", "motors on"], unitless: "own" },
  {
    channel: "airborne",
    names: ["airborne", "in flight"],
    short: ["is airborne", "in air", "in the air", "flying", "is flying"],
    unitless: "own",
  },
  { channel: "recoveryActive", names: ["recovery active"], short: ["recovery", "in recovery"], unitless: "own" },
  {
    channel: "temperature_C",
    names: ["temperature", "air temperature", "outside air temperature", "ambient temperature"],
    short: ["temp", "air temp", "oat", "ambient temp", "outside temperature", "outside temp"],
    unitless: "ask",
  },
];
