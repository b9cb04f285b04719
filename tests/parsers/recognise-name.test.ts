import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { CHANNELS, CHANNEL_KEYS } from "../../src/track/channels.js";
import { CHANNEL_WORDS } from "../../src/parsers/channel-words.js";
import { recogniseName } from "../../src/parsers/recognise-name.js";
import { dimensionOf } from "../../src/parsers/units.js";

function reading(name: string, unit?: string): string | undefined {
  const found = recogniseName(name, unit);
  if (found === undefined) return undefined;
  if (found.kind === "unclear") return "unclear";
  const channel = found.kind === "time" ? "time" : found.words.channel;
  return found.unit === undefined ? channel : `${channel} in ${found.unit.name}`;
}

describe("names", () => {
  test.each(["", "47.1", "-3", "2026-05-01 10:00:00", "1,5"])(
    "%j is a number and no name, whatever its unit",
    (cell) => {
      expect(recogniseName(cell)).toBeUndefined();
      expect(recogniseName(cell, "m")).toBeUndefined();
    },
  );

  test.each([
    ["Latitude", "latitude_deg"],
    ["LAT_DEG", "latitude_deg in deg"],
    ["lat [1e-7 deg]", "latitude_deg in 1e-7 deg"],
    ["Longitude(°)", "longitude_deg in deg"],
    ["GPS Lon", "longitude_deg"],
    ["height_above_takeoff_m", "height_m in m"],
    ["Height above take-off (ft)", "height_m in ft"],
    ["relativeAltitudeM", "height_m in m"],
    ["height AGL [m]", "heightAboveGround_m in m"],
    ["Altitude (AMSL) (ft)", "altitude_m in ft"],
    ["altitude, AMSL, m", "altitude_m in m"],
    ["alt msl", "altitude_m"],
    ["HAE m", "altitudeEllipsoidal_m in m"],
    ["ground_speed_kmh", "groundSpeed_ms in km/h"],
    ["groundSpeed_ms", "groundSpeed_ms in m/s"],
    ["Ground Speed (m/s)", "groundSpeed_ms in m/s"],
    ["airspeed kt", "airSpeed_ms in kt"],
    ["TAS [km/h]", "airSpeed_ms in km/h"],
    ["Climb rate / m/s", "climbRate_ms in m/s"],
    ["vertical speed (ft/min)", "climbRate_ms in ft/min"],
    ["battery", "battery_pct"],
    ["battery (%)", "battery_pct in %"],
    ["Battery %", "battery_pct in %"],
    ["battery (V)", "voltage_V in V"],
    ["battery_mV", "voltage_V in mV"],
    ["battery (A)", "current_A in A"],
    ["charge used mAh", "chargeUsed_mAh in mAh"],
    ["used (mAh)", "chargeUsed_mAh in mAh"],
    ["used (Wh)", "energyUsed_Wh in Wh"],
    ["Cell1_V", "cellVoltage1_V in V"],
    ["cell 12 voltage (mV)", "cellVoltage12_V in mV"],
    ["wind (kt)", "windSpeed_ms in kt"],
    ["wind (deg)", "windFrom_deg in deg"],
    ["flightMode", "mode"],
    ["satellite count", "satellites"],
    ["recovery point lat", "recoveryLatitude_deg"],
    ["temperature c", "temperature_C in °C"],
    ["time_us", "time in µs"],
    ["time(ms)", "time in ms"],
    ["Date Time (UTC)", "time"],
    ["milliseconds", "time in ms"],
    ["altitude", "unclear"],
    ["alt (ft)", "unclear"],
    ["Speed [m/s]", "unclear"],
  ])("%s", (name, expected) => {
    expect(reading(name)).toBe(expected);
  });

  test.each([
    "",
    "x",
    "battery temperature",
    "altitude (V)",
    "battery (warp)x",
    "cell 13 voltage",
    "m",
    "(m)",
    "speed x",
    "wind to",
    "a".repeat(300),
  ])("%s means nothing", (name) => {
    expect(reading(name)).toBeUndefined();
  });

  test("a row of units states the unit", () => {
    expect(reading("Height above take-off", "[ft]")).toBe("height_m in ft");
    expect(reading("Height above take-off", "-")).toBe("height_m");
    expect(recogniseName("Height above take-off", "ells")).toMatchObject({ strangeUnit: "ells", unit: undefined });
  });

  test("every channel's own id with its unit means the channel, but for the three that the trade leaves open", () => {
    const open = new Set(["height", "altitude"]);
    for (const key of CHANNEL_KEYS.filter((key) => key !== "time_s" && !open.has(CHANNELS[key].id))) {
      const found = recogniseName(CHANNELS[key].id);
      expect(found?.kind === "channel" && found.words.channel, CHANNELS[key].id).toBe(key);
    }
  });

  test("every channel but time has words, and no phrase means two channels without a unit", () => {
    const worded = new Set(CHANNEL_WORDS.map(({ channel }) => channel));
    expect(CHANNEL_KEYS.filter((key) => !worded.has(key))).toEqual(["time_s"]);
    const seen = new Map<string, string>();
    for (const { channel, names, short = [] } of CHANNEL_WORDS) {
      for (const phrase of [...names, ...short]) {
        const key = phrase.replaceAll(" ", "");
        expect(seen.get(key) ?? channel, phrase).toBe(channel);
        seen.set(key, channel);
      }
    }
  });

  test("case, spacing and underscores make no difference", () => {
    const phrases = CHANNEL_WORDS.flatMap(({ channel, names }) => names.map((name) => [channel, name] as const));
    fc.assert(
      fc.property(
        fc.constantFrom(...phrases),
        fc.constantFrom(" ", "_", "", "  ", "-", "."),
        fc.boolean(),
        ([channel, name], gap, isUpper) => {
          const written = name.replaceAll(" ", gap);
          const found = recogniseName(isUpper ? written.toUpperCase() : written);
          return found?.kind === "channel" && found.words.channel === channel;
        },
      ),
    );
  });

  test("a stated unit never changes the dimension", () => {
    for (const { channel } of CHANNEL_WORDS) {
      if (channel === "mode") continue;
      const found = recogniseName(`${channel.replace(/_.*/, "")} (kt)`);
      if (found?.kind === "channel" && found.unit !== undefined) expect(dimensionOf(channel)).toBe("speed");
    }
  });
});
