/** What `visible` writes out, save what JSON itself escapes or lays out its text with. */
const UNSAFE =
  /[\u007f-\u009f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\ufffe\uffff]|[\u{e0000}-\u{e007f}]/gu;

/**
 * @param indent spaces; 0 is one line
 * @returns a value as JSON that can be shown on a terminal: characters that would move its cursor or turn a line round are
 *   escaped, and read back the same
 */
export function jsonText(value: unknown, indent: number): string {
  return JSON.stringify(value, null, indent).replace(UNSAFE, escaped);
}

function escaped(sign: string): string {
  return Array.from(sign.split(""), (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, "0")}`).join("");
}
