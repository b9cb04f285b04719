import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import { beforeAll, describe, expect, it } from "vitest";
import {
  auditLog,
  htmlSignoff,
  loadSetting,
  type LogResult,
  signedFiles,
  signoffMarkdown,
  signOff,
  type SignoffNotes,
  type SignoffRecord,
  signoffText,
  unreadLog,
  UserError,
} from "../../src/index.js";
import { HOSTILE, UNSAFE } from "../helpers/hostile.js";
import { DEMO, unescaped } from "../helpers/pages.js";
import { expectNumbersOf, numbersOf } from "../helpers/printed-numbers.js";
import { floored, PrintedText } from "../helpers/printed-text.js";

const LOOK = { color: 0, ascii: false, width: 80, units: "metric", quiet: false, explainScore: false } as const;

/** A record over the demo: met and not met, a copy, a log that could not be read, one without a flight. */
let record: SignoffRecord;
beforeAll(async () => {
  const setting = await loadSetting({ startFolder: "fixtures/demo", sets: ["policy.signoff.sites=1"] });
  const logs: LogResult[] = [];
  for (const path of [DEMO.clean, DEMO.ridge, DEMO.bare]) {
    logs.push((await auditLog(await readFile(path), setting, { path })).result);
  }
  const [first] = logs;
  if (first === undefined) throw new Error("the demo has logs");
  logs.push(
    { ...first, path: "again.csv" },
    { ...first, path: "empty.csv", flights: [] },
    unreadLog("gone.csv", new UserError("log-unreadable", "It is not there.")),
  );
  const notes: SignoffNotes = {
    asOf: "2025-06-01",
    trainee: "Sample, A.",
    instructor: undefined,
    remark: "second attempt",
    sets: ["policy.signoff.sites=1"],
    toolVersion: "0.0.0",
    files: await signedFiles(setting, process.cwd()),
  };
  record = signOff(logs, setting, notes);
}, 60_000);

/** Takes what text and Markdown say alike: words of the record, names, hashes. */
function takeWords(printed: PrintedText): void {
  const { requirements, cautions, logs, files, digest, sets, as_of } = record;
  printed.words(
    ...requirements.flatMap(({ message, exceptions }) => [message, ...exceptions]),
    ...cautions,
    ...logs.flatMap(({ sha256, unread }) => [sha256, unread ?? ""]),
    ...files.map(({ sha256 }) => sha256),
    digest,
    ...sets,
    `As of ${as_of}, under`,
    `Made by homeleg ${record.tool_version}`,
  );
  const { flights, logs: given, copies } = record.totals;
  printed.numbers(/(\d+) flights in (\d+) logs, (\d+) more recorded twice/, [flights, given, copies]);
}

const tenths = (minutes: number) => (text: string) => text === `${Math.floor(minutes * 10) / 10} min`;

