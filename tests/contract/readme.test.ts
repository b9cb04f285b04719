import { readFileSync } from "node:fs";
import { parse } from "yaml";
import { describe, expect, it } from "vitest";
import { parseConfig } from "../../src/config/load-config.js";
import { homeleg } from "../helpers/cli.js";

const readme = readFileSync("README.md", "utf8");

/** Fenced blocks of a language. */
function blocks(language: string): string[] {
  return [...readme.matchAll(new RegExp(`^\`\`\`${language}\\n([\\s\\S]*?)^\`\`\`$`, "gm"))].map(
    ([, text]) => text ?? "",
  );
}

describe("the README", () => {
  it("opens with one paragraph that states the job", () => {
    const [title, job] = readme.split("\n\n");
    expect(title).toBe("# homeleg");
    expect(job).toMatch(/recovery/);
    expect(job).not.toMatch(/^([#|-]|```)/m);
  });

  it("shows real output", () => {
    const [example = ""] = blocks("console");
    const [command = "", ...shown] = example.trimEnd().split("\n");
    const args = command.replace("$ node bin/homeleg.js ", "").split(" ");
    expect(homeleg(args).stdout).toContain(shown.join("\n"));
  });

  it("shows settings that are accepted, with nothing unused", async () => {
    const yaml = blocks("yaml");
    expect(yaml.length).toBeGreaterThan(0);
    for (const text of yaml) {
      expect(parse(text)).toBeTypeOf("object");
      await expect(parseConfig(text, "README.md")).resolves.toBeDefined();
    }
  });

  it("carries the cautions", () => {
    for (const words of [
      /advice, not clearance/,
      /no legal or airworthiness approval/,
      /Local rules and licensed practice/,
    ]) {
      expect(readme).toMatch(words);
    }
  });

  it("says the trade's name for the manoeuvre once", () => {
    expect(readme.match(/return-to-home/g)).toHaveLength(1);
  });
});

describe("the demo", () => {
  it("shows all bundled flights: one clear, one strayed, one behind a ridge, one late, one with little in it", () => {
    const { status, stdout } = homeleg(["demo", "--quiet"]);
    expect(status).toBe(0);
    const lines = stdout.split("\n").filter((line) => /score +\S+ +coverage/.test(line));
    expect(lines.map((line) => line.replace(/ +/g, " ").replace(/(\d-[a-z-]+)\.(csv|gpx)/, "$1"))).toEqual([
      expect.stringMatching(/^CLEAR score 100 coverage 100 % .*1-clean-survey$/),
      expect.stringMatching(/^FAIL score \d+ coverage 100 % .*2-walked-away point-adrift$/),
      expect.stringMatching(/^FAIL score 59 coverage 100 % .*3-behind-the-ridge ceiling-low$/),
      expect.stringMatching(/^FAIL score \d+ coverage 100 % .*4-late-into-wind reserve-short turnback-late$/),
      expect.stringMatching(/^CLEAR\? score 100 coverage \d+ % .*5-bare-track$/),
    ]);
  });
});
