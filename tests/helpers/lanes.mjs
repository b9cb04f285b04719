import { isDeepStrictEqual } from "node:util";

/**
 * Reads a log through the fast lane and with csv-parse alone, or by saxes alone.
 *
 * @returns the first difference in words, undefined where there is none; and how the rows were read
 */
export async function differenceOf(readLog, bytes) {
  const by = (lanes) => outcomeOf(() => readLog([bytes], { path: "flight.csv", lanes }));
  const [fast, slow] = [await by("all"), await by("none")];
  return { difference: differenceBetween(fast, slow), lanes: fast.log?.lanes };
}

function differenceBetween(fast, slow) {
  if (fast.error !== slow.error) return `${fast.error} ≠ ${slow.error}`;
  return fast.log === undefined || slow.log === undefined ? undefined : compare(fast.log, slow.log);
}

/**
 * Reads a GPX document with plain points scanned and by saxes alone, in blocks of a size: the first is shorter.
 *
 * @param parsers what reads it: `readGpx`, a new list of `problems`, and how much is read
 * @returns the first difference in words, undefined where there is none; and how the points were read
 */
export async function gpxDifferenceOf({ readGpx, newProblems, reading, columns }, bytes, block_bytes) {
  const outcomes = [];
  for (const lanes of ["all", "none"]) {
    const problems = newProblems();
    const blocks = blocksOf(bytes, block_bytes);
    const packing = { encoding: "utf-8", isGzip: false };
    const read = () => readGpx(blocks, packing, { path: "flight.gpx", reading, columns, lanes }, problems);
    const { log, error } = await outcomeOf(read);
    const said = { problems: problems.list(), questions: problems.questions };
    outcomes.push({ error: error && `${error} ${JSON.stringify(said)}`, log: log && { ...log, ...said } });
  }
  const [fast, slow] = outcomes;
  return { difference: differenceBetween(fast, slow), lanes: fast.log?.lanes };
}

function* blocksOf(bytes, block_bytes) {
  let from = 0;
  for (let to = (bytes.length % block_bytes) + 1; from < bytes.length; to += block_bytes) {
    yield bytes.subarray(from, to);
    from = to;
  }
}

async function outcomeOf(read) {
  try {
    return { log: await read(), error: undefined };
  } catch (error) {
    if (error.name !== "UserError" && error.code === undefined) throw error;
    return { log: undefined, error: `${error.code} ${error.line}` };
  }
}

function compare(fast, slow) {
  const { lanes: _fast, track: a, ...restA } = fast;
  const { lanes: _slow, track: b, ...restB } = slow;
  for (const key of new Set([...Object.keys(restA), ...Object.keys(restB)])) {
    if (!isDeepStrictEqual(restA[key], restB[key])) {
      return `${key}: ${JSON.stringify(restA[key])} ≠ ${JSON.stringify(restB[key])}`;
    }
  }
  const { columns: columnsA, ...trackA } = a;
  const { columns: columnsB, ...trackB } = b;
  if (!isDeepStrictEqual(trackA, trackB)) return "the tracks differ outside their columns";
  if (!isDeepStrictEqual(Object.keys(columnsA), Object.keys(columnsB))) return "the tracks have different columns";
  for (const key of Object.keys(columnsA)) {
    const row = differingRow(columnsA[key], columnsB[key]);
    if (row !== undefined) return `${key}[${row}]: ${columnsA[key][row]} ≠ ${columnsB[key][row]}`;
  }
  return undefined;
}

/** Bit for bit: −0 is not 0, and NaN is NaN. */
function differingRow(a, b) {
  for (let row = 0; row < Math.max(a.length, b.length); row += 1) if (!Object.is(a[row], b[row])) return row;
  return undefined;
}
