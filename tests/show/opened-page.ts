import { existsSync } from "node:fs";
import type { Browser, BrowserContextOptions, Page } from "playwright-core";

/** The browser of this machine; undefined where there is none. */
export const CHROMIUM = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"].find(
  existsSync,
);

/** Says once that the tests of a file are skipped for want of a browser. */
export function tellOfMissingChromium(file: string): void {
  if (CHROMIUM !== undefined) return;
  console.warn(`${file}: skipped, there is no Chromium on this machine (apt-get install chromium)`);
}

export interface Seen {
  readonly page: Page;
  /** Everything that the page asked for, other than itself. */
  readonly requests: string[];
  /** Console errors and warnings, uncaught errors, dialogs. */
  readonly complaints: string[];
}

/** Opens a page and listens to all that it asks for and complains about. */
export async function openPage(browser: Browser, url: string, options: BrowserContextOptions): Promise<Seen> {
  const context = await browser.newContext({ reducedMotion: "reduce", ...options });
  const page = await context.newPage();
  const requests: string[] = [];
  const complaints: string[] = [];
  page.on("request", (request) => {
    if (request.url().split("#")[0] !== url.split("#")[0] && !request.url().startsWith("data:"))
      requests.push(request.url());
  });
  page.on("console", (message) => {
    if (message.type() === "error" || message.type() === "warning") complaints.push(message.text());
  });
  page.on("pageerror", (error) => complaints.push(error.message));
  page.on("dialog", (dialog) => {
    complaints.push(dialog.message());
    void dialog.dismiss();
  });
  await page.goto(url);
  return { page, requests, complaints };
}
