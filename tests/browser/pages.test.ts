import { readFile } from "node:fs/promises";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { htmlPage, htmlReport, loadSetting, type LogAudit } from "../../src/index.js";
import { siteSource } from "../../src/site/site-source.js";
import { parseObstacles } from "../../src/site/obstacles.js";
import { at, landed, outAndBack } from "../helpers/flights.js";
import { DEMO, HOSTILE, shown, shownWith } from "../helpers/pages.js";
import { replayRows } from "../helpers/replay.js";
import { runOf } from "../helpers/run.js";
import { openPlain } from "../helpers/sites.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { escapeText } from "../../src/reporters/html/markup.js";
import { HAS_BROWSER, Pages, serious } from "./browser.js";

describe.skipIf(!HAS_BROWSER)("pages in a browser", () => {
  let pages: Pages;
  beforeAll(async () => {
    pages = await Pages.start();
  }, 60_000);
  afterAll(async () => pages?.stop());

  it.each(Object.entries(DEMO))("opens the %s flight without a complaint and without a request", async (name, path) => {
    const { page, complaints, requests } = await pages.open({ [`${name}.html`]: (await shown(path)).page });
    await page.locator("details").evaluateAll((all: { open: boolean }[]) => all.forEach((one) => (one.open = true)));
    await page.locator("[data-linked]").first().hover();
    expect(complaints).toEqual([]);
    expect(requests).toEqual([pages.url(`${name}.html`)]);
    await page.close();
  });

  it("links the pictures by the mouse", async () => {
    const { page } = await pages.open({ "mouse.html": (await shown(DEMO.ridge)).page });
    const bar = page.locator(".moment");
    expect(await bar.textContent()).toBe("");
    // In the middle of the failing stretch, on the picture of the battery.
    const battery = page.locator("[data-linked=time]").first();
    const box = (await battery.locator("svg").boundingBox()) ?? { x: 0, y: 0, width: 0, height: 0 };
    const share = 118 / 960 + ((210 - 16) / (434 - 16)) * (718 / 960);
    await page.mouse.move(box.x + share * box.width, box.y + box.height / 2);
    await expectText(bar, /^03:[0-5]\d {2}fail under ceiling-low · battery \d/);
    for (const kind of ["time", "plan"]) {
      const crosses = page.locator(`[data-linked=${kind}] .cross`);
      const drawn = await crosses.evaluateAll(
        (all: { children: { length: number } }[]) => all.filter((one) => one.children.length > 0).length,
      );
      expect(drawn, kind).toBeGreaterThan(0);
    }
    expect(await page.locator("article.finding.now h4").first().textContent()).toContain("ceiling-low");
    // A row of the table shows its worst moment.
    await page.locator("tr[data-at]").nth(1).hover();
    await expectText(bar, /^04:11 {2}fail under ceiling-low/);
    expect(await page.locator("[data-linked=side] .cross").first().locator("path").count()).toBe(2);
    // The plan finds the nearest moment of the track: far from the ridge it is clear.
    const plan = page.locator("[data-linked=plan]");
    await plan.scrollIntoViewIfNeeded();
    const sheet = (await plan.locator("svg").boundingBox()) ?? box;
    await page.mouse.move(sheet.x + sheet.width * 0.5, sheet.y + sheet.height - 90);
    await expectText(bar, /clear/);
    await page.close();
  });

  it("links the pictures by the keyboard", async () => {
    const { page } = await pages.open({ "keys.html": (await shown(DEMO.ridge)).page });
    const bar = page.locator(".moment");
    await page.keyboard.press("Tab");
    expect(await page.evaluate("document.activeElement.className")).toBe("skip");
    await page.keyboard.press("Tab");
    expect(await page.evaluate("document.activeElement.dataset.linked")).toBe("time");
    await expectText(bar, /^04:11/);
    await page.keyboard.press("ArrowRight");
    await expectText(bar, /^04:1[1-9] /);
    await page.keyboard.press("Home");
    await expectText(bar, /^00:16/);
    await page.keyboard.press("Shift+ArrowRight");
    const ten = await bar.textContent();
    await page.keyboard.press("Home");
    for (let i = 0; i < 10; i += 1) await page.keyboard.press("ArrowRight");
    expect(await bar.textContent()).toBe(ten);
    await page.keyboard.press("End");
    await expectText(bar, /^07:1/);
    await page.keyboard.press("ArrowRight");
    await expectText(bar, /^07:1/);
    const hair = (): Promise<string | null> => page.locator("[data-linked=time] .hair").first().getAttribute("d");
    const end = await hair();
    await page.keyboard.press("ArrowLeft");
    expect(await hair()).not.toBe(end);
    await page.keyboard.press("Escape");
    expect(await bar.textContent()).toBe("");
    expect(await page.locator(".cross > *").count()).toBe(0);
    await page.locator("[data-linked=side]").first().focus();
    await expectText(bar, /^04:11/);
    await page.close();
  });

  it("shows in the bar the numbers of the table of moments", async () => {
    const { page } = await pages.open({ "bar.html": (await shown(DEMO.ridge)).page });
    await page.locator("[data-linked=side]").first().focus();
    const text = (await page.locator(".moment").textContent()) ?? "";
    const cell = async (column: string): Promise<string> =>
      Number(await page.locator(`tfoot data[data-column=${column}]`).first().getAttribute("value")).toFixed(1);
    expect(text).toContain(`battery ${await cell("battery_pct")} %, need ${await cell("need_middle_pct")} %`);
    expect(text).toContain(`would land with ${await cell("touchdown_middle_pct")} %`);
    await page.close();
  });

  it("can be read without script: nothing is hidden that only script would show", async () => {
    const { page, complaints } = await pages.open(
      { "still.html": (await shown(DEMO.late)).page },
      { javaScriptEnabled: false },
    );
    const text = await page.locator("main").innerText();
    expect(text).toContain("Next time:");
    expect(text).toContain("Left at touchdown");
    expect(complaints.filter((line) => !line.includes("script"))).toEqual([]);
    await page.close();
  });

  it.each(["light", "dark"] as const)(
    "has no serious issue for axe-core, %s",
    async (colorScheme) => {
      const { audit, page: late } = await shown(DEMO.late);
      const report = await htmlReport(runOf([audit.result]), [audit]);
      for (const text of [late, report.get("index.html") ?? ""]) {
        const opened = await pages.open({ [`axe-${colorScheme}.html`]: text }, { colorScheme });
        await opened.page
          .locator("details")
          .evaluateAll((all: { open: boolean }[]) => all.forEach((one) => (one.open = true)));
        const first = opened.page.locator("[data-linked]");
        if ((await first.count()) > 0) await first.first().focus();
        expect(await serious(opened)).toEqual([]);
        await opened.page.close();
      }
    },
    240_000,
  );

  it("differs in dark and light, and prints in light whatever the screen", async () => {
    const { page } = await pages.open({ "print.html": (await shown(DEMO.clean)).page }, { colorScheme: "dark" });
    const paper = (): Promise<string> =>
      page.evaluate("getComputedStyle(document.documentElement).getPropertyValue('--paper')");
    const dark = await paper();
    await page.emulateMedia({ media: "print" });
    const printed = await paper();
    expect(printed).not.toBe(dark);
    await page.emulateMedia({ media: "screen", colorScheme: "light" });
    expect(await paper()).toBe(printed);
    // A4 at 96 dots an inch is 794 wide; nothing may be cut off at its edge.
    await page.emulateMedia({ media: "print" });
    await page.setViewportSize({ width: 794, height: 1123 });
    expect(await page.evaluate<number>("document.documentElement.scrollWidth")).toBeLessThanOrEqual(794);
    await page.close();
  });

  it("scrolls pictures and tables, not the page, where it is narrow", async () => {
    const { page } = await pages.open({ "narrow.html": (await shown(DEMO.ridge)).page }, { width: 380 });
    expect(await page.evaluate<number>("document.documentElement.scrollWidth")).toBeLessThanOrEqual(380);
    await page.close();
  });

  it("sorts the index, and leaves what has no value at the end", async () => {
    const audits = await Promise.all(
      [DEMO.clean, DEMO.ridge, DEMO.late].map(async (path) => (await shown(path)).audit),
    );
    const first = audits[0];
    if (first === undefined) throw new Error("the demo has logs");
    const unread = { result: { ...first.result, path: "unread.csv", parser: null, flights: [] }, flights: [] };
    const all = [...audits, unread];
    const report = await htmlReport(runOf(all.map(({ result }) => result)), all);
    const { page, complaints } = await pages.open(Object.fromEntries(report));
    const scores = async (): Promise<string[]> => page.locator("tbody td:nth-child(4)").allInnerTexts();
    expect(await scores()).toEqual(["", "28", "59", "100"]);
    await page.getByRole("button", { name: "Score" }).click();
    expect(await scores()).toEqual(["28", "59", "100", ""]);
    await page.getByRole("button", { name: "Score" }).focus();
    await page.keyboard.press("Enter");
    expect(await scores()).toEqual(["100", "59", "28", ""]);
    expect(await page.locator("th[aria-sort=descending]").innerText()).toContain("Score");
    await page.getByRole("link", { name: DEMO.ridge }).click();
    expect(await page.locator("h1").innerText()).toContain(DEMO.ridge);
    await page.getByRole("link", { name: "all logs" }).click();
    expect(await page.locator("h1").innerText()).toContain("3 flights");
    expect(complaints).toEqual([]);
    await page.close();
  });
});

