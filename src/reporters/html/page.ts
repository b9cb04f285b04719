import { Markup, markup } from "./markup.js";
import { PAGE_STYLE } from "./page-style.js";

/** What a page is made of. */
export interface Page {
  readonly title: string;
  readonly body: Markup;
  /** Ours alone; the page is readable without it, and some have none. */
  readonly script?: string;
  /** @returns base64 of a text's SHA-256: whoever may import a hash gives it */
  readonly sha256: (text: string) => string;
}

/**
 * @returns a whole page in one file. Its policy lets nothing be loaded and nothing run but the style and the script whose
 *   hashes it names: text from a log could not run even if it came through the escaping
 */
export function page({ title, body, script, sha256 }: Page): string {
  const policy = [
    "default-src 'none'",
    `style-src 'sha256-${sha256(PAGE_STYLE)}'`,
    ...(script === undefined ? [] : [`script-src 'sha256-${sha256(script)}'`]),
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  return markup`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<meta name="referrer" content="no-referrer">
<title>${title}</title>
<style>${new Markup(PAGE_STYLE)}</style>
</head>
<body>
${body}
${
  script === undefined
    ? undefined
    : markup`<script>${new Markup(script)}</script>
`
}</body>
</html>
`.text;
}
