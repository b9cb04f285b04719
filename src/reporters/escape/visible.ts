/**
 * Characters that no report may carry as they are: controls, which move a terminal's cursor or end a line; bidirectional
 * controls and invisible formatting, which make a line read otherwise than it is; halves of surrogate pairs and
 * noncharacters, which no encoding of text has.
 */
const UNSAFE =
  // oxlint-disable-next-line no-control-regex
  /[\u0000-\u001f\u007f-\u009f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\ufffe\uffff]|\p{Surrogate}|[\u{e0000}-\u{e007f}]/gu;

/** @returns text with every such character as its code, `\u{202e}`, so that a reader sees that it is there */
export function visible(text: string): string {
  return text.replace(UNSAFE, (sign) => `\\u{${(sign.codePointAt(0) ?? 0).toString(16)}}`);
}
