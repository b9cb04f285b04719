import { realpath } from "node:fs/promises";
import { isAbsolute, relative, resolve } from "node:path";
import type { Config, NamedFile } from "./config/declared.js";
import type { Problem } from "./track/track.js";

/** Files that are named one by one. */
const TOLD_MOST = 5;

/**
 * @param cwd paths in the config are relative to it
 * @returns a note where settings rest on files that lie outside the folder of who names them, links followed: that is
 *   allowed, but who reads the report of a folder that somebody sent should know of it
 */
export async function noteOutside({ named = [] }: Config, cwd: string): Promise<Problem[]> {
  const outside: string[] = [];
  for (const file of named) if (await isOutside(file, cwd)) outside.push(file.path);
  if (outside.length === 0) return [];
  const told = [...new Set(outside)];
  const more = told.length - TOLD_MOST;
  const names = [...told.slice(0, TOLD_MOST), ...(more > 0 ? [`${more} more`] : [])].join(", ");
  const message = `The settings rest on files outside their folder: ${names}.`;
  return [{ severity: "note", code: "settings-outside", message, line: undefined }];
}

async function isOutside({ path, folder }: NamedFile, cwd: string): Promise<boolean> {
  const way = relative(await realPlace(resolve(cwd, folder)), await realPlace(resolve(cwd, path)));
  return isAbsolute(way) || way.split(/[\\/]/, 1)[0] === "..";
}

/** Links followed; one that is gone by now is where its name says. */
async function realPlace(path: string): Promise<string> {
  try {
    return await realpath(path);
  } catch (error) {
    if (error instanceof Error && "code" in error) return path;
    throw error;
  }
}
