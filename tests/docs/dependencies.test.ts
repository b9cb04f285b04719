import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";

interface Manifest {
  readonly dependencies: Readonly<Record<string, string>>;
  readonly devDependencies: Readonly<Record<string, string>>;
}

const { dependencies, devDependencies } = JSON.parse(readFileSync("package.json", "utf8")) as Manifest;
const [, section = ""] = /\n## Dependencies\n([^]*?)\n## /.exec(readFileSync("DEVELOPERS.md", "utf8")) ?? [];
const heads = [...section.matchAll(/^\| (`.*?) +\| (.*?) +\|$/gm)];
const inTable = heads.flatMap(([, names = ""]) => [...names.matchAll(/`([^`]+)`/g)].map(([, name]) => name));

describe("dependencies", () => {
  it("have a row with their reason in DEVELOPERS.md, and no row is left of one that is gone", () => {
    expect(new Set(inTable)).toEqual(new Set(Object.keys(dependencies)));
    for (const [, names, why] of heads) expect(why?.length, names).toBeGreaterThan(5);
  });

  it("are named there too where only development needs them", () => {
    const prose = section.slice(section.indexOf("For development"));
    expect(Object.keys(devDependencies).filter((name) => !prose.includes(`\`${name}\``))).toEqual([]);
  });

  it("have exact versions", () => {
    const all = Object.entries({ ...dependencies, ...devDependencies });
    expect(all.filter(([, version]) => !/^\d+\.\d+\.\d+$/.test(version))).toEqual([]);
  });
});
