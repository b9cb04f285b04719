import { readFileSync } from "node:fs";
import { SaxesParser } from "saxes";
import { describe, expect, it } from "vitest";
import { validateXML } from "xmllint-wasm";
import { unreadLog, UserError } from "../../src/index.js";
import { junitReport } from "../../src/reporters/junit.js";
import { hostileLog, UNSAFE } from "../helpers/hostile.js";
import { LATE, LATE_FIXED, logOf, runOf, THIRSTY } from "../helpers/run.js";

const SCHEMA = readFileSync(new URL("junit.xsd", import.meta.url), "utf8");
const late = logOf(LATE_FIXED, THIRSTY);
const bare = logOf(
  LATE.map(({ battery_pct: _, ...row }) => row),
  {},
  "bare.csv",
);
const unread = unreadLog("gone.csv", new UserError("path-unusable", "There is no file gone.csv."));
const still = { ...late, path: "still.csv", flights: [] };

interface TestCase {
  readonly suite: string;
  readonly name: string;
  readonly outcome: string;
  readonly message: string;
  readonly out: string;
}

/** Reads the cases back with an XML parser. */
function casesIn(xml: string): TestCase[] {
  const cases: TestCase[] = [];
  let suite = "";
  let within = "";
  const parser = new SaxesParser();
  const last = (change: Partial<TestCase>): void => void cases.push({ ...cases.pop(), ...change } as TestCase);
  parser.on("opentag", ({ name, attributes }) => {
    within = name;
    if (name === "testsuite") suite = String(attributes["name"]);
    if (name === "testcase")
      cases.push({ suite, name: String(attributes["name"]), outcome: "passed", message: "", out: "" });
    if (["skipped", "failure", "error"].includes(name)) last({ outcome: name, message: String(attributes["message"]) });
  });
  parser.on("text", (text) => {
    if (within === "system-out" && text.trim() !== "") last({ out: text });
  });
  parser.write(xml).close();
  return cases;
}

describe("junitReport", () => {
  it("has a suite a log, a case a rule, and the gate of the run", () => {
    const cases = casesIn(junitReport(runOf([late, bare]), { gate: "fail" }));
    const rules = Object.keys(late.flights[0]?.coverage.rules ?? {});
    expect(cases.map(({ suite, name }) => `${suite}/${name}`)).toEqual([
      ...rules.map((rule) => `invented.csv/flight 1: ${rule}`),
      ...rules.map((rule) => `bare.csv/flight 1: ${rule}`),
      "gate of the run/gate",
    ]);
    expect(cases.at(-1)).toMatchObject({ outcome: "failure" });
  });

  it("fails a fail, passes a thin with what it says, and skips what is unknown with what it wants", () => {
    const outcomes = (xml: string): Map<string, TestCase> =>
      new Map(casesIn(xml).map((one) => [`${one.suite} ${one.name.replace("flight 1: ", "")}`, one]));
    const found = outcomes(junitReport(runOf([late, bare]), { gate: "fail" }));
    expect(found.get("invented.csv reserve-short")).toMatchObject({ outcome: "failure" });
    expect(found.get("invented.csv reserve-short")?.message).toMatch(/^fail: /);
    expect(found.get("invented.csv point-adrift")).toMatchObject({ outcome: "passed", out: "" });
    const unknown = found.get("bare.csv reserve-short");
    expect(unknown).toMatchObject({ outcome: "skipped" });
    expect(unknown?.message).toMatch(/^unknown: wants battery percent in the log/);
  });

  it("lets --gate thin fail what is thin", () => {
    const thin = {
      ...late,
      flights: late.flights.map((flight) => ({
        ...flight,
        findings: flight.findings.map((one) => ({ ...one, verdict: "thin" as const })),
      })),
    };
    const outcome = (gate: "fail" | "thin"): TestCase | undefined =>
      casesIn(junitReport(runOf([thin]), { gate })).find(({ name }) => name === "flight 1: reserve-short");
    expect(outcome("fail")).toMatchObject({ outcome: "passed" });
    expect(outcome("fail")?.out).toMatch(/^thin from /);
    expect(outcome("thin")).toMatchObject({ outcome: "failure" });
  });

  it("skips a question that did not arise, and one that is open for over 5 % of the time", () => {
    const withRule = (share: number | null, missing: number): typeof late => ({
      ...late,
      flights: late.flights.map((flight) => ({
        ...flight,
        coverage: { share: 1, rules: { "fix-weak": share } },
        findings: [],
        not_assessed: missing === 0 ? [] : [{ rule: "fix-weak", missing: ["more"], share: missing }],
      })),
    });
    const first = (log: typeof late): TestCase | undefined => casesIn(junitReport(runOf([log]), { gate: "fail" }))[0];
    expect(first(withRule(null, 0))).toMatchObject({
      outcome: "skipped",
      message: "n/a: the question does not arise in this flight",
    });
    expect(first(withRule(0.94, 0.06))).toMatchObject({ outcome: "skipped" });
    expect(first(withRule(0.95, 0.05))).toMatchObject({
      outcome: "passed",
      out: "unknown for a share of 0.05 of the time: wants more",
    });
    expect(first(withRule(1, 0))).toMatchObject({ outcome: "passed", out: "" });
  });

  it("has an error for a log that was not read, and a skip for one without a flight", () => {
    const [gone, empty] = casesIn(junitReport(runOf([unread, still]), { gate: "fail" }));
    expect(gone).toMatchObject({ suite: "gone.csv", outcome: "error", message: "There is no file gone.csv." });
    expect(empty).toMatchObject({ suite: "still.csv", outcome: "skipped" });
  });

  it("is accepted by the schema, hostile text and all, and its counts are right", async () => {
    const run = runOf([hostileLog(late), bare, unread, still]);
    const xml = junitReport(run, { gate: "fail" });
    expect(xml).not.toMatch(UNSAFE);
    expect(xml).not.toMatch(/<script|<img/);
    const { valid, errors } = await validateXML({ xml: { fileName: "junit.xml", contents: xml }, schema: SCHEMA });
    expect(errors).toEqual([]);
    expect(valid).toBe(true);
    const cases = casesIn(xml);
    const count = (outcome: string): number => cases.filter((one) => one.outcome === outcome).length;
    expect(xml).toContain(
      `<testsuites name="homeleg" tests="${cases.length}" failures="${count("failure")}" errors="${count("error")}">`,
    );
  });

  it("would be refused by the schema with a mistake in it", async () => {
    const xml = junitReport(runOf([late]), { gate: "fail" }).replace("<testcase name=", "<testcase nome=");
    const { valid } = await validateXML({ xml: { fileName: "junit.xml", contents: xml }, schema: SCHEMA });
    expect(valid).toBe(false);
  });
});
