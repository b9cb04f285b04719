// Scanned points against saxes: random GPX documents, many of them broken, must read alike with and without the scan, to the
// last bit of every column and the last word of every problem. Run by `npm run fuzz:gpx -- --documents 200000 --seed 1`,
// which builds first.
import { parseArgs } from "node:util";
import { completeReading } from "../../dist/config/reading.js";
import { readGpx } from "../../dist/parsers/gpx/read-gpx.js";
import { ProblemList } from "../../dist/parsers/problem-list.js";
import { gpxDifferenceOf } from "../helpers/lanes.mjs";
import { randomOf } from "../helpers/random-csv.mjs";
import { randomGpx } from "../helpers/random-gpx.mjs";

const { values } = parseArgs({
  options: { documents: { type: "string", default: "200000" }, seed: { type: "string", default: "1" } },
});
const DOCUMENTS = Number(values.documents);
const FIRST = Number(values.seed);

const parsers = { readGpx, newProblems: () => new ProblemList(), reading: completeReading() };
const random = randomOf(FIRST);
const points = { plain: 0, saxes: 0 };
let read = 0;
for (let seed = FIRST; seed < FIRST + DOCUMENTS; seed += 1) {
  const size = Math.ceil(10 ** (2 * random()));
  const block_bytes = Math.ceil(2 ** (5 + 11 * random()));
  const { difference, lanes } = await gpxDifferenceOf(parsers, randomGpx(seed, size), block_bytes);
  if (difference !== undefined) {
    console.error(`seed ${seed}, ${size} points, blocks of ${block_bytes} bytes: ${difference}`);
    process.exitCode = 1;
  }
  points.plain += lanes?.plain ?? 0;
  points.saxes += lanes?.saxes ?? 0;
  read += lanes === undefined ? 0 : 1;
}
console.log(
  `${DOCUMENTS} documents, of which ${read} were read: ${points.plain} points scanned, ${points.saxes} by saxes`,
);
