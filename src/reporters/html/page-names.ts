/** Names of files that no page may take. */
const TAKEN = ["index"];
const LENGTH_MOST = 96;

/**
 * Names pages after their logs: letters, digits, dot, dash and underscore of ASCII alone; no two alike, also where a file
 * system does not tell capitals. The same paths in the same order get the same names.
 * @returns a function from the path of a log to the file name of its page
 */
export function pageNamer(): (path: string) => string {
  const taken = new Set(TAKEN);
  return (path) => {
    const plain = path
      .normalize("NFKD")
      .replace(/\p{Mark}/gu, "")
      .replace(/\\/g, "/")
      .replace(/^(\.{0,2}\/)+/, "")
      .replace(/[^A-Za-z0-9._/-]+/g, "_")
      .replace(/\/+/g, "_")
      .replace(/\.{2,}/g, ".");
    // The end of a path tells more than its beginning.
    const base = plain.slice(-LENGTH_MOST).replace(/^[._-]+/, "") || "log";
    let name = base;
    for (let n = 2; taken.has(name.toLowerCase()); n += 1) name = `${base}-${n}`;
    taken.add(name.toLowerCase());
    return `${name}.html`;
  };
}
