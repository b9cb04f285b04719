/** Markup, and what only an XML parser may judge. */
const ODD = 0;
/** Part of a text or a value: printable ASCII. */
export const TEXT = 1;
/** A tab or a line break. */
export const BREAK = 2;
export const SPACE = 32;

/** What each byte may be inside a plain track point. */
export const CLASSES = Uint8Array.from({ length: 256 }, (_, byte) => {
  if (byte === 9 || byte === 10 || byte === 13) return BREAK;
  return byte < SPACE || byte > 126 || "<>&".includes(String.fromCharCode(byte)) ? ODD : TEXT;
});
