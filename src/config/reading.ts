const PROJECT_DEFAULT = "project default";

/**
 * How much of one file is read before it is refused: what no log, map or terrain of honest work reaches, and what a machine
 * still holds. Keys are those under `reading:` in homeleg.yaml, which raises them.
 */
export const READING = {
  rows: { value: 3_000_000, unit: "1", source: PROJECT_DEFAULT },
  log: { value: 2_000_000_000, unit: "bytes", source: PROJECT_DEFAULT },
  map: { value: 200_000_000, unit: "bytes", source: PROJECT_DEFAULT },
  terrain: { value: 1_000_000_000, unit: "bytes", source: PROJECT_DEFAULT },
  heights: { value: 60_000_000, unit: "1", source: PROJECT_DEFAULT },
} as const satisfies Readonly<Record<string, { value: number; unit: "1" | "bytes"; source: string }>>;

/** A key under `reading:`. */
export type ReadingKey = keyof typeof READING;

/** Each of them, as declared or by default. */
export type Reading = Readonly<Record<ReadingKey, number>>;

/** @returns what was declared, and the defaults for the rest */
export function completeReading(declared: Readonly<Partial<Record<ReadingKey, number | undefined>>> = {}): Reading {
  return {
    rows: declared.rows ?? READING.rows.value,
    log: declared.log ?? READING.log.value,
    map: declared.map ?? READING.map.value,
    terrain: declared.terrain ?? READING.terrain.value,
    heights: declared.heights ?? READING.heights.value,
  };
}

/** @returns what to do where a file is too large for a reader */
export function raiseHint(key: ReadingKey): string {
  return `If it is to be read all the same, raise \`reading.${key}\` (--set reading.${key}=…).`;
}

/** @returns `2 GB`, `1.5 MB`, `300 bytes` */
export function sizeText(size_bytes: number): string {
  const units = [
    [1e9, "GB"],
    [1e6, "MB"],
    [1e3, "kB"],
  ] as const;
  const [per, unit] = units.find(([per]) => size_bytes >= per) ?? [1, "bytes"];
  return `${size_bytes / per} ${unit}`;
}
