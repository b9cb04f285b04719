// A season of an invented club, to be audited in parts: out and back, each flight a little farther and on a little less
// battery than the one before, so that its logs pass, are thin, and fail; and one file that is no log.
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";

const LOGS = 60;
/** Ten minutes, ten rows a second: long enough that a part of them is still being audited when its node is lost. */
const FLIGHT_S = 600;
const RATE_HZ = 10;
const METRES_A_DEGREE = 111_200;
const TAKEOFF = { latitude: 47.13, longitude: 8.24 };
const HEAD = "time_utc,latitude_deg,longitude_deg,height_above_takeoff_m,ground_speed_ms,battery_pct,satellites,hdop";

const SETTINGS = (speed) => `# Invented.
aircraft:
  speeds: { recovery: ${speed} m/s, climb: 3 m/s, descent: 3 m/s, landing: 0.8 m/s }
settings: { recovery_height: 50 m, recovery_height_above: recovery-point, lost_link_action: return }
operator: at-takeoff
wind: { speed: 3 m/s, from: 250 deg, gust: 5 m/s, height: 10 m }
site: { terrain: flat, obstacles: [], zones: [] }
`;

/**
 * Writes `logs/` into a folder: two half seasons, each with its own settings.
 * @returns how many logs there are
 */
export function writeSeason(folder) {
  for (const [half, speed] of [
    ["spring", 10],
    ["autumn", 12],
  ]) {
    mkdirSync(join(folder, "logs", half), { recursive: true });
    writeFileSync(join(folder, "logs", half, "homeleg.yaml"), SETTINGS(speed));
  }
  for (let i = 0; i < LOGS; i += 1) {
    const name = `${i % 2 === 0 ? "spring" : "autumn"}/flight-${String(i).padStart(2, "0")}.csv`;
    writeFileSync(join(folder, "logs", name), flight(i));
  }
  writeFileSync(join(folder, "logs", "autumn", "broken.csv"), "an invented file, and no log\n");
  return LOGS + 1;
}

function flight(number) {
  const start_ms = Date.UTC(2025, 3, 1, 9) + number * 86_400_000;
  const reach_m = 150 + 20 * number;
  const bearing = number * 0.7;
  const lines = [HEAD];
  for (let i = 0; i <= FLIGHT_S * RATE_HZ; i += 1) {
    const time_s = i / RATE_HZ;
    const out = Math.sin((Math.PI * time_s) / FLIGHT_S);
    const climbed = Math.min(1, time_s / 15, (FLIGHT_S - time_s) / 15);
    const north_m = reach_m * out * Math.cos(bearing);
    const east_m = reach_m * out * Math.sin(bearing);
    const speed_ms = (Math.PI / FLIGHT_S) * reach_m * Math.abs(Math.cos((Math.PI * time_s) / FLIGHT_S));
    const longitude_m = METRES_A_DEGREE * Math.cos((TAKEOFF.latitude * Math.PI) / 180);
    lines.push(
      [
        new Date(start_ms + time_s * 1000).toISOString(),
        (TAKEOFF.latitude + north_m / METRES_A_DEGREE).toFixed(7),
        (TAKEOFF.longitude + east_m / longitude_m).toFixed(7),
        (45 * climbed).toFixed(2),
        speed_ms.toFixed(2),
        String(Math.round(98 - 0.7 * number - (45 * time_s) / FLIGHT_S)),
        "14",
        "0.8",
      ].join(","),
    );
  }
  return `${lines.join("\n")}\n`;
}
