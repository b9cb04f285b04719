import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { withOutputs } from "../../docs/console.mjs";

const page = (...lines: string[]): string => `# A page\n\n${lines.join("\n")}\n`;
const typed = (...lines: string[]): string => ["```console", ...lines, "```"].join("\n");

describe("outputs of a page", () => {
  it("are put under each command, in place of what stood there", () => {
    expect(withOutputs(page(typed("$ echo one", "stale", "stale too", "$ true", "$ echo two; echo three >&2")))).toBe(
      page(typed("$ echo one", "one", "$ true", "$ echo two; echo three >&2", "two", "three")),
    );
  });

  it("come from one shell, in a folder with what a clone has", () => {
    const shown = withOutputs(
      page(
        typed("$ ls", "$ mkdir a && cd a", "$ alias show=cat"),
        "",
        "<!-- file: b.yaml -->",
        "",
        "```yaml",
        "key: $HOME 'quoted'",
        "```",
        "",
        typed("$ show b.yaml", "$ false", "$ echo $?"),
      ),
    );
    expect(shown).toContain(typed("$ ls", "bin", "fixtures", "$ mkdir a && cd a", "$ alias show=cat"));
    expect(shown).toContain(typed("$ show b.yaml", "key: $HOME 'quoted'", "$ false", "$ echo $?", "1"));
  });

  it("are not made for other blocks, and a page that ends its shell is told", () => {
    const other = page("```sh", "$ echo one", "```");
    expect(withOutputs(other)).toBe(other);
    expect(() => withOutputs(page(typed("$ exit 3", "$ echo late")))).toThrow(/ended early \(3\)/);
  });
});

describe("the tutorial", () => {
  const tutorial = readFileSync("docs/tutorial.md", "utf8");

  it("goes all the way: each command of the way is typed, and met at the end", () => {
    for (const command of ["inspect", "audit", "init", "inspect --site", "rehearse", "advise", "signoff"]) {
      expect(tutorial).toMatch(new RegExp(`^\\$ homeleg ${command} `, "m"));
    }
    expect(tutorial).toMatch(/^SIGN-OFF MET$/m);
    expect(tutorial).toMatch(/^survey\.csv was changed\.$/m);
  });

  it("has no output that is a complaint of the shell or of the program", () => {
    expect(tutorial).not.toMatch(/^(homeleg|bash|cat|cp|head|sed|grep|ls): |not found|No such file|\bat file:/m);
  });
});
