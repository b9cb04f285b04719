import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { homeleg, temporaryFolder } from "../helpers/cli.js";

const DEMO = fileURLToPath(new URL("../../fixtures/demo/", import.meta.url));

describe("audit --format html", () => {
  const cwd = temporaryFolder();
  mkdirSync(join(cwd, "logs"));
  for (const name of [
    "homeleg.yaml",
    "hill.asc",
    "obstacles.geojson",
    "1-clean-survey.csv",
    "3-behind-the-ridge.csv",
  ]) {
    copyFileSync(join(DEMO, name), join(cwd, "logs", name));
  }
  const clean = "logs/1-clean-survey.csv";

  it("writes the page of one log to standard output, and nothing else", () => {
    const { status, stdout, stderr } = homeleg(["audit", clean, "--format", "html"], { cwd });
    expect([status, stderr]).toEqual([0, ""]);
    expect(stdout).toMatch(/^<!doctype html>[^]*<\/html>\n$/);
    expect(stdout).toContain("logs/1-clean-survey.csv · flight audit</title>");
  });

  it("writes one page into a name that ends in .html", () => {
    const { status, stdout } = homeleg(["audit", clean, "--format", "html", "--output", "one.html"], { cwd });
    expect([status, stdout]).toEqual([0, ""]);
    expect(readFileSync(join(cwd, "one.html"), "utf8")).toMatch(/^<!doctype html>/);
  });

  it("writes an index and a page for each log into a folder, unread logs too", () => {
    writeFileSync(join(cwd, "logs", "empty.csv"), "");
    const { status, stdout } = homeleg(["audit", "logs", "--format", "html", "--output", "out/report"], { cwd });
    expect([status, stdout]).toEqual([3, ""]);
    expect(readdirSync(join(cwd, "out", "report")).sort()).toEqual([
      "index.html",
      "logs_1-clean-survey.csv.html",
      "logs_3-behind-the-ridge.csv.html",
      "logs_empty.csv.html",
    ]);
    const index = readFileSync(join(cwd, "out", "report", "index.html"), "utf8");
    expect(index.indexOf("empty.csv")).toBeLessThan(index.indexOf("ridge.csv"));
    expect(index.indexOf("ridge.csv")).toBeLessThan(index.indexOf("survey.csv"));
  });

  it.each([[[]], [["--output", "several.html"]]])("asks for a folder where there are several logs: %j", (more) => {
    const { status, stdout, stderr } = homeleg(["audit", "logs", "--format", "html", ...more], { cwd });
    expect([status, stdout]).toEqual([2, ""]);
    expect(stderr).toMatch(/logs make \d pages and an index\. Give --output the name of a folder/);
    expect(existsSync(join(cwd, "several.html"))).toBe(false);
  });

  it("writes no page over a log", () => {
    copyFileSync(join(cwd, clean), join(cwd, "index.html"));
    const before = readFileSync(join(cwd, "index.html"), "utf8");
    const { status, stderr } = homeleg(["audit", "index.html", "--format", "html", "--output", "."], { cwd });
    expect(status).toBe(2);
    expect(stderr).toContain("would be written over the log");
    expect(readFileSync(join(cwd, "index.html"), "utf8")).toBe(before);
  });

  it("says so where the folder cannot be made", () => {
    const { status, stderr } = homeleg(["audit", clean, "--format", "html", "--output", `${clean}/report`], { cwd });
    expect(status).toBe(2);
    expect(stderr).toMatch(/Cannot make the folder|Cannot write/);
    expect(stderr).not.toContain("bug in homeleg");
  });
});
