import { READING } from "../config/reading.js";
import { metresPerDegreeEast, metresPerDegreeNorth } from "../num/metres-per-degree.js";
import { at } from "./at.js";
import { type BuiltSite, buildSite, type SiteGrid } from "./build-site.js";
import { STANDING_WITHIN_M } from "./lowest-around.js";
import type { Obstacle, ObstacleSet, SiteProblem } from "./obstacles.js";
import { resolutionOf_m, summarizeTerrain, type TerrainFile, type TerrainSummary } from "./terrain-file.js";
import type { ZoneSet } from "./zones.js";
import { type Box, groupTiles, readWindow, type TileGroup } from "./terrain-window.js";

/** A site whose terrain is read where a flight needs it. */
export interface SiteSource {
  /** Features that were left out or half understood. */
  readonly problems: readonly SiteProblem[];
  /** As declared; undefined where nobody said, not even that there are none. */
  readonly obstacles: ObstacleSet | undefined;
  readonly zones: ZoneSet | undefined;
  /** One for each terrain file, in the order declared. @param options `countVoids` reads all of every file */
  summaries(options?: { readonly countVoids?: boolean }): Promise<TerrainSummary[]>;
  /**
   * @param box round everything that will be asked about, without any margin
   * @param reach_m how far beyond it the ground matters
   * @returns the site, with the ground of the box; beyond it the ground is unknown
   * @throws UserError, one line, where a terrain file cannot be read there
   */
  siteFor(box: Box, reach_m: number): Promise<BuiltSite>;
}

/** What was declared of a site; undefined is not known. */
export interface SiteSourceParts {
  readonly terrain:
    { readonly kind: "flat" } | { readonly kind: "files"; readonly files: readonly TerrainFile[] } | undefined;
  readonly obstacles: ObstacleSet | undefined;
  readonly zones?: ZoneSet | undefined;
  /** That are read under one flight; the default unless given. */
  readonly mostHeights?: number;
}

/** Windows begin and end at multiples of it, half a kilometre, so that flights from one spot share theirs. */
const BLOCK_DEG = 0.005;
/** Beyond corridor and standing: what rounding and the cutting of long legs may need. */
const SPARE_M = 10;
/** An obstacle stands on all the ground under it; one that reaches farther than this keeps what is in the window. */
const FOOTPRINT_REACH_M = 20_000;
/** A batch over one site asks for the same few windows again and again. */
const WINDOWS_KEPT = 4;

/**
 * @returns the source of a site; without terrain files it is built once
 * @throws UserError where an obstacle gives its top above sea level and no terrain says where that is
 */
export function siteSource(parts: SiteSourceParts): SiteSource {
  const { terrain, obstacles, zones, mostHeights = READING.heights.value } = parts;
  if (terrain?.kind !== "files") {
    const site = buildSite({ terrain, obstacles, zones });
    return {
      problems: site.problems,
      obstacles,
      zones,
      summaries: () => Promise.resolve([]),
      siteFor: () => Promise.resolve(site),
    };
  }
  return new WindowedSite(terrain.files, obstacles, zones, mostHeights);
}

class WindowedSite implements SiteSource {
  readonly problems: readonly SiteProblem[];
  readonly obstacles: ObstacleSet | undefined;
  readonly zones: ZoneSet | undefined;
  readonly #files: readonly TerrainFile[];
  readonly #groups: readonly TileGroup[];
  readonly #names: readonly string[];
  readonly #footprints: readonly Footprint[];
  /** By window, the latest last. */
  readonly #kept = new Map<string, Promise<BuiltSite>>();

  readonly #mostHeights: number;

  constructor(
    files: readonly TerrainFile[],
    obstacles: ObstacleSet | undefined,
    zones: ZoneSet | undefined,
    mostHeights: number,
  ) {
    this.#files = files;
    this.#mostHeights = mostHeights;
    this.#groups = groupTiles(files);
    this.#names = files.map(nameOf);
    this.obstacles = obstacles;
    this.zones = zones;
    this.#footprints = (obstacles?.obstacles ?? []).flatMap(footprintsOf);
    this.problems = [...(obstacles?.problems ?? []), ...(zones?.problems ?? [])];
  }

