import { readFileSync } from "node:fs";

/** @returns the fenced blocks of a page that name themselves in a comment of their first two lines, by that name */
export function namedBlocks(page) {
  const blocks = new Map();
  for (const [, indent, indented] of readFileSync(page, "utf8").matchAll(/^( *)```\w+\n([^]*?)^\1```$/gm)) {
    const text = indented.replaceAll(new RegExp(`^${indent}`, "gm"), "");
    const [, name] = /^(?:#!.*\n)?# ([\w.-]+\.(?:sh|yaml)):? /.exec(text) ?? [];
    if (name !== undefined) blocks.set(name, text);
  }
  return blocks;
}
