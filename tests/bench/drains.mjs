// What the audit is measured against, each a process of its own: node tests/bench/drains.mjs KIND FILE
import { createReadStream } from "node:fs";

const [kind, file] = process.argv.slice(2);
const drains = {
  /** Every byte is read and thrown away. */
  read: async () => {
    for await (const chunk of createReadStream(file)) void chunk;
  },
  /** D: csv-parse makes arrays of texts, which are thrown away. */
  csv: async () => {
    const { parse } = await import("csv-parse");
    for await (const record of createReadStream(file).pipe(parse())) void record;
  },
  /** saxes with handlers that do nothing. */
  xml: async () => {
    const { SaxesParser } = await import("saxes");
    const parser = new SaxesParser({ xmlns: true });
    for (const event of ["opentag", "closetag", "text"]) parser.on(event, () => undefined);
    for await (const chunk of createReadStream(file, "utf8")) parser.write(chunk);
    parser.close();
  },
};
await drains[kind]();
