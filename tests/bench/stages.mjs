// How the time of one audit divides, and the cost of a moment; one process: node tests/bench/stages.mjs LOG [SETTINGS]
// Twelve rounds warm up, for so long code is compiled; of the nine after them the medians count. Times are those of the processor.
import { createReadStream } from "node:fs";
import { loadSetting } from "../../dist/index.js";
import { readLog } from "../../dist/parsers/read-log.js";
import { cleanPositions } from "../../dist/track/clean-positions.js";
import { fillSparse } from "../../dist/track/fill-sparse.js";
import { findFlights } from "../../dist/track/flights.js";
import { chooseInputs } from "../../dist/recovery/flight-inputs.js";
import { replayFlight } from "../../dist/recovery/replay-flight.js";
import { settleSite } from "../../dist/settle-site.js";
import { auditFlight } from "../../dist/score/flight-result.js";
import { judgeFlight } from "../../dist/score/judge.js";

const WARM_UP = 12;
const COUNTED = 9;

const [log, configPath] = process.argv.slice(2);
const setting = await loadSetting(configPath === undefined ? {} : { configPath });
const rounds = [];
for (let round = 0; round < WARM_UP + COUNTED; round += 1) rounds.push(await measure());
const counted = rounds.slice(WARM_UP);
const medianOf = (key) => counted.map((round) => round[key]).sort((a, b) => a - b)[COUNTED >> 1];
console.log(JSON.stringify(Object.fromEntries(Object.keys(counted[0]).map((key) => [key, medianOf(key)]))));

async function measure() {
  const laps = {};
  let before = process.cpuUsage();
  const lap = (name) => {
    const { user, system } = process.cpuUsage(before);
    laps[name] = (user + system) / 1000;
    before = process.cpuUsage();
  };
  const parsed = await readLog(createReadStream(log), { path: log });
  lap("parse");
  const track = fillSparse(cleanPositions(parsed.track, setting.policy["fix.jump"]).track, setting.policy.longest_gap);
  const limits = { longestGap_s: setting.policy.longest_gap, shortestFlight_s: setting.policy.shortest_flight };
  const { flights, motion } = findFlights(track, limits);
  lap("flights");
  const settled = [];
  for (const flight of flights) settled.push(await settleSite(setting, track, flight));
  lap("site");
  flights.forEach((flight, i) => chooseInputs(settled[i], track, flight, motion));
  lap("fit");
  const replays = flights.map((flight, i) => replayFlight(settled[i], track, flight, motion));
  lap("fit and replay");
  for (const replay of replays) judgeFlight(replay);
  lap("rules");
  for (const replay of replays) auditFlight(replay);
  lap("rules and result");
  const moments = replays.reduce((sum, { length }) => sum + length, 0);
  const replay = laps["fit and replay"] - laps["fit"];
  return {
    moments,
    parse: laps["parse"],
    flights: laps["flights"],
    site: laps["site"],
    fit: laps["fit"],
    replay,
    rules: laps["rules"],
    result: laps["rules and result"] - laps["rules"],
    us_per_moment: (1000 * (replay + laps["rules and result"])) / moments,
  };
}