describe.skipIf(!HAS_BROWSER)("hostile text in a browser", () => {
  let pages: Pages;
  beforeAll(async () => {
    pages = await Pages.start();
  }, 60_000);
  afterAll(async () => pages?.stop());

  /** The demo's ridge with hostile names of obstacles and their file, a switched-off rule, columns and cells. */
  async function hostile(): Promise<LogAudit> {
    const loaded = await loadSetting({ startFolder: "fixtures/demo" });
    const features = HOSTILE.flatMap((text, i) => {
      const geometry = { type: "Point", coordinates: [8.238 + i / 3000, 47.1335] };
      const mast = { type: "Feature", properties: { name: text, height: 60 }, geometry };
      return [mast, { ...mast, properties: { name: text, height: text } }];
    });
    const bytes = new TextEncoder().encode(JSON.stringify({ type: "FeatureCollection", features }));
    const obstacles = parseObstacles(bytes, `${HOSTILE.join(" ")}.geojson`);
    const site = siteSource({ terrain: { kind: "flat" }, obstacles });
    const declared = { ...loaded.config.declared, rulesOff: { "fix-weak": HOSTILE.join(" ") } };
    const setting = { ...loaded, site, problems: site.problems, config: { ...loaded.config, declared } };
    const quoted = (text: string): string => `"${text.replaceAll('"', '""').replaceAll(/[\r\n]/g, " ")}"`;
    const [header = "", ...rows] = (await readFile(DEMO.ridge, "utf8")).split(/\r?\n/).filter((line) => line !== "");
    const columns = HOSTILE.map(quoted).join(",");
    const log = [`${header},${columns}`, ...rows.map((row) => `${row},${columns}`), `${columns},x`].join("\n");
    return (await shownWith(new TextEncoder().encode(log), setting, "metric", "hostile.csv")).audit;
  }

  it("does no harm, whatever carries it", async () => {
    const audit = await hostile();
    expect(audit.result.flights).toHaveLength(1);
    expect(audit.result.problems.length).toBeGreaterThan(HOSTILE.length - 1);
    for (const text of HOSTILE) {
      const named = { ...audit, result: { ...audit.result, path: `${text}.csv` } };
      for (const [name, html] of await htmlReport(runOf([named.result]), [named])) {
        await expectHarmless(html, `${name} ${text}`);
        // The name is still told, only harmless.
        expect(html).toContain(`${escapeText(text)}.csv</`);
      }
    }
  }, 240_000);

  async function expectHarmless(html: string, what: string): Promise<void> {
    const hidden =
      // oxlint-disable-next-line no-control-regex
      /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff]/;
    expect(html, what).not.toMatch(hidden);
    const { page, complaints, requests } = await pages.open({ "hostile.html": html });
    expect(await page.evaluate("window.harmed"), what).toBeUndefined();
    const foreign = "img, iframe, object, embed, link, base, form, [onload], [onerror]";
    expect(await page.locator(foreign).count(), what).toBe(0);
    const scripts = await page.locator("script").evaluateAll((all: { type: string }[]) => all.map(({ type }) => type));
    expect(scripts.length, what).toBe(new Set(scripts).size);
    expect(complaints, what).toEqual([]);
    expect(requests, what).toEqual([pages.url("hostile.html")]);
    await page.close();
  }
});

