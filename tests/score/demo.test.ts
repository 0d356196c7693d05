// The whole demonstration as `npm start` runs it: too long for `npm test`; CI runs it besides.
import { spawnSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, describe, expect, it } from "vitest";

const ROOT = fileURLToPath(new URL("../../", import.meta.url));
const place = mkdtempSync(join(tmpdir(), "ionbook-demo-"));
afterAll(() => rmSync(place, { recursive: true, force: true }));

function ionbook(...args: readonly string[]) {
  const command = [join(ROOT, "toolkit", "bin", "ionbook.js"), ...args];
  const done = spawnSync(process.execPath, command, { cwd: place, encoding: "utf8" });
  return { code: done.status, out: done.stdout, err: done.stderr };
}

describe("the demo", () => {
  it("writes its pages, again over its own, and says so in at most ten lines", () => {
    const out = join(place, "reports");
    mkdirSync(out, { recursive: true });
    writeFileSync(join(out, "index.html"), "an older index");
    const { code, out: said, err } = ionbook("demo", "--out", out);
    expect(code, err).toBe(0);
    expect(said.trim().split("\n").length).toBeLessThanOrEqual(10);
    const pages = [
      "index.html",
      "road-salt-in-wells/road-salt-in-wells.html",
      "road-salt-in-wells/report.html",
      "real-input/index.html",
    ];
    for (const page of pages) expect(existsSync(join(out, page))).toBe(true);
    const index = readFileSync(join(out, "index.html"), "utf8");
    for (const page of pages.slice(1)) expect(index).toContain(`href="${page}"`);
    expect(index).toMatch(/invented demonstration data/);
    // The investigation comes first.
    const places = pages.slice(1).map((page) => index.indexOf(page));
    expect(places).toEqual([...places].sort((a, b) => a - b));
    expect(existsSync(join(out, "road-salt-in-wells", "road-salt-in-wells.ipynb"))).toBe(true);
  });
});
