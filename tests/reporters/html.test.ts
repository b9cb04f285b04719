import { createHash } from "node:crypto";
import { beforeAll, describe, expect, it } from "vitest";
import { htmlPage, htmlReport, momentsTable } from "../../src/index.js";
import { flightPicture } from "../../src/pictures/flight-picture.js";
import { logPage } from "../../src/reporters/html/log-page.js";
import { DEMO, pointedAt, type Shown, shown, unescaped } from "../helpers/pages.js";
import { expectNumbersOf, numbersOf } from "../helpers/printed-numbers.js";
import { runOf } from "../helpers/run.js";

const sha256 = (text: string): string => createHash("sha256").update(text).digest("base64");

describe.each(Object.entries(DEMO))("the page of the demo's %s flight", (_name, path) => {
  let made: Shown;
  beforeAll(async () => {
    made = await shown(path);
  }, 60_000);

  it("prints the JSON's numbers, each as it is there", () => {
    expect(numbersOf(made.page).length).toBeGreaterThan(20);
    expectNumbersOf(made.page, made.audit.result);
  });

  it("prints every line of the score's sum, every finding and every input", () => {
    const pointers = new Set(numbersOf(made.page).map(({ pointer }) => pointer));
    const [flight] = made.audit.result.flights;
    if (flight === undefined) throw new Error("the demo's logs have flights");
    const wanted = [
      "/flights/0/coverage/share",
      ...Object.keys(flight.points_lost).map((rule) => `/flights/0/points_lost/${rule}`),
      ...Object.keys(flight.inputs).map((name) => `/flights/0/inputs/${name}/value`),
      ...flight.findings.flatMap((_, i) => ["start_s", "worst/value"].map((key) => `/flights/0/findings/${i}/${key}`)),
      ...flight.not_assessed.map((_, i) => `/flights/0/not_assessed/${i}/share`),
      ...(flight.turnback?.last_safe_s == null ? [] : ["/flights/0/turnback/last_safe_s"]),
    ];
    for (const pointer of wanted) expect(pointers.has(pointer), pointer).toBe(true);
  });

  it("prints moments as the table of moments has them, and phases that sum to the need", () => {
    const { columns, rows } = momentsTable(path, made.audit.flights);
    const byTime = new Map([...rows].map((row) => [String(row[0]), row]));
    const cells = [...made.page.matchAll(/<data value="([^"]*)" data-at="([^"]*)" data-column="([^"]*)">/g)];
    expect(cells.length).toBeGreaterThan(50);
    for (const [, value, at_s = "", column = ""] of cells) {
      const wanted = byTime.get(at_s)?.[columns.indexOf(column)];
      if (value === "null") expect(wanted ?? null).toBeNull();
      else expect(Number(value)).toBeCloseTo(Number(wanted), 5);
    }
    const phases = [...made.page.matchAll(/<data value="([^"]*)" data-phase="[a-z]+" data-at="([^"]*)">/g)];
    const needs = new Map<string, number>();
    for (const [, value, at_s = ""] of phases) needs.set(at_s, (needs.get(at_s) ?? 0) + Number(value));
    for (const [at_s, need] of needs) {
      expect(need).toBeCloseTo(Number(byTime.get(at_s)?.[columns.indexOf("need_middle_pct")]), 5);
    }
  });

  it("says that it is advice, what comes first, and what was assumed", () => {
    expect(made.page).toContain("It is not a clearance");
    expect(made.page).toContain("Local rules and licensed practice come first.");
    for (const [name, { basis }] of Object.entries(made.audit.result.flights[0]?.inputs ?? {})) {
      if (basis === "assumed") expect(made.page.split("Assumed, since")[1]).toContain(name);
    }
  });

  it("lets nothing run or load but what its policy names by hash", () => {
    const policy = unescaped(/Content-Security-Policy" content="([^"]*)"/.exec(made.page)?.[1] ?? "");
    const style = /<style>([^]*?)<\/style>/.exec(made.page)?.[1] ?? "";
    const script = /<script>([^]*?)<\/script>/.exec(made.page)?.[1] ?? "";
    expect(policy).toBe(
      `default-src 'none'; style-src 'sha256-${sha256(style)}'; script-src 'sha256-${sha256(script)}'; base-uri 'none'; form-action 'none'`,
    );
    const rest = made.page.replace(style, "").replace(script, "");
    expect(rest).not.toMatch(
      /\s(style|on[a-z]+)=|<(img|iframe|object|embed|link|base|form|audio|video)|https?:|@import|url\((?!#)/i,
    );
    expect(rest.match(/<script/g)).toHaveLength(1 + made.audit.flights.length);
  });

  it("is the same, byte for byte, every time", async () => {
    expect(await htmlPage(made.audit, { toolVersion: "0.0.0" })).toBe(made.page);
  });

  it("has no number that is none, and ids that are there once", () => {
    const drawn = made.page.replace(/<script>[^]*?<\/script>/, "");
    expect(drawn).not.toMatch(/NaN|undefined|Infinity|\[object/);
    const ids = [...drawn.matchAll(/\sid="([^"]*)"/g)].map(([, id]) => id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const [, ref = ""] of drawn.matchAll(/(?:aria-labelledby|aria-describedby)="([^"]*)"/g)) {
      expect(ids).toContain(ref);
    }
    for (const [, ref = ""] of drawn.matchAll(/(?:url\(|href=")#([^")]*)/g)) expect(ids).toContain(ref);
  });
});

describe("a page", () => {
  it("shows the turn-back moment before any finding, and the plan after them", async () => {
    const { page } = await shown(DEMO.late);
    const order = [
      "last moment to turn back",
      'id="findings-f1"',
      "from the side",
      "Battery of the recovery",
      "The flight from above",
      "Verdicts over time</title>",
      "All findings",
      "Taken as given",
      "Could not be assessed",
    ].map((text) => page.indexOf(text));
    expect(order.every((at) => at > 0)).toBe(true);
    expect([...order].sort((a, b) => a - b)).toEqual(order);
  });

  it("counts lengths in feet where they were asked for, and keeps the JSON's values beside them", async () => {
    const { page, audit } = await shown(DEMO.ridge, "imperial");
    const farthest_m = audit.result.flights[0]?.farthest_m ?? Number.NaN;
    expect(page).toContain(
      `<data value="${farthest_m}" data-of="/flights/0/farthest_m">${(farthest_m / 0.3048).toFixed(0)} ft</data>`,
    );
    expect(page).toContain("ft above the recovery point");
  });

  it("says why a log could not be read", async () => {
    const page = await htmlPage({
      flights: [],
      result: {
        path: "a<b>.csv",
        sha256: "0".repeat(64),
        bytes: 0,
        parser: null,
        rows: 0,
        rows_rejected: 0,
        channels: {},
        problems: [{ severity: "error", code: "empty", message: "The file is empty & <odd>.", line: 1 }],
        declared_not_used: [],
        flights: [],
      },
    });
    expect(page).toContain("This log could not be read.");
    expect(page).toContain("line 1: The file is empty &amp; &lt;odd&gt;.");
    expect(page).toContain("a&lt;b&gt;.csv");
  });

  it("says why a recovery cannot be drawn, and prints no table of what is not known", async () => {
    const { audit } = await shown(DEMO.late);
    const picture = flightPicture(audit.flights[0] ?? fail());
    const recoveries = picture.recoveries.map((one) => ({ ...one, distance_m: Number.NaN }));
    const page = logPage(audit.result, [{ ...picture, recoveries }], { units: "metric", toolVersion: "", sha256 });
    expect(page).toContain("This recovery cannot be drawn: it is not known where it would have flown to.");
    expect(page).not.toContain("Need, middle estimate");
    expect(page.replace(/<script>[^]*?<\/script>/, "")).not.toMatch(/NaN|undefined/);
  });

  it("draws zones with what they are, where the picture has them", async () => {
    const { audit } = await shown(DEMO.clean);
    const picture = flightPicture(audit.flights[0] ?? fail());
    const zone = {
      name: "<pond>",
      zone: "water",
      kind: "polygon",
      rings: [
        [
          [0, 0],
          [50, 0],
          [50, 50],
          [0, 0],
        ],
      ],
      radius_m: 0,
    } as const;
    const plan = { ...(picture.plan ?? fail()), zones: [zone] };
    const page = logPage(audit.result, [{ ...picture, plan }], { units: "metric", toolVersion: "", sha256 });
    expect(page).toContain("water: &lt;pond&gt;");
    expect(page).toContain('class="zone-water"');
    expect(page.match(/class="zone"/g)?.length).toBeGreaterThanOrEqual(2);
  });
});

function fail(): never {
  throw new Error("the demo has this");
}

describe("htmlReport", () => {
  it("makes an index, the worst first, and a page for each log, linked both ways", async () => {
    const audits = await Promise.all(
      [DEMO.clean, DEMO.ridge, DEMO.late].map(async (path) => (await shown(path)).audit),
    );
    const unread = { ...(audits[0]?.result ?? fail()), path: "<unread>.csv", parser: null, flights: [] };
    const all = [...audits, { result: unread, flights: [] }];
    const run = runOf(all.map(({ result }) => result));
    const pages = await htmlReport(run, all);
    expect(pages.size).toBe(5);
    const index = pages.get("index.html") ?? "";
    const links = [...index.matchAll(/<a href="([^"#]+\.html)">([^<]*)</g)].map(([, href = "", text = ""]) => [
      href,
      unescaped(text),
    ]);
    expect(links.map(([, text]) => text)).toEqual(["<unread>.csv", DEMO.late, DEMO.ridge, DEMO.clean]);
    for (const [href = ""] of links) expect(pages.get(decodeURIComponent(href))).toContain('<a href="index.html">');
    for (const { pointer, value } of numbersOf(index)) expect(value, pointer).toBe(String(pointedAt(run, pointer)));
    expect(index).toContain("Scores over time</title>");
    expect(index.match(/class="sign /g)).toHaveLength(3);
  });

  it("says that one flight makes no trend", async () => {
    const { audit } = await shown(DEMO.clean);
    const pages = await htmlReport(runOf([audit.result]), [audit]);
    expect(pages.get("index.html")).toContain("A trend wants at least two flights");
  });
});