describe("a sign-off", () => {
  it("prints no number in text that the record has not", () => {
    const printed = new PrintedText(signoffText(record, LOOK));
    takeWords(printed);
    const flights = record.logs.flatMap((log) => log.flights);
    const found = printed.numbers(
      /(\d{4}-\d\d-\d\d), ([\d.]+ min), score (\d+), coverage (\d+ %)/,
      ...flights.map(({ start_utc, airborne_s, score, coverage }) => [
        (text: string) => text === start_utc?.slice(0, 10),
        tenths(airborne_s / 60),
        score ?? Number.NaN,
        floored(coverage),
      ]),
    );
    expect(found).toBe(flights.length);
    printed.words(...record.logs.map(({ path }) => path));
    printed.done();
  });

  it("prints no number in Markdown that the record has not", () => {
    const plain = signoffMarkdown(record).replaceAll(/\\(?=[_+#*|])/g, "");
    const printed = new PrintedText(plain);
    takeWords(printed);
    for (const log of record.logs) {
      for (const { start_utc, airborne_s, score, coverage } of log.flights) {
        const cells = String.raw` \| (?:met|not met|copy) \| (\S+) \| ([\d.]+ min) \| (\d+) \| (\d+ %) \|`;
        const day = (text: string): boolean => text === start_utc?.slice(0, 10);
        const wanted = [day, tenths(airborne_s / 60), score ?? Number.NaN, floored(coverage)];
        expect(printed.numbers(new RegExp(log.path.replaceAll(/[.\\]/g, ".") + cells), wanted)).toBe(1);
      }
    }
    const { requirements } = record;
    expect(requirements.map(({ unit }) => unit)).toEqual(
      "logs flights min points 1 flights flights s sites".split(" "),
    );
    const values = requirements.map(({ id, unit, required, found }) => {
      const known = found ?? Number.NaN;
      if (unit === "1") return [required * 100, known * 100 - 0.05];
      if (unit === "min") return [required * 60, (known - 0.05) * 60];
      return id === "within" ? [required / 86_400, Math.ceil(known / 86_400) - 1] : [required, known];
    });
    const number = String.raw`([\d.]+(?: %| min)?)(?: [a-z]+)?`;
    const rows = printed.numbers(new RegExp(`\\| ¶ \\| ${number} \\| (?:[a-z]+ )?${number} \\|`), ...values);
    expect(rows).toBe(requirements.length);
    for (const { latitude_deg, longitude_deg, flights, minutes } of record.sites) {
      printed.numbers(/\| (-?\d+\.\d{5}) \| (-?\d+\.\d{5}) \| (\d+) \| ([\d.]+ min) \|/, [
        latitude_deg,
        longitude_deg,
        flights,
        tenths(minutes),
      ]);
    }
    printed.words(...record.logs.map(({ path }) => path), "SHA-256");
    printed.done();
  });

  it("prints on its page the record's numbers, each as it is there", async () => {
    const page = await htmlSignoff(record);
    expectNumbersOf(page, record);
    const pointers = new Set(numbersOf(page).map(({ pointer }) => pointer));
    const wanted = [
      ...record.requirements.flatMap((_, i) => [`/requirements/${i}/required`, `/requirements/${i}/found`]),
      ...record.logs.flatMap(({ flights }, i) => flights.map((_, k) => `/logs/${i}/flights/${k}/score`)),
      "/totals/minutes",
      "/sites/0/minutes",
    ];
    for (const pointer of wanted) expect(pointers.has(pointer), pointer).toBe(true);
    expect(page).not.toMatch(/NaN|undefined|Infinity|\[object/);
  });

  it("shows each file with its hash, what was assumed, the cautions, and room to sign", async () => {
    const page = unescaped(await htmlSignoff(record));
    const text = signoffMarkdown(record);
    for (const { path, sha256 } of [...record.logs, ...record.files]) {
      expect(page).toContain(sha256);
      expect(page).toContain(path);
      expect(text).toContain(`| ${sha256} |`);
    }
    for (const caution of record.cautions) expect(page).toContain(caution);
    expect(record.logs[0]?.flights[0]?.assumed).toContain("settings.turn_time");
    for (const one of [page, text.replaceAll("\\", ""), signoffText(record, { ...LOOK, width: 500 })]) {
      expect(one).toMatch(/^.*Assumed, since neither the logs nor the settings say: .*settings\.turn_time/m);
      expect(one).toContain("second attempt");
      expect(one).toContain("gone.csv");
    }
    expect(page.match(/<dt>Signature<\/dt>/g)).toHaveLength(2);
    expect(text).toContain("| Trainee | Sample, A. |  |  |");
    expect(page).toContain(`another recording of ${DEMO.clean}`);
  });

  it("rounds nothing up that falls short", async () => {
    const { flights: _, ...log } = { ...record.logs[0], flights: [] };
    const short = { ...(record.logs[0]?.flights[0] ?? fail()), coverage: 0.7999, airborne_s: 599.9 };
    const requirements = record.requirements.map((one) =>
      one.id === "minutes" ? { ...one, required: 60, found: 59.99 } : one,
    );
    const bad = { ...record, requirements, logs: [{ ...(log as SignoffRecord["logs"][number]), flights: [short] }] };
    for (const text of [await htmlSignoff(bad), signoffMarkdown(bad), signoffText(bad, LOOK)]) {
      expect(text).toContain("79 %");
      expect(text).toContain("9.9 min");
    }
    expect(signoffMarkdown(bad)).toContain("| 60 min | 59.9 min |");
  });

  it("lets nothing run or load: no script at all, and the style by its hash", async () => {
    const page = await htmlSignoff(record);
    const style = /<style>([^]*?)<\/style>/.exec(page)?.[1] ?? "";
    const hash = createHash("sha256").update(style).digest("base64");
    const policy = unescaped(/Content-Security-Policy" content="([^"]*)"/.exec(page)?.[1] ?? "");
    expect(policy).toBe(`default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`);
    expect(page).not.toMatch(/<script|\s(style|on[a-z]+)=|https?:|url\((?!#)|@import/i);
  });

  it("keeps hostile names harmless in every format", async () => {
    const flight = { ...(record.logs[0]?.flights[0] ?? fail()), copy_of: HOSTILE };
    const bad: SignoffRecord = {
      ...record,
      trainee: HOSTILE,
      instructor: HOSTILE,
      remark: HOSTILE,
      sets: [HOSTILE],
      policy_file: HOSTILE,
      tool_version: HOSTILE,
      requirements: record.requirements.map((one) => ({ ...one, message: HOSTILE, exceptions: [HOSTILE] })),
      logs: [
        { path: HOSTILE, sha256: "0".repeat(64), bytes: 1, unread: null, flights: [flight] },
        { path: HOSTILE, sha256: "0".repeat(64), bytes: 1, unread: HOSTILE, flights: [] },
      ],
      files: [{ path: HOSTILE, sha256: "0".repeat(64) }],
    };
    const page = await htmlSignoff(bad);
    const text = signoffMarkdown(bad);
    for (const one of [page, text, signoffText(bad, LOOK)]) {
      expect(one).not.toMatch(UNSAFE);
      expect(one).toMatch(/u\\?\{202e\\?\}abc/);
    }
    expect(page).not.toMatch(/<script|<img|<a href="http/);
    expect(text).not.toMatch(/<script|<img|\]\(|https:\/\/|(?<!\\)`c`/);
    expect(text.split("\n").filter((line) => line.startsWith("# h"))).toEqual([]);
    const rows = text.split("\n").filter((line) => line.startsWith("| "));
    for (const row of rows) {
      const bars = row.replaceAll("\\\\", "").replaceAll("\\|", "").split("|").length;
      expect([5, 6, 7, 9]).toContain(bars);
    }
  });

  it("names whom it does not know, and a policy that is none of a file", async () => {
    const bare = { ...record, trainee: null, instructor: null, remark: null, sets: [], policy_file: null, sites: [] };
    expect(await htmlSignoff(bare)).toContain("Trainee not named");
    expect(signoffMarkdown(bare)).toContain("- Instructor: not named");
    expect(signoffMarkdown(bare)).toContain("under the project's default policy");
    expect(signoffMarkdown(bare)).not.toContain("## Sites");
  });
});

function fail(): never {
  throw new Error("the record has this");
}
