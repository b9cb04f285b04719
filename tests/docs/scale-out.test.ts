import { execFileSync, spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { delimiter, join } from "node:path";
import { describe, expect, it } from "vitest";
import { parse } from "yaml";
import { z } from "zod";
import { buildProgram } from "../../src/cli/program.js";
import { temporaryFolder } from "../helpers/cli.js";
import { namedBlocks } from "../helpers/doc-blocks.mjs";

const PAGE = "docs/scale-out.md";
const blocks = namedBlocks(PAGE);
const block = (name: string): string => blocks.get(name) ?? "";
/** Without its line breaks, since a sentence may break a command. */
const prose = readFileSync(PAGE, "utf8").replaceAll(/^ *```[^]*?^ *```$/gm, "");

/** Words of a command line, with the parameters of the script put in. */
function wordsOf(command: string): string[] {
  return command.replaceAll("$1", "3").replaceAll("$2", "8").replaceAll(/["']/g, "").split(/\s+/);
}

/** Command lines of homeleg in the scripts, and in the sentences. */
function commands(): string[] {
  const inScripts = [...blocks.values()].flatMap((text) => text.match(/^homeleg .*$/gm) ?? []);
  const inProse = [...prose.matchAll(/`(homeleg [^`]+)`/g)].map(([, command = ""]) => command);
  return [...inScripts, ...inProse];
}

describe("docs/scale-out.md", () => {
  it("gives commands whose options are there, and take what is given to them", async () => {
    const program = await buildProgram("0", "all");
    expect(commands().length).toBeGreaterThan(2);
    for (const line of commands()) {
      const [, name, ...words] = wordsOf(line);
      const command = program.commands.find((one) => one.name() === name);
      expect(command?.parseOptions(words).unknown, line).toEqual([]);
    }
  });

  it("speaks of options that are there", async () => {
    const program = await buildProgram("0", "all");
    const [general = "", ...sections] = prose.split(/^## (?=Slurm|GNU parallel|Kubernetes)/m);
    const after = sections.at(-1)?.slice(sections.at(-1)?.indexOf("\n## ")) ?? "";
    const options = [...`${general}${after}`.matchAll(/`(--[^`]+)`/g)].map(([, text = ""]) => wordsOf(text));
    expect(options.length).toBeGreaterThan(8);
    const audit = program.commands.find((one) => one.name() === "audit");
    const known = audit?.options.map(({ long }) => long);
    for (const [option, ...values] of options) {
      expect(known).toContain(option);
      if (values.length > 0) expect(audit?.parseOptions([option ?? "", ...values]).unknown).toEqual([]);
    }
  });

  it("lets verdicts pass in a part, and nothing else", () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, "part.sh"), block("part.sh"));
    const endings = [0, 1, 2, 3, 130, 137].map((status) => {
      writeFileSync(join(folder, "homeleg"), `#!/bin/sh\nexit ${status}\n`, { mode: 0o755 });
      const env = { PATH: [folder, process.env["PATH"]].join(delimiter) };
      return spawnSync("sh", ["part.sh", "3", "8"], { cwd: folder, env }).status;
    });
    expect(endings).toEqual([0, 0, 2, 0, 130, 137]);
  });

  it("gives every part the number of parts that there are", () => {
    const [, tasks, parts] = /--array=1-(\d+)$[^]*TASK_ID" (\d+)$/m.exec(block("array.sh")) ?? [];
    expect(Number(tasks)).toBeGreaterThan(1);
    expect(parts).toBe(tasks);
    const [, hosts, each] = /^seq (\d+) .* \{\} (\d+)$/m.exec(block("hosts.sh")) ?? [];
    expect(Number(hosts)).toBeGreaterThan(1);
    expect(each).toBe(hosts);
  });
});

const JOB = z.object({
  apiVersion: z.literal("batch/v1"),
  kind: z.literal("Job"),
  spec: z.object({
    completionMode: z.literal("Indexed"),
    completions: z.int().min(2),
    parallelism: z.int().min(1),
    podFailurePolicy: z.object({ rules: z.array(z.looseObject({ action: z.enum(["FailJob", "Ignore"]) })).length(2) }),
    template: z.object({
      spec: z.object({
        restartPolicy: z.literal("Never"),
        containers: z.tuple([
          z.object({
            name: z.string(),
            image: z.string().startsWith("example/homeleg:"),
            workingDir: z.string(),
            command: z.tuple([z.literal("sh"), z.literal("-c"), z.string()]),
            volumeMounts: z.tuple([z.object({ name: z.string(), mountPath: z.string() })]),
          }),
        ]),
        volumes: z.tuple([z.looseObject({ name: z.string() })]),
      }),
    }),
  }),
});

describe("the manifest of the Kubernetes Job", () => {
  const { spec } = JOB.parse(parse(block("job.yaml")));
  const pod = spec.template.spec;
  const [container] = pod.containers;

  it("starts every part once, of as many as it has completions", () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, "part.sh"), 'echo "$@"\n');
    const [shell, ...args] = container.command;
    const started = Array.from({ length: spec.completions }, (_, index) => {
      const env = { ...process.env, JOB_COMPLETION_INDEX: String(index) };
      return execFileSync(shell, args, { cwd: folder, env, encoding: "utf8" }).trim();
    });
    expect(started).toEqual(started.map((_, i) => `${i + 1} ${spec.completions}`));
    expect(spec.parallelism).toBeLessThanOrEqual(spec.completions);
  });

  it("works in the folder that is mounted, and gives up on wrong settings alone", () => {
    const [mount] = container.volumeMounts;
    expect(mount).toEqual({ name: pod.volumes[0].name, mountPath: container.workingDir });
    expect(spec.podFailurePolicy.rules[0]).toEqual({
      action: "FailJob",
      onExitCodes: { containerName: container.name, operator: "In", values: [2] },
    });
  });
});
