/** Prints rows of what was measured, against what, and the target, as a table in Markdown. */
export function table(title, rows) {
  const heads = ["What", "Measured", "Against", "Target"];
  const widths = heads.map((head, i) => Math.max(head.length, ...rows.map((row) => row[i].length)));
  const line = (cells) => `| ${cells.map((cell, i) => cell.padEnd(widths[i])).join(" | ")} |`;
  console.log(`\n${title}\n`);
  console.log([line(heads), line(widths.map((width) => "-".repeat(width))), ...rows.map(line)].join("\n"));
}
