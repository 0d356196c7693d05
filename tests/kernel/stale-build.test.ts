import {
  mkdirSync,
  mkdtempSync,
  readFileSync,
  realpathSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterAll, expect, it } from "vitest";
import { ROOT } from "./client.js";

const folder = realpathSync(mkdtempSync(join(tmpdir(), "ionbook-stale-")));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

it("advice to restart comes once, when the build has changed, not when its record was only touched", async () => {
  const record = join(folder, ".tsbuildinfo");
  mkdirSync(join(folder, "kernel"));
  writeFileSync(join(folder, "package.json"), '{ "type": "module" }');
  const built = readFileSync(join(ROOT, "toolkit", "dist", "kernel", "stale-build.js"), "utf8");
  writeFileSync(join(folder, "kernel", "stale-build.js"), built.replace(/^\/\/# sourceMappingURL.*$/m, ""));
  writeFileSync(record, "first");
  const { watchBuild } = await import(pathToFileURL(join(folder, "kernel", "stale-build.js")).href);
  const advice = watchBuild();
  expect(advice()).toBeUndefined();
  utimesSync(record, new Date(2001, 1), new Date(2001, 1));
  expect(advice()).toBeUndefined();
  writeFileSync(record, "second");
  expect(advice()).toMatch(/restart the kernel/);
  expect(advice()).toBeUndefined();
});
