import { describe, expect, it } from "vitest";
import { markdownReport } from "../../src/reporters/markdown.js";
import { hostileLog, UNSAFE } from "../helpers/hostile.js";
import { LATE, LATE_FIXED, logOf, runOf, THIRSTY } from "../helpers/run.js";

const late = logOf(LATE_FIXED, THIRSTY);

describe("markdownReport", () => {
  const text = markdownReport(runOf([late]), { units: "metric" });

  it("has verdict, score and its sum, findings, what was given, and cautions", () => {
    const flight = late.flights[0];
    expect(text).toContain(`### Flight 1: FAIL, score ${flight?.score} of 100, coverage`);
    for (const [rule, points] of Object.entries(flight?.points_lost ?? {})) {
      expect(text).toContain(`| ${rule} | -${points.toFixed(2)} |`.replace("| -", "| \\-"));
    }
    expect(text).toMatch(/^\| FAIL \| reserve-short \| .* \|$/m);
    expect(text).toMatch(/^\| settings\.recovery\\_height \| 50 m \| declared \| .* \|$/m);
    expect(text).toMatch(/^\| aircraft\.speeds\.climb \| 3 m\/s \| assumed \| project default \|$/m);
    expect(text).toMatch(/It gives advice, not clearance/);
  });

  it("says what could not be assessed", () => {
    const bare = markdownReport(
      runOf([
        logOf(
          LATE.map(({ battery_pct: _, ...row }) => row),
          {},
        ),
      ]),
      { units: "metric" },
    );
    expect(bare).toMatch(/^\| reserve-short \| all of the time \| battery percent in the log.* \|$/m);
    expect(bare).toMatch(/no score for want of coverage/);
  });

  it("gives climb rates in feet a minute in imperial units, winds and air speeds in knots", () => {
    const imperial = markdownReport(runOf([late]), { units: "imperial" });
    expect(imperial).toMatch(/aircraft\.speeds\.climb \| 591 ft\/min/);
    expect(imperial).toMatch(/aircraft\.speeds\.recovery \| 20\.7 kt/);
  });

  it("keeps every table whole and every text harmless", () => {
    const hostile = markdownReport(runOf([hostileLog(late)]), { units: "metric" });
    expect(hostile).not.toMatch(UNSAFE);
    expect(hostile).not.toMatch(/<script|<img|\]\(|https:\/\/|(?<!\\)`c/);
    expect(hostile.split("\n").filter((line) => line.startsWith("# h"))).toEqual([]);
    const columns = (line: string): number => line.replaceAll("\\\\", "").replaceAll("\\|", "").split("|").length;
    const rows = hostile.split("\n").filter((line) => line.startsWith("| "));
    rows.forEach((row, i) => {
      if (rows[i - 1] !== undefined && hostile.includes(`${rows[i - 1]}\n${row}`)) {
        expect(columns(row)).toBe(columns(rows[i - 1] ?? ""));
      }
    });
  });
});
