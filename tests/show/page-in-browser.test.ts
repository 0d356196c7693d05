import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { type Browser, chromium, type Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Results } from "../../toolkit/batch/types.js";
import { realInputPage } from "../../toolkit/show/page/real-input-page.js";
import { reportPage } from "../../toolkit/show/page/report-page.js";
import { traceView } from "../../toolkit/show/view/trace-view.js";
import { hostileResults } from "./hostile-results.js";
import { inventedResults } from "./invented-results.js";
import { CHROMIUM, openPage, type Seen, tellOfMissingChromium } from "./opened-page.js";
import { realInputFixture } from "./real-input-fixture.js";

tellOfMissingChromium("tests/show/page-in-browser");

/** Range and magnification that a zoomable chart shows. */
interface Shown {
  readonly x: readonly [number, number];
  readonly y: readonly [number, number];
  readonly factor: number;
}

/** The longest of these run with `npm run score`. */
const inFull = it.runIf(process.env.IONBOOK_SIZE === "full");

describe.skipIf(CHROMIUM === undefined)("pages opened from disk in Chromium", () => {
  const folder = mkdtempSync(join(tmpdir(), "ionbook-pages-"));
  let browser: Browser;
  let results: Results;

  function write(name: string, text: string): string {
    const file = join(folder, name);
    writeFileSync(file, text);
    return pathToFileURL(file).href;
  }

  const open = (url: string, viewport = { width: 1280, height: 900 }, hasTouch = false): Promise<Seen> =>
    openPage(browser, url, { viewport, hasTouch });

  /** The report as a desk shows it, opened once; who uses it leaves its charts showing their whole records. */
  let desk: Seen;

  /** Runs `script` in the page after the next drawn frame. */
  function afterFrame<T>(page: Page, script: string): Promise<T> {
    return page.evaluate<T>(
      `new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))).then(() => ${script})`,
    );
  }

  /** Brings a figure into view, unfolded, and waits until its script has drawn it. */
  async function plotOf(page: Page, id: string) {
    await page.evaluate(`(() => {
      const figure = document.getElementById("${id}");
      for (let node = figure; node; node = node.parentElement) if (node.tagName === "DETAILS") node.open = true;
      figure.scrollIntoView();
    })()`);
    await page.waitForSelector(`#${id}[data-ready] .ib-plot[data-x0]`);
    const plot = page.locator(`#${id} .ib-plot`);
    const state = async (): Promise<Shown> => {
      const shown = await afterFrame<Record<string, string>>(
        page,
        `({ ...document.querySelector("#${id} .ib-plot").dataset })`,
      );
      const { x0, x1, y0, y1, factor } = shown;
      return { x: [Number(x0), Number(x1)], y: [Number(y0), Number(y1)], factor: Number(factor) };
    };
    const box = await plot.boundingBox();
    if (box === null) throw new Error(`${id} is not visible`);
    return { plot, state, box };
  }

  let url: string;
  beforeAll(async () => {
    results = inventedResults({ points: 2000 });
    url = write("report.html", await reportPage(results));
    browser = await chromium.launch({
      executablePath: CHROMIUM as string,
      args: ["--no-sandbox", "--disable-gpu"],
    });
    desk = await open(url);
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it("a drag zooms both axes to its box, a double click shows the whole record again", async () => {
    const { page } = desk;
    const { box, state } = await plotOf(page, "trace-A026");
    const before = await state();
    await page.mouse.move(box.x + 300, box.y + 120);
    await page.mouse.down();
    await page.mouse.move(box.x + 500, box.y + 200, { steps: 5 });
    expect(await page.locator(".ib-box").count()).toBe(1);
    await page.mouse.up();
    const zoomed = await state();
    expect(zoomed.x[0]).toBeGreaterThan(before.x[0]);
    expect(zoomed.x[1]).toBeLessThan(before.x[1]);
    expect(zoomed.y[1] - zoomed.y[0]).toBeLessThan(0.6 * (before.y[1] - before.y[0]));
    expect(await page.locator("#trace-A026 output").textContent()).toMatch(/^\d+\.\d+ to \d+\.\d+ min$/);
    await page.mouse.dblclick(box.x + 400, box.y + 150);
    expect(await state()).toEqual(before);
  }, 30_000);

  inFull(
    "the wheel zooms in time around the pointer, the height following, down to single points",
    async () => {
      const { page } = desk;
      const { box, plot, state } = await plotOf(page, "trace-A026");
      const before = await state();
      const line = plot.locator(".ib-line").last();
      const drawn = await line.getAttribute("d");
      await page.mouse.move(box.x + 440, box.y + 150);
      for (let turn = 0; turn < 8; turn += 1) await page.mouse.wheel(0, -120);
      const zoomed = await state();
      expect(zoomed.x[1] - zoomed.x[0]).toBeLessThan((before.x[1] - before.x[0]) / 8);
      expect(zoomed.y[1] - zoomed.y[0]).toBeLessThan((before.y[1] - before.y[0]) / 4);
      expect(await line.getAttribute("d")).not.toBe(drawn);
      for (let turn = 0; turn < 40; turn += 1) await page.mouse.wheel(0, -300);
      const deepest = await state();
      expect(deepest.x[1] - deepest.x[0]).toBeLessThan(0.09);
      expect(deepest.x[1]).toBeGreaterThan(deepest.x[0]);
      await plot.focus();
      await page.keyboard.press("0");
    },
    30_000,
  );

  inFull(
    "a wheel that scrolls the page is not caught by a chart which passes under a resting pointer",
    async () => {
      const { page } = await open(url);
      await page.mouse.move(640, 300);
      const top = (): Promise<number> => page.evaluate<number>("scrollY");
      let last = await top();
      for (let turn = 0; turn < 25; turn += 1) {
        await page.mouse.wheel(0, 300);
        await expect.poll(top).toBeGreaterThan(last);
        last = await top();
      }
      expect(last).toBeGreaterThan(25 * 250);
      expect(await page.locator(".ib-zoomed").count()).toBe(0);
      await page.context().close();
    },
    30_000,
  );

  it("the keyboard and the buttons zoom, move, magnify and go back", async () => {
    const { page } = desk;
    const { plot, state } = await plotOf(page, "trace-A026");
    const before = await state();
    await plot.focus();
    await page.keyboard.press("+");
    const closer = await state();
    expect(closer.x[1] - closer.x[0]).toBeCloseTo((before.x[1] - before.x[0]) / 2, 6);
    await page.keyboard.press("ArrowRight");
    expect((await state()).x[0]).toBeGreaterThan(closer.x[0]);
    await page.keyboard.press("ArrowUp");
    expect((await state()).factor).toBeGreaterThan(closer.factor);
    await page.keyboard.press("0");
    expect(await state()).toEqual(before);
    const button = (name: string) => page.locator("#trace-A026 .ib-tools button", { hasText: name });
    await button("zoom in").click();
    expect((await state()).x).not.toEqual(before.x);
    await button("whole record").click();
    expect(await state()).toEqual(before);
  }, 30_000);

  inFull(
    "two fingers zoom, one moves along",
    async () => {
      const { page } = await open(url, { width: 390, height: 844 }, true);
      const { box, state } = await plotOf(page, "trace-A026");
      const before = await state();
      const session = await page.context().newCDPSession(page);
      const touch = (type: "touchStart" | "touchMove" | "touchEnd", xs: readonly number[]) =>
        session.send("Input.dispatchTouchEvent", {
          type,
          touchPoints: xs.map((x, id) => ({ x: box.x + x, y: box.y + 120, id })),
        });
      await touch("touchStart", [150, 200]);
      for (const apart of [60, 90, 120]) await touch("touchMove", [175 - apart, 175 + apart]);
      await touch("touchEnd", []);
      const pinched = await state();
      expect(pinched.x[1] - pinched.x[0]).toBeLessThan((before.x[1] - before.x[0]) / 2);
      await touch("touchStart", [250]);
      for (const x of [230, 210, 190]) await touch("touchMove", [x]);
      await touch("touchEnd", []);
      expect((await state()).x[0]).toBeGreaterThan(pinched.x[0]);
      await page.context().close();
    },
    30_000,
  );

  it("the pointer reads time, signal and the peak it is on", async () => {
    const { page } = desk;
    const { box, state } = await plotOf(page, "trace-A026");
    const { x } = await state();
    const at = 50 + ((5.28 - x[0]) / (x[1] - x[0])) * (box.width - 62);
    await page.mouse.move(box.x + at, box.y + 150);
    const read = await page.locator("#trace-A026 output").textContent();
    expect(read).toMatch(/^5\.2\d+ min · \d+\.\d+ µS\/cm · chloride · area 25\.\d+.±.0\.\d+/);
  }, 30_000);

  inFull(
    "a link to a folded trace unfolds it",
    async () => {
      const { page } = await open(`${url}#trace-A033`);
      await page.waitForSelector("#trace-A033[data-ready] svg");
      expect(await page.locator("#trace-A033").isVisible()).toBe(true);
      await page.context().close();
    },
    30_000,
  );

  it("no page is wider than a telephone, and no peak label runs out of its chart", async () => {
    const { page } = await open(url, { width: 360, height: 740 });
    expect(await page.evaluate("document.documentElement.scrollWidth")).toBeLessThanOrEqual(360);
    await plotOf(page, "trace-A026");
    const outside = await page.evaluate(`(() => {
      const plot = document.querySelector("#trace-A026 svg").getBoundingClientRect();
      return [...document.querySelectorAll("#trace-A026 .ib-label")].filter((label) => {
        const box = label.getBoundingClientRect();
        return box.left < plot.left - 2 || box.right > plot.right + 2 || box.top < plot.top - 2;
      }).length;
    })()`);
    expect(outside).toBe(0);
    await page.context().close();
  }, 30_000);

  inFull(
    "names of peaks do not touch each other as the browser sets them, whole or zoomed",
    async () => {
      const { page } = desk;
      for (const id of ["trace-A026", "trace-A025", "trace-C026"]) {
        const { plot } = await plotOf(page, id);
        for (let zoom = 0; zoom < 3; zoom += 1) {
          const touching = await afterFrame<number>(
            page,
            `{
            const labels = document.querySelectorAll("#${id} .ib-label");
            const boxes = [...labels].map((label) => label.getBoundingClientRect());
            const touch = (a, b) =>
              a.left < b.right && b.left < a.right && a.top + 3 < b.bottom && b.top + 3 < a.bottom;
            return boxes.filter((a, index) => boxes.slice(index + 1).some((b) => touch(a, b))).length;
          }`,
          );
          expect(touching, `${id}, zoom ${zoom}`).toBe(0);
          await plot.focus();
          await page.keyboard.press("+");
        }
        await page.keyboard.press("0");
      }
    },
    30_000,
  );

  it("the report, used as above, asks for nothing and complains about nothing, folded parts opened", async () => {
    const { page, requests, complaints } = desk;
    await page.evaluate(`(async () => {
      for (const fold of document.querySelectorAll("details")) fold.open = true;
      for (let next; (next = document.querySelector(".ib-trace:not([data-ready])")); ) {
        next.scrollIntoView();
        await new Promise((done) => requestAnimationFrame(done));
      }
    })()`);
    expect(await page.locator(".ib-trace svg").count()).toBeGreaterThanOrEqual(results.traces.size);
    expect(requests).toEqual([]);
    expect(complaints).toEqual([]);
  }, 30_000);

  it("markup in names creates no element, runs nothing and asks for nothing", async () => {
    const { page, requests, complaints } = await open(
      write("hostile.html", await reportPage(hostileResults())),
    );
    await plotOf(page, "trace-A026");
    expect(await page.locator("img").count()).toBe(0);
    expect(await page.evaluate(`"broken" in window`)).toBe(false);
    expect(await page.title()).toContain("</script>");
    expect(requests).toEqual([]);
    expect(complaints).toEqual([]);
    await page.context().close();
  }, 30_000);

  it("the page of real input zooms and asks for nothing", async () => {
    const { page, requests, complaints } = await open(
      write("real.html", await realInputPage(await realInputFixture())),
    );
    const { box, state } = await plotOf(page, "trace-published");
    const before = await state();
    await page.mouse.move(box.x + 400, box.y + 100);
    await page.mouse.wheel(0, -240);
    expect((await state()).x).not.toEqual(before.x);
    expect([...requests, ...complaints]).toEqual([]);
    await page.context().close();
  }, 30_000);

  it("a trace shown in a notebook zooms wherever its HTML is put", async () => {
    const trace = results.traces.get("A026");
    if (trace === undefined) throw new Error("the invented results lost A026");
    const block = String((await traceView(trace))["text/html"]);
    const { page, complaints } = await open(
      write(
        "cell.html",
        `<!doctype html><meta charset="utf-8"><link rel="icon" href="data:,"><body>${block}`,
      ),
    );
    const { box, state } = await plotOf(page, "trace-A026");
    const before = await state();
    await page.mouse.move(box.x + 300, box.y + 100);
    await page.mouse.wheel(0, -240);
    expect((await state()).x).not.toEqual(before.x);
    expect(complaints).toEqual([]);
    await page.context().close();
  }, 30_000);
});
