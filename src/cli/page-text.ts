/** A paragraph, list item or line of code on its way to the terminal. */
interface Block {
  text: string;
  readonly first: string;
  readonly rest: string;
}

/**
 * A page of docs/ as plain text: headings, paragraphs, lists and examples; pictures, comments and tables left out.
 * @param page Markdown as docs/rules/ has it
 * @param width columns; only examples may be wider
 */
export function pageText(page: string, width: number): string {
  const out: string[] = [];
  let block: Block | undefined;
  let isCode = false;
  const flush = (): void => {
    if (block !== undefined) out.push(...wrapped(block, width));
    block = undefined;
  };
  for (const line of page.split("\n")) {
    if (line.startsWith("```")) {
      flush();
      isCode = !isCode;
    } else if (isCode) out.push(line === "" ? "" : `    ${line}`);
    else if (/^(<!--|!\[|\|)/.test(line)) flush();
    else if (line.trim() === "") {
      flush();
      if (out.length > 0 && out[out.length - 1] !== "") out.push("");
    } else if (line.startsWith("#")) {
      flush();
      out.push(line.replace(/^#+ /, ""));
    } else if (/^\s*- /.test(line)) {
      flush();
      block = { text: line.replace(/^\s*- /, ""), first: "  - ", rest: "    " };
    } else if (block === undefined) block = { text: line.trim(), first: "  ", rest: "  " };
    else block.text += ` ${line.trim()}`;
  }
  flush();
  return `${out.join("\n").trim()}\n`;
}

/** Marks of emphasis and code go, the words of a link stay. */
function plain(text: string): string {
  return text
    .replaceAll(/\[([^\]]+)\]\([^)]+\)/g, "$1")
    .replaceAll(/\*\*([^*]+)\*\*/g, "$1")
    .replaceAll(/(^|[\s(])_([^_]+)_(?=[\s).,:;]|$)/g, "$1$2")
    .replaceAll("`", "");
}

function wrapped({ text, first, rest }: Block, width: number): string[] {
  const lines: string[] = [];
  let line = first;
  for (const word of plain(text).split(" ")) {
    const isEmpty = line === first || line === rest;
    if (!isEmpty && line.length + 1 + word.length > width) {
      lines.push(line);
      line = rest + word;
    } else line += isEmpty ? word : ` ${word}`;
  }
  return [...lines, line];
}
