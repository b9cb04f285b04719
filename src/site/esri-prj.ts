import { UserError } from "../user-error.js";
import { DECLARE_HINT, DEGREES, type System, systemOfEpsg } from "./projection.js";

/** UTM on WGS84, ETRS89 and NAD83, as the names of systems have them, with the EPSG code of zone 0. */
const UTM_NAMES: readonly (readonly [name: RegExp, zoneZero: number])[] = [
  [/^WGS[_ ]?(?:19)?84[_ /]+UTM[_ ]zone[_ ](\d{1,2})N$/i, 32_600],
  [/^WGS[_ ]?(?:19)?84[_ /]+UTM[_ ]zone[_ ](\d{1,2})S$/i, 32_700],
  [/^ETRS[_ ]?(?:19)?89[_ /]+UTM[_ ]zone[_ ](\d{1,2})N$/i, 25_800],
  [/^NAD[_ ]?(?:19)?83[_ /]+UTM[_ ]zone[_ ](\d{1,2})N$/i, 26_900],
];

/**
 * The system of a `.prj`: its own EPSG code, or the name of a UTM zone; longitude and latitude for a geographic one.
 * @param text in well-known text, version 1
 * @param file that it stands beside, for the message
 * @throws UserError, one line, for any other
 */
export function systemOfPrj(text: string, file: string): System {
  const [, kind = "", name = ""] = /^\s*(PROJCS|GEOGCS)\s*\[\s*"([^"]*)"/i.exec(text) ?? [];
  const system = /^geogcs$/i.test(kind) ? geographic(text) : (byAuthority(text) ?? byName(name));
  if (system !== undefined) return system;
  const what = name === "" ? "names no coordinate system" : `names ${name}, which is not known`;
  throw new UserError("terrain-projection", `The .prj beside this file ${what}.`, {
    where: { file },
    hint: DECLARE_HINT,
  });
}

/** The last authority is that of the whole, those before belong to its parts. */
function byAuthority(text: string): System | undefined {
  const [, code = ""] = /AUTHORITY\s*\[\s*"EPSG"\s*,\s*"?(\d+)"?\s*\]\s*\]\s*$/i.exec(text) ?? [];
  return code === "" ? undefined : systemOfEpsg(Number(code));
}

function byName(name: string): System | undefined {
  for (const [pattern, zoneZero] of UTM_NAMES) {
    const [, zone = ""] = pattern.exec(name) ?? [];
    if (zone !== "") return systemOfEpsg(zoneZero + Number(zone));
  }
  return undefined;
}

function geographic(text: string): System | undefined {
  return /DATUM\s*\[\s*"(?:D_)?(?:WGS_?(?:19)?84|ETRS_?(?:19)?89|European_Terrestrial_Reference_System_1989|North_American(?:_Datum)?_1983)"/i.test(
    text,
  )
    ? DEGREES
    : undefined;
}