  summaries({ countVoids = false }: { readonly countVoids?: boolean } = {}): Promise<TerrainSummary[]> {
    return Promise.all(this.#files.map((file) => summarizeTerrain(file, countVoids)));
  }

  siteFor(box: Box, reach_m: number): Promise<BuiltSite> {
    const window = snapped(this.#withFootprints(widened(box, reach_m + STANDING_WITHIN_M + SPARE_M)));
    const key = `${window.west_deg} ${window.south_deg} ${window.east_deg} ${window.north_deg}`;
    const site = this.#kept.get(key) ?? this.#build(window);
    this.#kept.delete(key);
    this.#kept.set(key, site);
    for (const old of this.#kept.keys()) {
      if (this.#kept.size <= WINDOWS_KEPT) break;
      this.#kept.delete(old);
    }
    return site;
  }

  async #build(window: Box): Promise<BuiltSite> {
    const grids: SiteGrid[] = [];
    for (const group of this.#groups) {
      const surface = group.tiles.every((tile) => tile.surface);
      const error_m = Math.max(...group.tiles.map((tile) => tile.error_m));
      grids.push({ grid: await readWindow(group, window, this.#mostHeights), surface, error_m });
    }
    return buildSite({
      terrain: { kind: "grids", grids },
      obstacles: this.obstacles,
      zones: this.zones,
      terrainFiles: this.#names,
    });
  }

  /** A polygon stands on the highest ground in all of its footprint, which may reach out of the flight's own ground. */
  #withFootprints(box: Box): Box {
    const most = widened(box, FOOTPRINT_REACH_M);
    let { west_deg, south_deg, east_deg, north_deg } = box;
    for (const { stands, reaches } of this.#footprints) {
      const apart_deg = (box.west_deg + box.east_deg - reaches.west_deg - reaches.east_deg) / 2;
      const turn_deg = 360 * Math.round(apart_deg / 360);
      const isMet =
        reaches.west_deg + turn_deg <= box.east_deg &&
        reaches.east_deg + turn_deg >= box.west_deg &&
        reaches.south_deg <= box.north_deg &&
        reaches.north_deg >= box.south_deg;
      if (!isMet) continue;
      west_deg = Math.min(west_deg, Math.max(stands.west_deg + turn_deg, most.west_deg));
      east_deg = Math.max(east_deg, Math.min(stands.east_deg + turn_deg, most.east_deg));
      south_deg = Math.min(south_deg, Math.max(stands.south_deg, most.south_deg));
      north_deg = Math.max(north_deg, Math.min(stands.north_deg, most.north_deg));
    }
    return { west_deg, south_deg, east_deg, north_deg };
  }
}

function nameOf(file: TerrainFile): string {
  const { format, system } = file.raster;
  return `${file.path} (${format}, ${system.name}, ${Number(resolutionOf_m(file).toPrecision(2))} m)`;
}

/** The ground that a point or polygon stands on, and the ground that it is in the way over. */
interface Footprint {
  readonly stands: Box;
  readonly reaches: Box;
}

/** Lines follow the ground, so that only the part that a flight meets matters. */
function footprintsOf({ shapes }: Obstacle): Footprint[] {
  return shapes.flatMap(({ kind, rings, radius_m }) => {
    if (kind === "line") return [];
    const stands = {
      west_deg: Number.POSITIVE_INFINITY,
      south_deg: Number.POSITIVE_INFINITY,
      east_deg: Number.NEGATIVE_INFINITY,
      north_deg: Number.NEGATIVE_INFINITY,
    };
    for (const ring of rings) {
      for (let k = 0; k + 1 < ring.length; k += 2) {
        stands.west_deg = Math.min(stands.west_deg, at(ring, k));
        stands.east_deg = Math.max(stands.east_deg, at(ring, k));
        stands.south_deg = Math.min(stands.south_deg, at(ring, k + 1));
        stands.north_deg = Math.max(stands.north_deg, at(ring, k + 1));
      }
    }
    return [{ stands, reaches: widened(stands, radius_m) }];
  });
}

/** @returns the box and all that is within some metres of it */
function widened(box: Box, by_m: number): Box {
  const farthest_deg = Math.min(89.9, Math.max(Math.abs(box.south_deg), Math.abs(box.north_deg)) + by_m / 110_000);
  const east_deg = by_m / metresPerDegreeEast(farthest_deg);
  const north_deg = by_m / metresPerDegreeNorth(0);
  return {
    west_deg: box.west_deg - east_deg,
    south_deg: Math.max(-90, box.south_deg - north_deg),
    east_deg: box.east_deg + east_deg,
    north_deg: Math.min(90, box.north_deg + north_deg),
  };
}

/** Outward, so that the window depends on the flight alone, whatever was read before it. */
function snapped({ west_deg, south_deg, east_deg, north_deg }: Box): Box {
  return {
    west_deg: Math.floor(west_deg / BLOCK_DEG) * BLOCK_DEG,
    south_deg: Math.floor(south_deg / BLOCK_DEG) * BLOCK_DEG,
    east_deg: Math.ceil(east_deg / BLOCK_DEG) * BLOCK_DEG,
    north_deg: Math.ceil(north_deg / BLOCK_DEG) * BLOCK_DEG,
  };
}
