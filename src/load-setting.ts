import { resolve } from "node:path";
import type { Config, Declared } from "./config/declared.js";
import { loadConfig } from "./config/load-config.js";
import { completePolicy } from "./config/policy.js";
import { completeReading, raiseHint, type Reading, sizeText } from "./config/reading.js";
import { readLog } from "./parsers/read-log.js";
import type { Setting } from "./recovery/setting.js";
import { completeHeights } from "./site/default-heights.js";
import { mergeObstacles, parseObstacles } from "./site/obstacles.js";
import { mergeZones, parseZones } from "./site/zones.js";
import { fileAccess } from "./file-bytes.js";
import { bytesOfFile, readWhole } from "./plain-file.js";
import { noteOutside } from "./outside-files.js";
import { systemOfText } from "./site/projection.js";
import { type SiteSource, siteSource } from "./site/site-source.js";
import { openTerrain, type TerrainFile } from "./site/terrain-file.js";
import type { Track } from "./track/track.js";
import { UserError } from "./user-error.js";

/** Where the settings of an audit come from. */
export interface SettingOptions {
  /** homeleg.yaml is looked for here and upward; undefined looks nowhere. */
  readonly startFolder?: string | undefined;
  /** A settings file that replaces the one found. */
  readonly configPath?: string | undefined;
  /** `key=value`, over the file. */
  readonly sets?: readonly string[] | undefined;
  /** Paths in `sets` are relative to it; by default the process's working folder. */
  readonly cwd?: string | undefined;
  /** Units of the prose in findings. */
  readonly units?: "metric" | "imperial" | undefined;
}

/** A setting before any flight is known: the ground is read where a flight needs it. */
export type LoadedSetting = Setting<SiteSource>;

/**
 * Loads homeleg.yaml and the files it names (terrain, obstacles, the operator's track) into a setting.
 * @throws UserError (`UserErrors` for several) for every mistake in them, all at once
 */
export async function loadSetting(options: SettingOptions = {}): Promise<LoadedSetting> {
  const cwd = options.cwd ?? process.cwd();
  const config = await loadConfig({
    startFolder: options.startFolder,
    configPath: options.configPath,
    sets: options.sets ?? [],
    cwd,
  });
  const site = await loadSite(config, cwd);
  return {
    config,
    policy: completePolicy(config.declared.policy),
    site,
    operatorTrack: await loadOperatorTrack(config, cwd),
    problems: [...(await noteOutside(config, cwd)), ...site.problems],
    units: options.units ?? "metric",
  };
}

async function loadSite(config: Config, cwd: string): Promise<SiteSource> {
  const { terrain, obstacles, zones, defaultHeights_m: heights_m } = config.declared.site;
  const defaults = completeHeights({ ...heights_m, power_line: heights_m.powerLine }, (kind) =>
    config.places.get(`site.default_heights.${kind}`),
  );
  const read = async <T>(paths: readonly string[], key: string, parse: (bytes: Uint8Array, path: string) => T) =>
    await Promise.all(paths.map(async (path) => parse(await readNamed(path, config, cwd, key), path)));
  return siteSource({
    mostHeights: readingOf(config).heights,
    terrain:
      terrain?.kind === "files" ? { kind: "files", files: await openTerrains(terrain.files, config, cwd) } : terrain,
    obstacles:
      obstacles &&
      mergeObstacles(await read(obstacles, "site.obstacles", (bytes, path) => parseObstacles(bytes, path, defaults))),
    zones: zones && mergeZones(await read(zones, "site.zones", parseZones)),
  });
}

type TerrainFiles = Extract<Declared["site"]["terrain"], { kind: "files" }>["files"];

function openTerrains(files: TerrainFiles, config: Config, cwd: string): Promise<TerrainFile[]> {
  const place = (index: number): string =>
    config.places.get(`site.terrain.${index}.projection`) ??
    config.places.get("site.terrain.projection") ??
    "homeleg.yaml";
  return Promise.all(
    files.map(async ({ projection, ...named }, index): Promise<TerrainFile> => {
      const declared = projection === undefined ? undefined : systemOfText(projection, place(index));
      const access = fileAccess(resolve(cwd, named.path), named.path, readingOf(config).terrain);
      const fail = (error: unknown): never => {
        throw asNamed(error, named.path, config.places.get("site.terrain"));
      };
      const opened = await openTerrain({ ...named, declared, ...access }).catch(fail);
      // It may be gone by the time that a flight needs it.
      return { ...opened, withBytes: (use) => access.withBytes(use).catch(fail) };
    }),
  );
}

async function loadOperatorTrack(config: Config, cwd: string): Promise<Track | undefined> {
  const { operator } = config.declared;
  if (operator?.kind !== "track") return undefined;
  const place = config.places.get("operator.track");
  try {
    const { track } = await readLog(bytesOfFile(resolve(cwd, operator.path)), {
      path: operator.path,
      reading: readingOf(config),
    });
    if (track.startUtc_s !== undefined) return track;
    throw new UserError("operator-track-no-utc", `${operator.path} has no UTC times to match the log with.`, {
      hint: "Use a track whose points carry UTC time.",
    });
  } catch (error) {
    throw asNamed(error, operator.path, place);
  }
}

async function readNamed(path: string, config: Config, cwd: string, key: string): Promise<Uint8Array> {
  const most = readingOf(config).map;
  const tooBig = (): UserError =>
    new UserError("map-too-big", `This map is larger than ${sizeText(most)}.`, {
      where: { file: path },
      hint: raiseHint("map"),
    });
  try {
    return await readWhole(resolve(cwd, path), most, tooBig);
  } catch (error) {
    throw asNamed(error, path, config.places.get(key));
  }
}

function readingOf({ declared }: Config): Reading {
  return completeReading(declared.reading);
}

/** A file that settings name and that cannot be read is a mistake in them, said with the place that names it. */
function asNamed(error: unknown, path: string, place: string | undefined): unknown {
  if (error instanceof UserError || !(error instanceof Error) || !("code" in error)) return error;
  const why = error.code === "ENOENT" ? "does not exist" : `cannot be read (${String(error.code)})`;
  const named = place === undefined ? "" : `${place}  `;
  return new UserError("site-file-unreadable", `${named}The file ${path} ${why}.`, {
    hint: "Paths are relative to the file that names them.",
  });
}
