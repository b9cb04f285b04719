import { text } from "node:stream/consumers";
import { UserError } from "../index.js";
import { readText } from "./read-text.js";

/**
 * @param paths of the command line
 * @param list of `--files-from`: a file, or `-` for standard input, with a path a line (or between NUL bytes, as `find
 *   -print0` writes them)
 * @returns all of them, those of the command line first
 * @throws UserError where there is no path at all, the list cannot be read, or standard input would be
 *   read twice
 */
export async function pathsOf(paths: readonly string[], list: string | undefined): Promise<string[]> {
  const listed = list === undefined ? [] : split(await textOf(list));
  if (list === "-" && [...paths, ...listed].includes("-")) {
    throw new UserError("input-twice", "Standard input cannot be both the list of --files-from and a log.", {
      hint: "Give the list as a file.",
    });
  }
  if (paths.length + listed.length > 0) return [...paths, ...listed];
  if (list !== undefined) {
    throw new UserError("no-paths", `--files-from ${list} names no log.`, { hint: "It wants a path a line." });
  }
  throw new UserError("no-paths", "There is no log to audit.", {
    hint: "Name log files or folders, - for standard input, or a list of them with --files-from.",
  });
}

function split(list: string): string[] {
  const parts = list.includes("\0") ? list.split("\0") : list.split(/\r?\n/);
  return parts.filter((path) => path !== "");
}

function textOf(list: string): Promise<string> {
  return list === "-" ? text(process.stdin) : readText(list, `The list ${list}`, "list-unreadable");
}
