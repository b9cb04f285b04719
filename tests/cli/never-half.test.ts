import { execFileSync, spawn, spawnSync } from "node:child_process";
import { chmodSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { afterAll, describe, expect, it } from "vitest";
import { auditLog, loadSetting, UserError } from "../../src/index.js";
import { MomentsFile, momentsPlace } from "../../src/cli/moments-file.js";
import { writeWhole } from "../../src/cli/write-file.js";
import { homeleg, PROGRAM, temporaryFolder } from "../helpers/cli.js";
import { csvOf } from "../helpers/csv.js";
import { LATE } from "../helpers/run.js";
import { lineOf } from "../security/line-of.js";

const folder = temporaryFolder();
const LOG = csvOf(LATE);
writeFileSync(join(folder, "late.csv"), LOG);
const isRoot = process.getuid?.() === 0;

/** A disk of 256 kB; only root may make one. */
const disk = isRoot ? mountedDisk() : undefined;
afterAll(() => {
  if (disk !== undefined) execFileSync("umount", [disk]);
});

function mountedDisk(): string | undefined {
  const place = join(folder, "disk");
  mkdirSync(place);
  const { status } = spawnSync("mount", ["-t", "tmpfs", "-o", "size=256k", "tmpfs", place]);
  return status === 0 ? place : undefined;
}

const partsIn = (place: string): string[] => readdirSync(place).filter((name) => name.includes(".part"));

describe("an output that does not get whole", () => {
  it("is not there, and what was there before is as it was", async () => {
    const path = join(folder, "kept.txt");
    writeFileSync(path, "before");
    function* broken(): Generator<string> {
      yield "half of ";
      throw new Error("no more");
    }
    await expect(writeWhole(path, broken())).rejects.toThrow("no more");
    expect(readFileSync(path, "utf8")).toBe("before");
    expect(partsIn(folder)).toEqual([]);
  });

  // Without root no disk of a known size can be made; /dev/full below stands for it.
  it.skipIf(disk === undefined)("on a full disk: one line, and nothing half", async () => {
    const path = join(disk ?? "", "report.json");
    writeFileSync(path, "before");
    expect(await lineOf(writeWhole(path, ["x".repeat(200_000), "x".repeat(200_000)]))).toBe(
      `Cannot write ${path} (ENOSPC). Nothing was left there; choose another place.`,
    );
    expect(readFileSync(path, "utf8")).toBe("before");
    expect(partsIn(disk ?? "")).toEqual([]);
  });

  it.skipIf(disk === undefined)("the moments on a full disk: one line, and nothing half", async () => {
    const path = join(disk ?? "", "moments.csv");
    const { flights } = await auditLog(Buffer.from(LOG), await loadSetting(), { path: "late.csv" });
    const file = new MomentsFile(momentsPlace(path));
    const writing = (async () => {
      for (let k = 0; k < 40; k += 1) {
        await file.add("late.csv", flights);
        await wait(5);
      }
      await file.close();
    })();
    expect(await lineOf(writing)).toBe(
      `Cannot write ${path} (ENOSPC). Nothing was left there; choose another place with --moments.`,
    );
    expect(readdirSync(disk ?? "")).not.toContain("moments.csv");
    expect(partsIn(disk ?? "")).toEqual([]);
  });

  it("on a device that is full: one line", async () => {
    expect(await lineOf(writeWhole("/dev/full", ["x"]))).toMatch(/^Cannot write \/dev\/full \(ENOSPC\)\./);
  });

  it("where nobody may write: one line, and nothing half", () => {
    const shut = join(folder, "shut");
    mkdirSync(shut);
    chmodSync(shut, 0o555);
    chmodSync(folder, 0o755);
    const args = [PROGRAM, "audit", "--output", join(shut, "report.txt"), join(folder, "late.csv")];
    // Root may write anywhere.
    const run = spawnSync(process.execPath, args, {
      encoding: "utf8",
      ...(isRoot ? { uid: 65_534, gid: 65_534 } : {}),
    });
    expect(run.stderr).toBe(
      `homeleg: Cannot write ${join(shut, "report.txt")} (EACCES). Nothing was left there; choose another place.\n`,
    );
    expect(run.status).toBe(2);
    expect(readdirSync(shut)).toEqual([]);
  });
});

describe("standard output", () => {
  const shell = (script: string): ReturnType<typeof spawnSync> & { stderr: string } =>
    spawnSync("bash", ["-c", script, process.execPath, PROGRAM, "late.csv"], { cwd: folder, encoding: "utf8" });

  it("on a device that is full: one line, and exit code 2", () => {
    const { status, stderr } = shell('"$0" "$1" audit "$2" > /dev/full');
    expect(stderr).toBe("homeleg: Standard output: There is no space left to write to (ENOSPC).\n");
    expect(status).toBe(2);
  });

  it("of which nobody reads the rest: quiet, and the exit code of the audit", () => {
    const script =
      '{ "$0" "$1" audit --format json "$2"; echo $? > status; } | true; while ! [ -s status ]; do sleep 0.1; done; cat status';
    const { stdout, stderr } = shell(script);
    expect(stderr).toBe("");
    expect(stdout).toMatch(/^[01]\n$/);
  });

  it("and error closed both: no stack anywhere", () => {
    const { stdout } = shell('{ "$0" "$1" audit nowhere.csv 2>&1; echo $? > code; } | true; sleep 1; cat code');
    expect(stdout).toBe("3\n");
  });
});

it("no more files may be opened: one line", () => {
  // Node itself wants some; what is left is not enough for a thousand terrain files at a time.
  const tiles = Array.from({ length: 400 }, (_, k) => `t${k}.asc`);
  const grid = "ncols 2\nnrows 2\nxllcorner 8\nyllcorner 47\ncellsize 0.001\n1 2 3 4\n";
  mkdirSync(join(folder, "tiles"));
  for (const tile of tiles) writeFileSync(join(folder, "tiles", tile), grid);
  writeFileSync(join(folder, "tiles", "homeleg.yaml"), `site: { terrain: [ ${tiles.join(", ")} ] }`);
  writeFileSync(join(folder, "tiles", "late.csv"), LOG);
  const run = spawnSync("bash", ["-c", 'ulimit -n 120; "$0" "$1" audit tiles/late.csv', process.execPath, PROGRAM], {
    cwd: folder,
    encoding: "utf8",
  });
  expect(run.stderr.trimEnd().split("\n")).toEqual([
    expect.stringMatching(/^homeleg: tiles\/homeleg\.yaml:1 {2}The file tiles\/t\d+\.asc cannot be read \(EMFILE\)\./),
  ]);
  expect(run.status).toBe(2);
});

describe.each(["SIGINT", "SIGTERM", "SIGHUP"] as const)("%s", (signal) => {
  it("leaves no file half written", async () => {
    const place = join(folder, signal);
    mkdirSync(place);
    const args = [PROGRAM, "audit", "--moments", "moments.csv", "--output", "report.txt", "../late.csv", "-"];
    const run = spawn(process.execPath, args, { cwd: place, stdio: ["pipe", "ignore", "pipe"] });
    const ended = new Promise<[number | null, NodeJS.Signals | null]>((resolve) =>
      run.on("exit", (code, by) => resolve([code, by])),
    );
    // Moments of the first log are being written, and the second one does not come to its end.
    run.stdin.write(LOG);
    while (partsIn(place).length === 0) await wait(20);
    run.kill(signal);
    await wait(200);
    // The first Ctrl-C asks for an early end, the second one is heeded at once.
    if (signal === "SIGINT") run.kill(signal);
    const [code, by] = await ended;
    expect(partsIn(place)).toEqual([]);
    // Between two logs, the first Ctrl-C ends the run with a report of what was finished.
    if (code === 130) expect(readdirSync(place)).toEqual(["moments.csv", "report.txt"]);
    else expect([by, ...readdirSync(place)]).toEqual([signal]);
  });
});

it("an error of the disk is for people, and a bug is not", async () => {
  const path = join(folder, "nowhere", "x.txt");
  await expect(writeWhole(path, ["x"])).rejects.toThrow(UserError);
  expect(homeleg(["audit", "--output", path, "late.csv"], { cwd: folder }).stderr).toMatch(
    /^homeleg: Cannot write .*\n$/,
  );
});
