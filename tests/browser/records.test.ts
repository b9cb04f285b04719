import { readFile } from "node:fs/promises";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { htmlSignoff, loadSetting, rehearsalHtml, rehearse, signedFiles, signOff } from "../../src/index.js";
import { DEMO, HOSTILE, shown } from "../helpers/pages.js";
import { escapeText } from "../../src/reporters/html/markup.js";
import { HAS_BROWSER, Pages, serious } from "./browser.js";

/** A4 at 96 dots an inch. */
const A4 = { width: 794, height: 1123 };

/** A sign-off over two flights of the demo, by and of people with such names. */
async function signoffPage(name: string): Promise<string> {
  const setting = await loadSetting({ startFolder: "fixtures/demo" });
  const logs = await Promise.all([DEMO.clean, DEMO.late].map(async (path) => (await shown(path)).audit.result));
  const files = await signedFiles(setting, process.cwd());
  const people = { trainee: name, instructor: name, remark: name };
  return htmlSignoff(signOff(logs, setting, { ...people, asOf: "2025-06-01", sets: [name], toolVersion: "0", files }));
}

async function rehearsalPage(path: string, at: string): Promise<string> {
  const setting = await loadSetting({ startFolder: "fixtures/demo" });
  return rehearsalHtml(await rehearse(await readFile(path), setting, { path, at }), { toolVersion: "0" });
}

describe.skipIf(!HAS_BROWSER)("records in a browser", () => {
  let pages: Pages;
  let texts: Readonly<Record<string, string>>;
  beforeAll(async () => {
    pages = await Pages.start();
    texts = {
      "signoff.html": await signoffPage("Sample, A."),
      "ridge.html": await rehearsalPage(DEMO.ridge, "4:11"),
      "bare.html": await rehearsalPage(DEMO.bare, "1:30"),
    };
  }, 60_000);
  afterAll(async () => pages?.stop());

  it.each(["light", "dark"] as const)(
    "open without a complaint, a request, or a serious issue for axe-core, %s",
    async (colorScheme) => {
      for (const [name, text] of Object.entries(texts)) {
        const opened = await pages.open({ [name]: text }, { colorScheme });
        expect(opened.complaints).toEqual([]);
        expect(opened.requests).toEqual([pages.url(name)]);
        expect(await serious(opened), name).toEqual([]);
        await opened.page.close();
      }
    },
    60_000,
  );

  it("fit A4 when printed and a narrow screen, with room to sign on one sheet", async () => {
    for (const [name, text] of Object.entries(texts)) {
      const { page } = await pages.open({ [name]: text }, { width: 380 });
      const width = (): Promise<number> => page.evaluate<number>("document.documentElement.scrollWidth");
      expect(await width(), name).toBeLessThanOrEqual(380);
      await page.emulateMedia({ media: "print" });
      await page.setViewportSize(A4);
      expect(await width(), name).toBeLessThanOrEqual(A4.width);
      if (name === "signoff.html") {
        const places = page.locator(".signature dl div:last-child");
        expect(await places.count()).toBe(2);
        for (const place of await places.all()) {
          const box = await place.boundingBox();
          expect(box?.height).toBeGreaterThan(60);
          expect(box?.width).toBeGreaterThan(250);
        }
        const kept = "getComputedStyle(document.querySelector('section:has(.signatures)')).breakInside";
        expect(await page.evaluate(kept)).toBe("avoid");
      }
      await page.close();
    }
  }, 60_000);

  it("tell the names of people, whatever is in them, and do no harm", async () => {
    for (const name of HOSTILE) {
      const text = await signoffPage(name);
      expect(text).toContain(`<dt>Name</dt><dd>${escapeText(name)}</dd>`);
      const { page, complaints, requests } = await pages.open({ "hostile.html": text });
      expect(await page.evaluate("window.harmed"), name).toBeUndefined();
      expect(await page.locator("script, img, iframe, form, link, [onload], [onerror]").count(), name).toBe(0);
      expect(complaints, name).toEqual([]);
      expect(requests, name).toEqual([pages.url("hostile.html")]);
      await page.close();
    }
  }, 60_000);
});