describe("a long flight", () => {
  it("of 20 minutes at 10 Hz stays under 3 MB", async () => {
    const rows = landed(
      outAndBack({
        course_deg: 30,
        out_ms: 5,
        outFor_s: 600,
        back_ms: 5,
        height_m: 60,
        battery_pct: 100,
        rate_pctPerMin: 4,
        step_s: 0.1,
      }),
    ).map((row, i) => ({
      ...row,
      ...at(200 + 150 * Math.sin(i / 90) + i / 40, ((i * 3) % 360) / 4),
      satellites: i % 7 === 0 ? 5 : 14,
    }));
    expect(rows.length).toBeGreaterThan(12_000);
    const replay = replayRows(rows, { site: openPlain(), operator: { kind: "at-takeoff" } });
    const flight = auditFlight(replay);
    const result = { ...(await shown(DEMO.clean)).audit.result, flights: [flight.result] };
    const page = await htmlPage({ result, flights: [flight] });
    expect(Buffer.byteLength(page)).toBeLessThan(3_000_000);
    expect(page.match(/<article class="finding/g)?.length).toBeGreaterThan(0);
  });
});

async function expectText(locator: { textContent: () => Promise<string | null> }, pattern: RegExp): Promise<void> {
  expect(await locator.textContent()).toMatch(pattern);
}
