import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { homeleg, temporaryFolder } from "../helpers/cli.js";
import { csvOf } from "../helpers/csv.js";
import { landed, outAndBack } from "../helpers/flights.js";

const folder = temporaryFolder();
const good = landed(
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
);
const put = (name: string, text: string): void => {
  mkdirSync(join(folder, name, ".."), { recursive: true });
  writeFileSync(join(folder, name), text);
};
put("good.csv", csvOf(good));
put("own.csv", csvOf(good).replace("height_above_takeoff_m", "Up"));
put("homeleg.yaml", "wind: { speed: 2 m/s, from: 270 deg }\n");

describe("homeleg inspect", () => {
  it("tells how a log was understood, by the settings found upward, with exit 0", () => {
    const { status, stdout, stderr } = homeleg(["inspect", "good.csv"], { cwd: folder });
    expect(stderr).toBe("");
    expect(stdout).toMatch(/^good\.csv\n {2}CSV, comma/);
    expect(stdout).toMatch(/^ {2}battery_pct +battery +%/m);
    expect(stdout).toMatch(/^ {2}point-adrift: wants the operator's position$/m);
    expect(stdout).not.toMatch(/headwind-stall/);
    expect(status).toBe(0);
  });

  it("writes JSON, goes on after what cannot be read, and ends with 3", () => {
    put("empty.csv", "");
    const run = homeleg(["inspect", "--format", "json", "empty.csv", "gone.csv", "good.csv"], { cwd: folder });
    expect(run.status).toBe(3);
    expect(run.stderr).toBe("");
    expect(JSON.parse(run.stdout)).toMatchObject({
      format: "homeleg-inspection",
      format_version: 1,
      config: [{ path: "homeleg.yaml" }],
      logs: [
        { path: "empty.csv", parser: null, problems: [{ code: "log-empty" }] },
        { path: "gone.csv", parser: null, problems: [{ code: "path-unusable" }] },
        { path: "good.csv", parser: "csv", dialect: { delimiter: "," }, flights: [{ index: 1, airborne_s: 120 }] },
      ],
    });
  });

  it("takes what columns: says, from a set too, and reads standard input", () => {
    const args = ["inspect", "--set", 'columns.height={ column: "Up", unit: "ft" }', "--output", "report.txt", "-"];
    const run = homeleg(args, { cwd: folder, input: readFileSync(join(folder, "own.csv")) });
    expect([run.status, run.stdout, run.stderr]).toEqual([0, "", ""]);
    expect(readFileSync(join(folder, "report.txt"), "utf8")).toMatch(/^ {2}Up +height +ft +100 % {2}0 to 12\.19 m$/m);
  });

  it("ends with 2 where the settings are wrong, which standard error says", () => {
    put("broken/homeleg.yaml", "wnd: {}\n");
    put("broken/good.csv", csvOf(good));
    const run = homeleg(["inspect", "broken/good.csv", "good.csv"], { cwd: folder });
    expect(run.status).toBe(2);
    expect(run.stderr).toMatch(/broken\/homeleg\.yaml:1:1/);
    expect(run.stdout).toMatch(/^broken\/good\.csv {2}not read$/m);
    expect(run.stdout).toMatch(/^good\.csv$/m);
  });
});
