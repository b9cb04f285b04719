/** A folder before the name of a file with a line in it; "1/7" is none. */
const FOLDER_OF_PLACE = /[^\s(]*\/(?=[^/\s]+:\d+)/g;

/** @returns where a value came from, with places in settings files by the file's own name; the JSON has the whole path */
export function withoutFolders(from: string): string {
  return from.replace(FOLDER_OF_PLACE, "");
}
