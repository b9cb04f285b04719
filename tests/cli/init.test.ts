import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { loadConfig } from "../../src/config/load-config.js";
import { homeleg, temporaryFolder } from "../helpers/cli.js";
import { csvOf } from "../helpers/csv.js";
import { landed, outAndBack } from "../helpers/flights.js";

const folder = temporaryFolder();
const csv = csvOf(
  landed(
    outAndBack({
      course_deg: 0,
      out_ms: 10,
      outFor_s: 60,
      back_ms: 10,
      height_m: 40,
      battery_pct: 100,
      rate_pctPerMin: 6,
      step_s: 1,
    }),
  ),
);
const put = (name: string, text: string): void => {
  mkdirSync(join(folder, name, ".."), { recursive: true });
  writeFileSync(join(folder, name), text);
};
const config = (path: string): string => readFileSync(join(folder, path), "utf8");

describe("homeleg init", () => {
  it("writes settings beside the log that are accepted as they are and once filled in, and audit runs with them", async () => {
    put("club/flight.csv", csv.replace("height_above_takeoff_m", "alt (m)"));
    const run = homeleg(["init", "club/flight.csv"], { cwd: folder });
    expect([run.status, run.stderr]).toEqual([0, ""]);
    expect(run.stdout).toBe("club/homeleg.yaml is written. Every setting in it is still a comment: fill it in.\n");
    expect(readdirSync(join(folder, "club"))).toEqual(["flight.csv", "homeleg.yaml"]);
    const read = (): ReturnType<typeof loadConfig> => loadConfig({ startFolder: "club", sets: [], cwd: folder });
    const { files, written } = await read();
    expect(files).toHaveLength(1);
    expect(written.size).toBe(0);
    const bare = homeleg(["audit", "club/flight.csv"], { cwd: folder });
    expect(bare.stderr).toBe("");
    expect(bare.stdout).toMatch(/^(CLEAR|THIN|FAIL|UNKNOWN)/m);
    put("club/homeleg.yaml", config("club/homeleg.yaml").replace(/^# /gm, ""));
    expect((await read()).declared.columns).toEqual({ height: { column: "alt (m)", unit: undefined } });
    const filled = homeleg(["audit", "club/flight.csv"], { cwd: folder });
    expect(filled.stderr).toBe("");
    expect(filled.stdout).toMatch(/coverage \d\d/);
  });

  it("never overwrites without --force: one line, exit 2, the file as it was", () => {
    put("kept/flight.csv", csv);
    put("kept/homeleg.yaml", "operator: at-takeoff\n");
    const refused = homeleg(["init", "kept/flight.csv"], { cwd: folder });
    expect(refused.status).toBe(2);
    expect(refused.stdout).toBe("");
    expect(refused.stderr).toBe(
      "homeleg: kept/homeleg.yaml is there already, and was left as it is. --force overwrites it, --output FILE writes elsewhere.\n",
    );
    expect(config("kept/homeleg.yaml")).toBe("operator: at-takeoff\n");
    const self = homeleg(["init", "kept/flight.csv", "--force", "--output", "kept/flight.csv"], { cwd: folder });
    expect(self.status).toBe(2);
    expect(config("kept/flight.csv")).toBe(csv);
    expect(homeleg(["init", "kept/flight.csv", "--force"], { cwd: folder }).status).toBe(0);
    expect(config("kept/homeleg.yaml")).toMatch(/^## homeleg\.yaml, begun by `homeleg init` for flight\.csv\.$/m);
  });

  it("tells of a log that is not there before a homeleg.yaml that is", () => {
    put("before/homeleg.yaml", "");
    const { status, stderr } = homeleg(["init", "before/gone.csv"], { cwd: folder });
    expect(status).toBe(3);
    expect(stderr).toMatch(/^homeleg: before\/gone\.csv cannot be read \(ENOENT\)\./);
  });

  it("says whose settings no longer count", () => {
    put("season/homeleg.yaml", "operator: at-takeoff\n");
    put("season/may/flight.csv", csv);
    const run = homeleg(["init", "season/may/flight.csv"], { cwd: folder });
    expect(run.status).toBe(0);
    expect(run.stderr).toBe(
      "homeleg: season/homeleg.yaml no longer counts for the logs beside season/may/homeleg.yaml.\n",
    );
  });

  it("writes to standard output, for standard input too", () => {
    const run = homeleg(["init", "--output", "-", "-"], { cwd: folder, input: csv });
    expect([run.status, run.stderr]).toEqual([0, ""]);
    expect(run.stdout).toMatch(/^## .*standard input/);
  });

  it("begins settings for a log that only a line under columns: makes readable, with its reason and exit 3", () => {
    put("odd/flight.csv", csv.replace("latitude_deg", "Y"));
    const run = homeleg(["init", "odd/flight.csv"], { cwd: folder });
    expect(run.status).toBe(3);
    expect(run.stderr).toMatch(/^homeleg: odd\/flight\.csv:1 {2}No column for latitude was recognised among .*\n$/);
    expect(config("odd/homeleg.yaml")).toMatch(/^# {3}latitude: \{ column: "NAME", unit: "deg" \}$/m);
  });

  it("writes nothing for what is no log: one line, exit 3", () => {
    put("none/flight.csv", "");
    const run = homeleg(["init", "none/flight.csv"], { cwd: folder });
    expect([run.status, run.stdout]).toEqual([3, ""]);
    expect(run.stderr).toBe("homeleg: none/flight.csv  The file is empty. Export the flight as CSV or GPX.\n");
    expect(readdirSync(join(folder, "none"))).toEqual(["flight.csv"]);
  });
});
