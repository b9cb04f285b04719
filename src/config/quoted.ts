const LONGEST = 60;

/**
 * Text from a file as a message shows it: in backquotes, on one line, control characters made visible, cut when long.
 */
export function quoted(text: string): string {
  const visible = text.replaceAll(/[\p{Cc}\p{Cf}\u2028\u2029]/gu, (character) => {
    return `\\u{${(character.codePointAt(0) ?? 0).toString(16)}}`;
  });
  return `\`${visible.length > LONGEST ? `${visible.slice(0, LONGEST)}…` : visible}\``;
}
