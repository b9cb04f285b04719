// The fast lane against csv-parse: random logs in random dialects must read alike through both, to the last bit of every
// column and the last word of every problem. Run by `npm run fuzz:csv -- --rows 1000000 --seed 1`, which builds first.
import { parseArgs } from "node:util";
import { differenceOf } from "../helpers/lanes.mjs";
import { randomCsv, randomOf } from "../helpers/random-csv.mjs";
import { readLog } from "../../dist/parsers/read-log.js";

const { values } = parseArgs({
  options: { rows: { type: "string", default: "1000000" }, seed: { type: "string", default: "1" } },
});
const ROWS = Number(values.rows);
const FIRST = Number(values.seed);

const sizes = randomOf(FIRST);
let rows = 0;
let plain = 0;
let files = 0;
for (let seed = FIRST; rows < ROWS; seed += 1) {
  const size = Math.ceil(10 ** (1 + 3 * sizes()));
  const { difference, lanes } = await differenceOf(readLog, randomCsv(seed, size));
  if (difference !== undefined) {
    console.error(`seed ${seed}, ${size} rows: ${difference}`);
    process.exitCode = 1;
  }
  rows += size;
  plain += lanes?.plain ?? 0;
  files += 1;
}
console.log(`${files} files, ${rows} rows, of which ${plain} through the fast lane`);
