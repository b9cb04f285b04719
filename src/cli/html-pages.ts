import { mkdir } from "node:fs/promises";
import { join, resolve } from "node:path";
import { htmlIndex, type HtmlReportOptions, pageNamer, type RunToReport, UserError } from "../index.js";
import { targetOf } from "./target.js";
import { writeWhole } from "./write-file.js";

/**
 * Pages of a run. One log without `--output` goes to standard output; a name that ends in .html is one page; any other
 * name is a folder with a page a log, each written as soon as its log is audited, and an index.
 */
export class HtmlPages {
  readonly #output: string | undefined;
  readonly #options: HtmlReportOptions;
  readonly #logs: ReadonlySet<string>;
  readonly #allNames: readonly string[];
  readonly #names: string[] = [];
  #single = "";
  #isFolder = false;

  /** @param logs paths of all logs that were found: they name the pages, and no page is written over one */
  constructor(output: string | undefined, logs: readonly string[], options: HtmlReportOptions) {
    this.#output = output;
    this.#options = options;
    this.#logs = new Set(logs.map((path) => resolve(path)));
    this.#allNames = logs.map(pageNamer());
  }

  /**
   * Finds out where the pages go, before any work is done.
   * @throws UserError where several logs would go into one page
   */
  async open(): Promise<void> {
    const output = this.#output;
    const isPage = output === undefined || output === "-" || /\.html?$/i.test(output);
    this.#isFolder = !isPage && !(await targetOf(output)).isStream;
    if (this.#isFolder || this.#logs.size < 2) return;
    throw new UserError("html-several", `${this.#logs.size} logs make ${this.#logs.size} pages and an index.`, {
      hint: "Give --output the name of a folder for them.",
    });
  }

  /** File name of the index, for the pages to link back to; undefined where there is but one page. */
  get indexName(): string | undefined {
    return this.#isFolder ? "index.html" : undefined;
  }

  /**
   * Takes the page of one log.
   * @param position of the log among all that were found
   */
  async add(position: number, page: unknown): Promise<void> {
    const text = String(page);
    if (!this.#isFolder) {
      this.#single = text;
      return;
    }
    const name = this.#allNames[position] ?? "";
    this.#names.push(name);
    await this.#write(name, text);
  }

  /** Writes the index, or the one page. A part of a run has no index: `merge` makes that of all. */
  async close(run: RunToReport): Promise<void> {
    if (!this.#isFolder) await writeWhole(this.#output ?? "-", [this.#single]);
    else if (run.shard === undefined) await this.#write("index.html", await htmlIndex(run, this.#names, this.#options));
  }

  async #write(name: string, text: string): Promise<void> {
    const folder = this.#output ?? ".";
    const path = join(folder, name);
    if (this.#logs.has(resolve(path))) {
      throw new UserError("output-taken", `The page ${path} would be written over a log.`, {
        hint: "Choose another folder for --output.",
      });
    }
    await makeFolder(folder);
    await writeWhole(path, [text]);
  }
}

async function makeFolder(folder: string): Promise<void> {
  try {
    await mkdir(folder, { recursive: true });
  } catch (error) {
    if (!(error instanceof Error && "code" in error)) throw error;
    throw new UserError("cannot-write", `Cannot make the folder ${folder} (${String(error.code)}).`, {
      hint: "Choose another place with --output; one page wants a name that ends in .html.",
    });
  }
}
