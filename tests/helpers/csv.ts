import type { Row } from "./flights.js";

/** How columns are called in the logs that tests write. */
const NAMES: Readonly<Record<string, string>> = {
  time_s: "time_s",
  latitude_deg: "latitude_deg",
  longitude_deg: "longitude_deg",
  height_m: "height_above_takeoff_m",
  battery_pct: "battery_pct",
  satellites: "satellites",
  airborne: "airborne",
};

/** @returns a plain CSV of the rows, with the columns that the first row has */
export function csvOf(rows: readonly Row[]): string {
  const keys = Object.keys(NAMES).filter((key) => rows[0] !== undefined && key in rows[0]);
  const lines = rows.map((row) =>
    keys.map((key) => String(Object.entries(row).find(([name]) => name === key)?.[1] ?? "")).join(","),
  );
  return `${[keys.map((key) => NAMES[key]).join(","), ...lines].join("\n")}\n`;
}
