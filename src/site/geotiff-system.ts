import { UserError } from "../user-error.js";
import { datumOfEpsg, DECLARE_HINT, DEGREES, type System, systemOfEpsg } from "./projection.js";

/** Geo keys by their numbers. Source: OGC 19-008r4, GeoTIFF, annex B. */
export type GeoKeys = ReadonlyMap<number, number>;

export const KEY = {
  modelType: 1024,
  rasterType: 1025,
  geographic: 2048,
  ellipsoid: 2056,
  angularUnits: 2054,
  projected: 3072,
  method: 3075,
  linearUnits: 3076,
  parallel1: 3078,
  parallel2: 3079,
  naturalLongitude: 3080,
  naturalLatitude: 3081,
  falseEasting: 3082,
  falseNorthing: 3083,
  falseOriginLongitude: 3084,
  falseOriginLatitude: 3085,
  falseOriginEasting: 3086,
  falseOriginNorthing: 3087,
  naturalScale: 3092,
  vertical: 4096,
  verticalUnits: 4099,
} as const;

const PROJECTED = 1;
const GEOGRAPHIC = 2;
const USER_DEFINED = 32_767;
const DEGREE = 9102;
const ELLIPSOIDS = new Map([
  [7019, "+ellps=GRS80 +towgs84=0,0,0"],
  [7030, "+datum=WGS84"],
]);
/** Units of length by their EPSG codes: metre, foot, US survey foot. */
const M_PER_UNIT = new Map([
  [9001, 1],
  [9002, 0.3048],
  [9003, 1200 / 3937],
]);
/** Heights above NAVD88 in US survey feet, and in feet. From memory. */
const M_PER_VERTICAL = new Map([
  [6360, 1200 / 3937],
  [8228, 0.3048],
]);

/**
 * @returns the coordinate system that geo keys name, or define as a transverse Mercator or a Lambert conic
 * @throws UserError, one line that names the code, where it is not known
 */
export function systemOfKeys(keys: GeoKeys, file: string): System {
  const model = keys.get(KEY.modelType);
  const projected = keys.get(KEY.projected);
  const geographic = keys.get(KEY.geographic);
  if (model === PROJECTED || (model === undefined && projected !== undefined)) {
    if (projected !== undefined && projected !== USER_DEFINED) {
      return systemOfEpsg(projected) ?? fail(file, `EPSG:${projected} is not known.`);
    }
    return definedSystem(keys) ?? fail(file, "The projection is the file's own, of a kind that is not read.");
  }
  if (model !== undefined && model !== GEOGRAPHIC) return fail(file, `Coordinates of model ${model} are not read.`);
  const units = keys.get(KEY.angularUnits);
  if (units !== undefined && units !== DEGREE) return fail(file, `Angles in unit ${units} are not read.`);
  if (geographic === undefined) return fail(file, "The file does not name its coordinate system.");
  if (geographic === USER_DEFINED && ELLIPSOIDS.has(keys.get(KEY.ellipsoid) ?? 0)) return DEGREES;
  return systemOfEpsg(geographic) ?? fail(file, `EPSG:${geographic} is not known.`);
}

function fail(file: string, what: string): never {
  throw new UserError("terrain-projection", what, { where: { file }, hint: DECLARE_HINT });
}

/** A definition from single keys: transverse Mercator, Lambert conic with one or two parallels. */
function definedSystem(keys: GeoKeys): System | undefined {
  const datum = datumOfEpsg(keys.get(KEY.geographic) ?? 0) ?? ELLIPSOIDS.get(keys.get(KEY.ellipsoid) ?? 0);
  const perUnit_m = M_PER_UNIT.get(keys.get(KEY.linearUnits) ?? 9001);
  const parts = projectionParts(keys);
  if (datum === undefined || perUnit_m === undefined || parts === undefined) return undefined;
  if (parts.some((part) => part.endsWith("=undefined"))) return undefined;
  const definition = [...parts, datum, `+to_meter=${perUnit_m}`, "+no_defs"].join(" ");
  return { name: definition, definition };
}

function projectionParts(keys: GeoKeys): string[] | undefined {
  const own = (key: number): string => String(keys.get(key));
  const perUnit_m = M_PER_UNIT.get(keys.get(KEY.linearUnits) ?? 9001) ?? Number.NaN;
  const offset = (key: number): string => String((keys.get(key) ?? 0) * perUnit_m);
  const natural = [
    `+lat_0=${own(KEY.naturalLatitude)}`,
    `+lon_0=${own(KEY.naturalLongitude)}`,
    `+k_0=${keys.get(KEY.naturalScale) ?? 1}`,
    `+x_0=${offset(KEY.falseEasting)}`,
    `+y_0=${offset(KEY.falseNorthing)}`,
  ];
  switch (keys.get(KEY.method)) {
    case 1:
      return ["+proj=tmerc", ...natural];
    case 8:
      return [
        "+proj=lcc",
        `+lat_1=${own(KEY.parallel1)}`,
        `+lat_2=${own(KEY.parallel2)}`,
        `+lat_0=${own(KEY.falseOriginLatitude)}`,
        `+lon_0=${own(KEY.falseOriginLongitude)}`,
        `+x_0=${offset(KEY.falseOriginEasting)}`,
        `+y_0=${offset(KEY.falseOriginNorthing)}`,
      ];
    case 9:
      return ["+proj=lcc", `+lat_1=${own(KEY.naturalLatitude)}`, ...natural];
    default:
      return undefined;
  }
}

/** @returns metres to one unit of height: 1 unless a key says feet */
export function verticalUnit_m(keys: GeoKeys, file: string): number {
  const units = keys.get(KEY.verticalUnits);
  if (units !== undefined && units !== USER_DEFINED && units !== 0) {
    const perUnit_m = M_PER_UNIT.get(units);
    if (perUnit_m !== undefined) return perUnit_m;
    throw new UserError("terrain-unit", `Heights in unit ${units} are not read.`, {
      where: { file },
      hint: "Convert them to metres.",
    });
  }
  return M_PER_VERTICAL.get(keys.get(KEY.vertical) ?? 0) ?? 1;
}
