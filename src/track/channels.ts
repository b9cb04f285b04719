/**
 * The channels a track can have. The key carries the unit that the column is kept in; `id` is the name that
 * homeleg.yaml (`columns:`) and the JSON result use.
 *
 * `height` is above the take-off spot, `height_above_ground` above the ground under the aircraft, `altitude` above mean
 * sea level, `altitude_ellipsoidal` above the WGS84 ellipsoid: they are never taken for each other.
 */
export const CHANNELS = {
  time_s: { id: "time", unit: "s" },
  latitude_deg: { id: "latitude", unit: "deg" },
  longitude_deg: { id: "longitude", unit: "deg" },
  height_m: { id: "height", unit: "m" },
  heightAboveGround_m: { id: "height_above_ground", unit: "m" },
  altitude_m: { id: "altitude", unit: "m" },
  altitudeEllipsoidal_m: { id: "altitude_ellipsoidal", unit: "m" },
  groundSpeed_ms: { id: "ground_speed", unit: "m/s" },
  airSpeed_ms: { id: "air_speed", unit: "m/s" },
  climbRate_ms: { id: "climb_rate", unit: "m/s" },
  course_deg: { id: "course", unit: "deg" },
  heading_deg: { id: "heading", unit: "deg" },
  pitch_deg: { id: "pitch", unit: "deg" },
  roll_deg: { id: "roll", unit: "deg" },
  battery_pct: { id: "battery", unit: "%" },
  voltage_V: { id: "voltage", unit: "V" },
  current_A: { id: "current", unit: "A" },
  chargeUsed_mAh: { id: "charge_used", unit: "mAh" },
  energyUsed_Wh: { id: "energy_used", unit: "Wh" },
  cellVoltage1_V: { id: "cell_voltage_1", unit: "V" },
  cellVoltage2_V: { id: "cell_voltage_2", unit: "V" },
  cellVoltage3_V: { id: "cell_voltage_3", unit: "V" },
  cellVoltage4_V: { id: "cell_voltage_4", unit: "V" },
  cellVoltage5_V: { id: "cell_voltage_5", unit: "V" },
  cellVoltage6_V: { id: "cell_voltage_6", unit: "V" },
  cellVoltage7_V: { id: "cell_voltage_7", unit: "V" },
  cellVoltage8_V: { id: "cell_voltage_8", unit: "V" },
  cellVoltage9_V: { id: "cell_voltage_9", unit: "V" },
  cellVoltage10_V: { id: "cell_voltage_10", unit: "V" },
  cellVoltage11_V: { id: "cell_voltage_11", unit: "V" },
  cellVoltage12_V: { id: "cell_voltage_12", unit: "V" },
  cellVoltageLowest_V: { id: "cell_voltage_lowest", unit: "V" },
  satellites: { id: "satellites", unit: "1" },
  hdop: { id: "hdop", unit: "1" },
  /** 0 no fix, 2 two-dimensional, 3 three-dimensional, 4 differential or better; see `FIX`. */
  fixType: { id: "fix_type", unit: "code" },
  link_pct: { id: "link", unit: "%" },
  operatorLatitude_deg: { id: "operator_latitude", unit: "deg" },
  operatorLongitude_deg: { id: "operator_longitude", unit: "deg" },
  recoveryLatitude_deg: { id: "recovery_latitude", unit: "deg" },
  recoveryLongitude_deg: { id: "recovery_longitude", unit: "deg" },
  recoveryHeight_m: { id: "recovery_height", unit: "m" },
  windSpeed_ms: { id: "wind_speed", unit: "m/s" },
  /** Where the wind blows from, true. */
  windFrom_deg: { id: "wind_from", unit: "deg" },
  /** Flags: 0 no, 1 yes. */
  armed: { id: "armed", unit: "flag" },
  airborne: { id: "airborne", unit: "flag" },
  recoveryActive: { id: "recovery_active", unit: "flag" },
  temperature_C: { id: "temperature", unit: "°C" },
} as const;

/** A numeric channel; text is kept apart (`Track.mode`). */
export type Channel = keyof typeof CHANNELS;

/** The name of a channel in homeleg.yaml and in the JSON result; `mode` is the one text channel. */
export type ChannelId = (typeof CHANNELS)[Channel]["id"] | "mode";

/** Every numeric channel, in the order of the table. */
export const CHANNEL_KEYS = Object.keys(CHANNELS) as readonly Channel[];

/** Every name that `columns:` in homeleg.yaml accepts. */
export const CHANNEL_IDS: readonly ChannelId[] = [...CHANNEL_KEYS.map((key) => CHANNELS[key].id), "mode"];

/** Codes of the `fixType` column, ordered so that a greater one is better. */
export const FIX = { none: 0, twoD: 2, threeD: 3, differential: 4 } as const;
