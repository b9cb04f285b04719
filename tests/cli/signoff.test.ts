import { appendFileSync, copyFileSync, cpSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { homeleg, temporaryFolder } from "../helpers/cli.js";

const DEMO = fileURLToPath(new URL("../../fixtures/demo", import.meta.url));
const GOOD = "1-clean-survey.csv";
/** The one good flight of the demo, of five minutes, as all that is asked for. */
const ASKED = ["flights=1", "minutes=5"].flatMap((one) => ["--set", `policy.signoff.${one}`]);
const BASE = ["--policy", "homeleg.yaml", "--as-of", "2025-06-01", ...ASKED];

/** A folder of its own with the demo's flights and site. */
function demoFolder(): string {
  const folder = temporaryFolder();
  cpSync(DEMO, folder, { recursive: true });
  return folder;
}

const cwd = demoFolder();
const signoff = (...args: string[]) => homeleg(["signoff", ...args], { cwd });

/** Ids of the requirements that are not met. */
function unmet(stdout: string): string[] {
  const { requirements } = JSON.parse(stdout) as { requirements: { id: string; met: boolean }[] };
  return requirements.flatMap(({ id, met }) => (met ? [] : [id]));
}

describe("a sign-off", () => {
  test("is met by a flight that meets every requirement", () => {
    const { status, stdout, stderr } = signoff(GOOD, ...BASE, "--trainee", "Sample, A.", "--instructor", "B. Sample");
    expect(stderr).toBe("");
    expect(stdout).toMatch(/^SIGN-OFF MET\nAs of 2025-06-01, under homeleg\.yaml: 1 flight in 1 log\.\n/);
    expect(stdout).toContain("Trainee     Sample, A.");
    expect(stdout).toContain("advice, not\nclearance");
    expect(status).toBe(0);
  });

  test.each<[string, string[], string[], number]>([
    ["too few flights", [GOOD, "--set", "policy.signoff.flights=2"], ["flights"], 1],
    ["an old one", [GOOD, "--as-of", "2025-08-16"], ["within"], 1],
    ["a low score", [GOOD, "2-walked-away.csv"], ["score"], 1],
    [
      "a rule that is not clear",
      [
        GOOD,
        "2-walked-away.csv",
        "--set",
        "policy.signoff.score=0",
        "--set",
        "policy.signoff.must_be_clear=[point-adrift]",
      ],
      ["must-be-clear"],
      1,
    ],
    [
      "low coverage",
      [
        GOOD,
        "--set",
        "rules.fix-weak.off=no such column",
        "--set",
        "rules.point-adrift.off=nobody knows",
        "--set",
        "policy.signoff.score=0",
      ],
      ["coverage"],
      1,
    ],
    ["a copy", [GOOD, "copy.csv", "--set", "policy.signoff.flights=2"], ["flights"], 1],
    ["a log that cannot be read", [GOOD, "nowhere.csv"], ["logs-read"], 3],
  ])("refuses %s", (_, args, ids, code) => {
    copyFileSync(join(cwd, GOOD), join(cwd, "copy.csv"));
    const { status, stdout } = signoff(...BASE, ...args, "--format", "json");
    expect(unmet(stdout)).toEqual(ids);
    expect(status).toBe(code);
  });

  test("takes the day of today where none is given, and says so in the record", () => {
    const { stdout } = signoff(GOOD, "--policy", "homeleg.yaml", ...ASKED, "--format", "json");
    const { as_of } = JSON.parse(stdout) as { as_of: string };
    expect(Math.abs(Date.parse(as_of) - Date.now())).toBeLessThan(2 * 86_400_000);
    expect(unmet(stdout)).toEqual(["within"]);
  });

  test("a flight given under another name too counts once", () => {
    copyFileSync(join(cwd, "5-bare-track.gpx"), join(cwd, "again.gpx"));
    const { stdout } = signoff("5-bare-track.gpx", "again.gpx", ...BASE, "--format", "json");
    expect(JSON.parse(stdout)).toMatchObject({ totals: { flights: 1, copies: 1 } });
  });

  test.each([
    [["--as-of", "2025-02-30"], "day such as 2026-05-20"],
    [["--policy", "nowhere.yaml"], "nowhere.yaml"],
    [["--set", "policy.signoff.flight=2"], "flights"],
    [["--output", GOOD], "would be written over the log"],
  ])("says what is wrong with %s", (args, words) => {
    const { status, stdout, stderr } = signoff(GOOD, ...args);
    expect(stderr).toContain(words);
    expect(stderr).not.toContain("    at ");
    expect(stdout).toBe("");
    expect(status).toBe(2);
  });

  test("writes several formats into a folder, and text beside them to standard output", () => {
    const { status, stdout, stderr } = signoff(
      GOOD,
      ...BASE,
      "--format",
      "text,json,markdown,html",
      "--output",
      "all/",
    );
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
    expect(stdout).toMatch(/^SIGN-OFF MET\n/);
    const written = (name: string): string => readFileSync(join(cwd, "all", name), "utf8");
    const { digest } = JSON.parse(written("signoff.json")) as { digest: string };
    expect(written("signoff.md")).toContain(`\`${digest}\``);
    expect(written("signoff.html")).toContain(digest);
  });

  test("says that several formats want a folder", () => {
    expect(signoff(GOOD, ...BASE, "--format", "json,html")).toMatchObject({ status: 2, stdout: "" });
    expect(signoff(GOOD, ...BASE, "--format", "pdf").stderr).toContain("There are text, json, markdown, html.");
  });

  test("asks for logs", () => {
    expect(signoff()).toMatchObject({ status: 2, stdout: "" });
  });
});

describe("a record verified", () => {
  const whole = demoFolder();
  const made = homeleg(["signoff", GOOD, ...BASE, "--format", "json", "--output", "record.json"], { cwd: whole });

  /** A folder of its own with the flights, the site and the record. */
  const written = (): { folder: string; verify: (record?: string) => ReturnType<typeof homeleg> } => {
    const folder = temporaryFolder();
    cpSync(whole, folder, { recursive: true });
    return { folder, verify: (record = "record.json") => homeleg(["signoff", "--verify", record], { cwd: folder }) };
  };
  const edit = (path: string, change: (text: string) => string): void =>
    writeFileSync(path, change(readFileSync(path, "utf8")));

  test("holds while nothing was changed", () => {
    expect(made).toMatchObject({ status: 0, stdout: "" });
    expect(written().verify()).toEqual({
      status: 0,
      stdout: "Everything that record.json names is as it was.\nThe sign-off is met, as of 2025-06-01.\n",
      stderr: "",
    });
  });

  test("says which files were changed, and which log is gone", () => {
    const { folder, verify } = written();
    for (const file of [GOOD, "hill.asc", "obstacles.geojson"]) appendFileSync(join(folder, file), "\n");
    appendFileSync(join(folder, "homeleg.yaml"), "\n# a word\n");
    const { status, stdout } = verify();
    for (const file of [GOOD, "hill.asc", "obstacles.geojson", "homeleg.yaml"]) {
      expect(stdout).toContain(`${file} was changed.`);
    }
    expect(status).toBe(1);
    rmSync(join(folder, GOOD));
    expect(verify().stdout).toContain(`${GOOD} can no longer be read`);
  });

  test("says that the record was changed, and what it should be", () => {
    const { folder, verify } = written();
    edit(join(folder, "record.json"), (text) =>
      text.replace(/"score": \d+,\n(\s+)"coverage"/, '"score": 99,\n$1"coverage"'),
    );
    const { status, stdout } = verify();
    expect(stdout).toContain("The record itself was changed after it was written.");
    expect(stdout).toContain(
      `${GOOD} is unchanged, but comes out otherwise than the record says (score 99 in the record, 100`,
    );
    expect(status).toBe(1);
  });

  test("a record of a sign-off that was not met never passes", () => {
    const { folder, verify } = written();
    const args = ["2-walked-away.csv", ...BASE, "--format", "json", "--output", "low.json"];
    expect(homeleg(["signoff", ...args], { cwd: folder }).status).toBe(1);
    expect(verify("low.json")).toMatchObject({
      status: 1,
      stdout: "Everything that low.json names is as it was.\nThe sign-off is not met, as of 2025-06-01.\n",
    });
  });

  test.each([
    ["[]", "no record of a sign-off"],
    ["{", "no JSON"],
    ['{"format":"homeleg-signoff","format_version":2}', "version 2"],
    ['{"format":"homeleg-signoff","format_version":1,"logs":[{}]}', "lacks"],
  ])("refuses %s", (text, words) => {
    const { folder, verify } = written();
    writeFileSync(join(folder, "record.json"), text);
    const { status, stdout, stderr } = verify();
    expect(stderr).toMatch(/^homeleg: record\.json {2}|^record\.json {2}/);
    expect(stderr).toContain(words);
    expect({ status, stdout }).toEqual({ status: 2, stdout: "" });
  });
});
