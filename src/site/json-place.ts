/** White space, then a string, another scalar, or a mark. */
const TOKEN =
  /([ \t\r\n]*)(?:("(?:[ !#-[\]-\uffff]|\\(?:["\\/bfnrt]|u[\da-fA-F]{4}))*")|(?:-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?|true|false|null)|([[\]{},:]))/y;
const SPACE = /[ \t\r\n]*/y;

/**
 * Finds where a text stops being JSON, since the engine's own message does not always tell.
 * @returns offset of the first character that cannot be there, the text's length where it ends too soon or is JSON
 */
export function jsonErrorOffset(text: string): number {
  const open: ("[" | "{")[] = [];
  let expects: "value" | "value-or-end" | "key" | "key-or-end" | "colon" | "after" = "value";
  let at = 0;
  for (;;) {
    TOKEN.lastIndex = at;
    const match = TOKEN.exec(text);
    if (match === null) return afterSpace(text, at);
    const start = at + (match[1]?.length ?? 0);
    const mark = match[3];
    const inside = open[open.length - 1];
    const isValue = expects === "value" || expects === "value-or-end";
    if (expects === "after" && inside === undefined) return start;
    if ((mark === "[" || mark === "{") && isValue) {
      open.push(mark);
      expects = mark === "[" ? "value-or-end" : "key-or-end";
    } else if (
      (mark === "]" && inside === "[" && (expects === "after" || expects === "value-or-end")) ||
      (mark === "}" && inside === "{" && (expects === "after" || expects === "key-or-end"))
    ) {
      open.pop();
      expects = "after";
    } else if (mark === "," && expects === "after") expects = inside === "[" ? "value" : "key";
    else if (mark === ":" && expects === "colon") expects = "value";
    else if (match[2] !== undefined && (expects === "key" || expects === "key-or-end")) expects = "colon";
    else if (mark === undefined && isValue) expects = "after";
    else return start;
    at += match[0].length;
  }
}

function afterSpace(text: string, from: number): number {
  SPACE.lastIndex = from;
  return from + (SPACE.exec(text)?.[0].length ?? 0);
}
