import { execFileSync, spawn, spawnSync } from "node:child_process";
import { chmodSync, mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { findLogs } from "../../src/cli/find-logs.js";
import { bytesOf } from "../../src/cli/log-bytes.js";
import { auditLog, loadSetting } from "../../src/index.js";
import { homeleg, PROGRAM, temporaryFolder } from "../helpers/cli.js";
import { lineOf } from "./line-of.js";

const folder = temporaryFolder();
const isRoot = process.getuid?.() === 0;
const LOG = "time_s,latitude_deg,longitude_deg\n0,47.1,8.2\n1,47.1,8.2\n";

async function textOf(path: string): Promise<string> {
  const blocks: Uint8Array[] = [];
  for await (const block of bytesOf(path)) blocks.push(block);
  return Buffer.concat(blocks).toString();
}

describe("what is no file", () => {
  it.each([
    ["a device without end", "/dev/zero", "/dev/zero cannot be read (a device)."],
    ["an empty device", "/dev/null", "/dev/null cannot be read (a device)."],
    ["a folder", folder, `${folder} cannot be read (a folder).`],
    ["a link to itself", join(folder, "round"), `${join(folder, "round")} cannot be read (ELOOP).`],
  ])("%s: one line, at once", async (_label, path, line) => {
    if (path.endsWith("round")) symlinkSync("round", path);
    expect(await lineOf(textOf(path))).toBe(`${line} Check that the file is still there and that you may read it.`);
  });

  it("a pipe that nobody writes to: one line, after a moment", async () => {
    const pipe = join(folder, "silent");
    execFileSync("mkfifo", [pipe]);
    expect(await lineOf(textOf(pipe))).toMatch(/silent cannot be read \(a pipe that nothing writes to\)\./);
  });

  it("a pipe that somebody writes to, now and then, is read to its end", async () => {
    const pipe = join(folder, "slow");
    execFileSync("mkfifo", [pipe]);
    spawn("sh", ["-c", `sleep 0.2; { printf 'a,b\\n'; sleep 0.2; printf '1,2\\n'; } > "$0"`, pipe]);
    expect(await textOf(pipe)).toBe("a,b\n1,2\n");
  });
});

describe("a stream without end", () => {
  it.each([
    ["of nothing", "\0", "log-empty"],
    ["of rows", "0,47.1,8.2\n", "log-no-header"],
    ["of a log", `${LOG}${"1,47.1,8.2\n".repeat(5000)}`, "log-too-big"],
  ])("%s: the log is refused, and the stream closed", async (_label, text, code) => {
    let isClosed = false;
    function* endless(): Generator<Uint8Array> {
      try {
        for (const block = Buffer.from(text.repeat(Math.ceil(65_536 / text.length))); ;) yield block;
      } finally {
        isClosed = true;
      }
    }
    const setting = await loadSetting({ sets: ["reading.log=3 MB"] });
    const { result } = await auditLog(endless(), setting, { path: "-" });
    expect(result.problems.map((problem) => problem.code)).toEqual([code]);
    expect(result.bytes).toBeLessThan(4e6);
    expect(isClosed).toBe(true);
  });
});

describe("names and folders that are odd", () => {
  it("a name that is not UTF-8: told, and the logs beside it are audited", async () => {
    const odd = join(folder, "odd");
    mkdirSync(odd);
    writeFileSync(join(odd, "good.csv"), LOG);
    writeFileSync(Buffer.concat([Buffer.from(`${odd}/caf`), Buffer.of(0xe9), Buffer.from(".csv")]), LOG);
    const found = await findLogs([odd]);
    expect(found.map(({ path, error }) => [path, error?.line])).toEqual([
      [
        `${odd}/caf\uFFFD.csv`,
        `There is no file or folder ${odd}/caf\uFFFD.csv. Its name is not UTF-8: give it another one.`,
      ],
      [`${odd}/good.csv`, undefined],
    ]);
  });

  it("a name that begins with a dash, or is one: a file like any other", () => {
    const dashes = join(folder, "dashes");
    mkdirSync(join(dashes, "-"), { recursive: true });
    writeFileSync(join(dashes, "--version.csv"), LOG);
    writeFileSync(join(dashes, "-", "-o.csv"), LOG);
    const run = homeleg(["audit", "--format", "json", "--", ".", "./-"], { cwd: dashes });
    const { logs } = JSON.parse(run.stdout) as { logs: { path: string; parser: string | null }[] };
    expect(logs.map(({ path, parser }) => [path, parser])).toEqual([
      ["-/-o.csv", "csv"],
      ["--version.csv", "csv"],
    ]);
  });

  it("a folder inside of itself is searched once", async () => {
    const round = join(folder, "rounds");
    mkdirSync(join(round, "a"), { recursive: true });
    writeFileSync(join(round, "a", "x.csv"), LOG);
    symlinkSync(round, join(round, "a", "up"));
    symlinkSync("nowhere", join(round, "a", "gone.csv"));
    expect((await findLogs([round])).map(({ path }) => path)).toEqual([join(round, "a", "x.csv")]);
  });

  it("a folder that may not be read: told, and the others are searched", () => {
    const shut = join(folder, "shut");
    mkdirSync(join(shut, "closed"), { recursive: true });
    writeFileSync(join(shut, "open.csv"), LOG);
    chmodSync(join(shut, "closed"), 0);
    for (const path of [folder, shut]) chmodSync(path, 0o755);
    const { stdout } = spawnSync(process.execPath, [PROGRAM, "audit", "--format", "json", shut], {
      encoding: "utf8",
      // Nothing is closed to root.
      ...(isRoot ? { uid: 65_534, gid: 65_534 } : {}),
    });
    chmodSync(join(shut, "closed"), 0o755);
    const { logs } = JSON.parse(stdout) as { logs: { path: string; problems: { message: string }[] }[] };
    expect(logs.map(({ path }) => path)).toEqual([join(shut, "closed"), join(shut, "open.csv")]);
    expect(logs[0]?.problems[0]?.message).toMatch(/^Cannot look at \(EACCES\) /);
  });
});
