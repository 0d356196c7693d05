// A real Jupyter page in a real browser, where both are installed (Debian: jupyter-notebook, chromium): a person opens a
// notebook, runs its cells, interrupts an endless one and goes on.
import { fileURLToPath } from "node:url";
import { type Browser, chromium, type Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { CHROMIUM } from "../show/opened-page.js";
import { type NotebookServer, startNotebookServer } from "./front-end/notebook-server.js";
import { pythonWith } from "./front-end/python.js";

const ROOT = fileURLToPath(new URL("../../", import.meta.url));
const python = pythonWith("notebook.notebookapp");
const missing = [
  python === undefined && "Jupyter's notebook page (apt-get install jupyter-notebook)",
  CHROMIUM === undefined && "Chromium (apt-get install chromium)",
].filter((each) => each !== false);
if (missing.length > 0)
  console.warn(`tests/end-to-end/front-end: skipped, not on this machine: ${missing.join(", ")}`);

const CELLS = [
  'import { calibrate, measured } from "ionbook";\nconst curve = calibrate([1, 2, 5, 10, 20].map((x) => ({ concentration: x, response: 0.03 * x + 0.001 * (x % 3) })));\ncurve',
  'const level = 39;\nmeasured(12.4, "mg/L", { u: 0.2 }, { source: "reading" })',
  "const nothing: any = undefined;\nnothing.levels;",
  "while (true) {}",
  "level + 3",
];

const notebook = JSON.stringify({
  nbformat: 4,
  nbformat_minor: 5,
  metadata: { kernelspec: { name: "ionbook", display_name: "Ionbook (TypeScript)", language: "typescript" } },
  cells: CELLS.map((source, at) => ({
    cell_type: "code",
    id: `cell-${at}`,
    metadata: {},
    execution_count: null,
    outputs: [],
    source,
  })),
});

describe.skipIf(missing.length > 0)("our kernel behind a Jupyter page", () => {
  let server: NotebookServer;
  let browser: Browser;
  let page: Page;

  beforeAll(async () => {
    server = await startNotebookServer(python ?? "", ROOT, { "salt.ipynb": notebook });
    browser = await chromium.launch({ executablePath: CHROMIUM ?? "", args: ["--no-sandbox"] });
    page = await browser.newPage({ viewport: { width: 1100, height: 1000 } });
    await page.goto(server.address("salt.ipynb"));
    await page.locator("#kernel_indicator_icon.kernel_idle_icon").waitFor({ timeout: 20_000 });
  }, 60_000);
  afterAll(async () => {
    await browser?.close();
    server?.stop();
  });

  const cell = (at: number) => page.locator(".code_cell").nth(at);

  /** Clicks into a cell and runs it as a person does. */
  async function run(at: number): Promise<void> {
    await cell(at).locator(".CodeMirror").click();
    await page.keyboard.press("Control+Enter");
  }

  it("shows a plot for a calibration curve", async () => {
    await run(0);
    const picture = cell(0).locator(".output_area img, .output_area svg").first();
    await picture.waitFor({ timeout: 20_000 });
    const size = await picture.boundingBox();
    expect(size?.width).toBeGreaterThan(150);
    expect(size?.height).toBeGreaterThan(100);
  }, 30_000);

  it("shows a table for a measured value", async () => {
    await run(1);
    await cell(1).locator(".output_area table").first().waitFor({ timeout: 10_000 });
    expect(await cell(1).locator(".output_area").textContent()).toContain("12.4");
  }, 30_000);

  it("shows an error at the cell's own line", async () => {
    await run(2);
    const error = cell(2).locator(".output_area .output_error");
    await error.waitFor({ timeout: 10_000 });
    const text = await error.textContent();
    expect(text).toMatch(/Error/);
    expect(text).toContain("nothing.levels");
    expect(text).not.toContain("const curve");
  }, 30_000);

  it("interrupts an endless loop and runs the next cell", async () => {
    await run(3);
    await page.locator("#kernel_indicator_icon.kernel_busy_icon").waitFor({ timeout: 10_000 });
    await page.locator("[data-jupyter-action='jupyter-notebook:interrupt-kernel']").click();
    await cell(3).locator(".output_area .output_error").waitFor({ timeout: 10_000 });
    await run(1);
    await page.locator("#kernel_indicator_icon.kernel_idle_icon").waitFor({ timeout: 10_000 });
    await run(4);
    // What earlier cells declared is still there.
    await cell(4).locator(".output_area").first().waitFor({ timeout: 10_000 });
    expect(await cell(4).locator(".output_area").textContent()).toContain("42");
  }, 30_000);
});
