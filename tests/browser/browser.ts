import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import axe from "axe-core";
import { type Browser, chromium, type Page } from "playwright-core";

/** Debian's own browser. */
const EXECUTABLE = "/usr/bin/chromium";

/** Without a browser these tests cannot run; where all checks are made (`.ci/run`) that is a failure, not a skip. */
export const HAS_BROWSER = existsSync(EXECUTABLE) || (process.env["CI"] ?? "") !== "";
if (!HAS_BROWSER)
  console.warn(`No browser at ${EXECUTABLE}: the pages are not tested in one (apt-get install chromium).`);

/** A page open in a browser, with all that went wrong or was asked for. */
export interface Opened {
  readonly page: Page;
  /** Messages of the console, uncaught errors, dialogs. */
  readonly complaints: string[];
  readonly requests: string[];
}

/** A browser with a folder of pages of its own. */
export class Pages {
  readonly #browser: Browser;
  readonly #folder = mkdtempSync(join(tmpdir(), "homeleg-pages-"));

  private constructor(browser: Browser) {
    this.#browser = browser;
  }

  static async start(): Promise<Pages> {
    return new Pages(await chromium.launch({ executablePath: EXECUTABLE, args: ["--no-sandbox"] }));
  }

  /** Puts texts into files and opens the first of them. */
  async open(
    texts: Readonly<Record<string, string>>,
    options: { colorScheme?: "light" | "dark"; javaScriptEnabled?: boolean; width?: number } = {},
  ): Promise<Opened> {
    for (const [name, text] of Object.entries(texts)) writeFileSync(join(this.#folder, name), text);
    const { width = 1120, ...rest } = options;
    const page = await this.#browser.newPage({ ...rest, viewport: { width, height: 900 } });
    const complaints: string[] = [];
    const requests: string[] = [];
    page.on("console", (message) => complaints.push(`${message.type()}: ${message.text()}`));
    page.on("pageerror", (error) => complaints.push(error.message));
    page.on("dialog", (dialog) => {
      complaints.push(`dialog: ${dialog.message()}`);
      void dialog.dismiss();
    });
    page.on("request", (request) => requests.push(request.url()));
    await page.goto(this.url(Object.keys(texts)[0] ?? ""));
    return { page, complaints, requests };
  }

  url(name: string): string {
    return pathToFileURL(join(this.#folder, name)).href;
  }

  async stop(): Promise<void> {
    await this.#browser.close();
    rmSync(this.#folder, { recursive: true, force: true });
  }
}

interface AxeResult {
  readonly violations: readonly {
    readonly id: string;
    readonly impact: string;
    readonly nodes: readonly { readonly html: string }[];
  }[];
}

/** What axe-core finds that is serious or worse. */
export async function serious({ page }: Opened): Promise<string[]> {
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate<AxeResult>("axe.run(document, { resultTypes: ['violations'] })");
  return violations
    .filter(({ impact }) => impact === "serious" || impact === "critical")
    .map(({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 160)).join(" | ")}`);
}
