const LONGEST = 60;

/**
 * Quotes a text from a log for a message: control characters are escaped, so that none reaches a terminal, and what is
 * longer than 60 characters is cut.
 *
 * @returns the text in double quotes
 */
export function quoteText(text: string): string {
  const characters = Array.from(text.slice(0, 4 * LONGEST));
  const isCut = characters.length > LONGEST;
  const shown = isCut ? characters.slice(0, LONGEST - 1).join("") : characters.join("");
  const safe = shown.replace(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}]/gu, escapeCharacter);
  return `"${safe}${isCut ? "…" : ""}"`;
}

function escapeCharacter(character: string): string {
  return `\\u${(character.codePointAt(0) ?? 0).toString(16).padStart(4, "0")}`;
}
