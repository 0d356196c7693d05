import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { type Browser, chromium } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { NotebookDocument } from "../../toolkit/notebook/document.js";
import { notebookPage } from "../../toolkit/notebook/report/notebook-page.js";
import { CHROMIUM, openPage, type Seen, tellOfMissingChromium } from "../show/opened-page.js";
import { code, evidenceOf, notebook, printed, sampleNotebook, shown, text } from "./sample-notebook.js";

tellOfMissingChromium("tests/notebook-report/page-in-browser");

const MARKUP = `</script><script>window.broken=1</script><img src=x onerror="window.broken=1">'"&`;

/** A notebook in which every text that could carry markup does. */
function hostileNotebook(): NotebookDocument {
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="200" height="100" onload="window.broken=1"><style>body{display:none}</style><script>window.broken=1</script><foreignObject><body onload="window.broken=1"/></foreignObject><image href="https://example.org/x.png"/><rect width="100" height="50"/></svg>`;
  const plain = svg.replace(/<style>.*?<\/style>/, "");
  const trace = `<figure class="ib-trace"><figcaption>x</figcaption><div class="ib-plot"></div><div class="ib-tools"><output></output></div><script type="application/json" class="ib-data">{"peaks":[{"color":"x\\"><img src=x onerror=window.broken=1>"}]}</script></figure>`;
  return notebook([
    text(`# ${MARKUP}\n\n[go](javascript:window.broken=1) ![p](javascript:window.broken=1) ${MARKUP}`),
    code(`// ${MARKUP}\nx`, [
      shown({
        "text/html": `<p id="answer">${MARKUP}</p>${trace}</div></main></body><script>window.broken=1`,
      }),
      shown({
        "text/html": '<a href="javascript:window.broken=1">x</a><iframe src="https://example.org"></iframe>',
      }),
      shown({ "image/svg+xml": svg, "text/plain": MARKUP }),
      shown({ "image/svg+xml": plain, "text/plain": MARKUP }),
      shown({ "image/png": `"><img src=x onerror="window.broken=1">` }),
      shown({ "text/markdown": MARKUP }),
      shown({ "text/latex": `\\href{javascript:window.broken=1}{x} ${MARKUP}` }),
      shown({ "application/vnd.ionbook.record+json": { name: MARKUP, value: MARKUP, unit: MARKUP } }),
      printed(MARKUP),
      { output_type: "error", ename: MARKUP, evalue: MARKUP, traceback: [MARKUP] },
    ]),
    text(`## ${MARKUP}\n\nlast words`),
  ]);
}

/** The longest of these run with `npm run score`. */
const inFull = it.runIf(process.env.IONBOOK_SIZE === "full");

describe.skipIf(CHROMIUM === undefined)("the page of a notebook opened from disk in Chromium", () => {
  const folder = mkdtempSync(join(tmpdir(), "ionbook-notebook-pages-"));
  let browser: Browser;
  let url: string;
  /** The page as a desk shows it, opened once; who uses it leaves its code folded and its charts whole. */
  let desk: Seen;

  async function write(name: string, document: NotebookDocument, files = 3): Promise<string> {
    const file = join(folder, name);
    const about = { fileName: "sample.ipynb", evidence: evidenceOf(document, files) };
    writeFileSync(file, await notebookPage(document, about));
    return pathToFileURL(file).href;
  }

  const open = (address: string, width = 1280): Promise<Seen> =>
    openPage(browser, address, { viewport: { width, height: 900 } });

  beforeAll(async () => {
    url = await write("sample.html", await sampleNotebook(), 120);
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

  it("the first screen holds the title, what kind of data it is, and the answer", async () => {
    const telephone = await open(url, 390);
    for (const { page } of [desk, telephone]) {
      for (const selector of ["h1", ".invented", "#answer .answer"]) {
        const box = await page.locator(selector).first().boundingBox();
        expect(box && box.y + box.height, selector).toBeLessThan(900);
      }
    }
    await telephone.page.context().close();
  }, 30_000);

  it("printed, folded code stays out and unfolded code comes along", async () => {
    const { page } = desk;
    await page.emulateMedia({ media: "print" });
    expect(await page.locator("details.code:visible").count()).toBe(1);
    await page.evaluate(`(window.printed = document.querySelector("details.code:not([open])")).open = true`);
    expect(await page.locator("details.code:visible").count()).toBe(2);
    expect((await page.pdf({ format: "A4" })).length).toBeGreaterThan(20_000);
    await page.emulateMedia({ media: null });
    await page.evaluate("printed.open = false");
  }, 30_000);

  it("one button unfolds all code and folds it again", async () => {
    const { page } = desk;
    const shownCode = (): Promise<number> => page.locator("details.code pre:visible").count();
    const all = await page.locator("details.code").count();
    expect(all).toBeGreaterThan(5);
    expect(await shownCode()).toBe(1);
    await page.click("#all-code");
    expect(await shownCode()).toBe(all);
    await page.click("#all-code");
    expect(await shownCode()).toBe(0);
  }, 30_000);

  it("a chart zooms by wheel, moves by drag and keys, and a double click shows it whole", async () => {
    const { page } = desk;
    const stage = page.locator(".chart-stage").first();
    await stage.scrollIntoViewIfNeeded();
    const box = await stage.boundingBox();
    if (!box) throw new Error("no chart");
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    const view = async (): Promise<number[]> =>
      ((await stage.locator("svg").getAttribute("viewBox")) ?? "").split(" ").map(Number);
    const whole = await view();
    await page.mouse.move(x, y);
    await page.mouse.wheel(0, -100);
    expect(await view(), "a wheel that only scrolls past").toEqual(whole);
    await stage.scrollIntoViewIfNeeded();
    await stage.focus();
    await page.keyboard.press("+");
    await page.keyboard.press("+");
    const closer = await view();
    expect(closer[2]).toBeLessThan(0.6 * whole[2]);
    expect(closer[3] / closer[2]).toBeCloseTo(whole[3] / whole[2], 3);
    const now = await stage.boundingBox();
    if (!now) throw new Error("no chart");
    await page.mouse.move(now.x + 150, now.y + 60);
    await page.mouse.wheel(0, -200);
    await expect.poll(async () => (await view())[2]).toBeLessThan(closer[2]);
    const before = await view();
    await page.mouse.down();
    await page.mouse.move(now.x + 110, now.y + 60, { steps: 4 });
    await page.mouse.up();
    expect((await view())[0]).toBeGreaterThan(before[0]);
    const dragged = await view();
    await page.keyboard.press("ArrowRight");
    expect((await view())[0]).toBeGreaterThan(dragged[0]);
    await page.mouse.dblclick(now.x + 110, now.y + 60);
    expect(await view()).toEqual(whole);
  }, 30_000);

  inFull(
    "two fingers zoom a chart",
    async () => {
      const context = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true });
      const page = await context.newPage();
      await page.goto(url);
      const stage = page.locator(".chart-stage").first();
      await stage.scrollIntoViewIfNeeded();
      const box = await stage.boundingBox();
      if (!box) throw new Error("no chart");
      const width = async (): Promise<number> =>
        Number(((await stage.locator("svg").getAttribute("viewBox")) ?? "").split(" ")[2]);
      const whole = await width();
      const session = await context.newCDPSession(page);
      const touch = (type: "touchStart" | "touchMove" | "touchEnd", xs: readonly number[]) =>
        session.send("Input.dispatchTouchEvent", {
          type,
          touchPoints: xs.map((dx, id) => ({ x: box.x + dx, y: box.y + 60, id })),
        });
      await touch("touchStart", [130, 170]);
      for (const apart of [40, 70, 100]) await touch("touchMove", [150 - apart, 150 + apart]);
      await touch("touchEnd", []);
      expect(await width()).toBeLessThan(0.7 * whole);
      await context.close();
    },
    30_000,
  );

  inFull(
    "a chart opens in a window of its own and comes back to its place",
    async () => {
      const { page, complaints } = await open(url);
      const figure = page.locator(".chart-figure").first();
      const before = await figure.locator("svg").boundingBox();
      await figure.locator("button[data-do=open]").click();
      const dialog = page.locator("dialog.chart-dialog");
      const large = await dialog.locator("svg").boundingBox();
      expect(large?.width).toBeGreaterThan(1.2 * (before?.width ?? Infinity));
      await page.keyboard.press("Escape");
      await expect.poll(() => dialog.count()).toBe(0);
      expect(await figure.locator("svg").count()).toBe(1);
      expect(complaints).toEqual([]);
      await page.context().close();
    },
    30_000,
  );

  it("a link to something folded unfolds it", async () => {
    const { page } = desk;
    await page.evaluate(`document.querySelector("details.files table").id = "deep"; location.hash = "deep"`);
    await expect.poll(() => page.locator("#deep").isVisible()).toBe(true);
  }, 30_000);

  inFull(
    "is never wider than the window, folded or unfolded",
    async () => {
      for (const width of [360, 390, 820, 1440]) {
        const { page } = await open(url, width);
        for (const unfolded of [false, true]) {
          if (unfolded)
            await page.evaluate(`for (const fold of document.querySelectorAll("details")) fold.open = true`);
          expect(await page.evaluate("document.documentElement.scrollWidth")).toBeLessThanOrEqual(width);
        }
        await page.context().close();
      }
    },
    30_000,
  );

  it("in the dark, texts of charts stand out from their ground", async () => {
    const { page } = desk;
    await page.emulateMedia({ colorScheme: "dark" });
    const darkest = await page.evaluate<number>(`(() => {
      const light = (color) => {
        const [r, g, b] = color.match(/[\\d.]+/g).map((each) => {
          const part = Number(each) / 255;
          return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
        });
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
      };
      const ground = light(getComputedStyle(document.body).backgroundColor);
      const texts = [...document.querySelectorAll(".chart-room text")].filter((text) => text.getAttribute("opacity") !== "0" && !text.closest("[opacity='0']"));
      return Math.min(...texts.map((text) => (light(getComputedStyle(text).fill) + 0.05) / (ground + 0.05)));
    })()`);
    // 4.5 is what WCAG 2.2, 1.4.3 asks for between text and ground (from memory).
    expect(darkest).toBeGreaterThan(4.5);
    await page.emulateMedia({ colorScheme: null });
  }, 30_000);

  it("asks for nothing and complains about nothing, used as above, everything unfolded and every trace drawn", async () => {
    const { page, requests, complaints } = desk;
    await page.evaluate(`(async () => {
      for (const fold of document.querySelectorAll("details")) fold.open = true;
      for (let next; (next = document.querySelector(".ib-trace:not([data-ready])")); ) {
        next.scrollIntoView();
        await new Promise((done) => requestAnimationFrame(done));
      }
      await document.fonts.ready;
    })()`);
    expect(await page.locator(".ib-trace[data-ready] .ib-plot > svg").count()).toBe(2);
    expect(await page.evaluate(`document.fonts.check("16px KaTeX_Math")`)).toBe(true);
    expect([...requests, ...complaints]).toEqual([]);
  }, 30_000);

  it("markup in every text creates nothing, runs nothing, loads nothing and stays in its place", async () => {
    const { page, requests, complaints } = await open(await write("hostile.html", hostileNotebook()));
    await page.evaluate(`for (const fold of document.querySelectorAll("details")) fold.open = true`);
    await page.locator("section").last().scrollIntoViewIfNeeded();
    expect(await page.evaluate(`"broken" in window`)).toBe(false);
    expect(await page.locator("main img, iframe, foreignObject").count()).toBe(0);
    expect(await page.locator("a[href^='javascript']").count()).toBe(0);
    expect(await page.locator("body").isVisible()).toBe(true);
    expect(await page.locator("main > section").count()).toBe(2);
    expect(await page.evaluate(`document.querySelector("main").lastElementChild.className`)).toBe("caution");
    expect(requests).toEqual([]);
    expect(complaints).toEqual([]);
    await page.context().close();
  }, 30_000);

  it("even a script that got into the page would not run", async () => {
    const { page } = desk;
    await page.evaluate(`(() => {
      const script = document.createElement("script");
      script.textContent = "window.broken = 1";
      document.body.append(script);
      const picture = document.createElement("div");
      picture.innerHTML = "<img src=x onerror='window.broken = 1'>";
      document.body.append(picture);
    })()`);
    await page.waitForTimeout(200);
    expect(await page.evaluate(`"broken" in window`)).toBe(false);
  }, 30_000);
});
