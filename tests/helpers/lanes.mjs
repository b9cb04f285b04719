import { isDeepStrictEqual } from "node:util";

/**
 * Reads a log through the fast lane and with csv-parse alone.
 *
 * @returns the first difference in words, undefined where there is none; and how the rows were read
 */
export async function differenceOf(readLog, bytes) {
  const [fast, slow] = [await outcomeOf(readLog, bytes, "all"), await outcomeOf(readLog, bytes, "csv-parse")];
  const lanes = fast.log?.lanes;
  if (fast.error !== slow.error) return { difference: `${fast.error} ≠ ${slow.error}`, lanes };
  if (fast.log === undefined || slow.log === undefined) return { difference: undefined, lanes };
  return { difference: compare(fast.log, slow.log), lanes };
}

async function outcomeOf(readLog, bytes, lanes) {
  try {
    return { log: await readLog([bytes], { path: "flight.csv", lanes }), error: undefined };
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
