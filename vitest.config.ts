import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

/** Rooms whose tests start processes, change the environment or register views: each file keeps to itself. */
const APART = ["show", "kernel", "notebook", "notebook-report", "end-to-end", "house"];
/** Pure functions all the way: their test files share one load of the toolkit, which takes a third of the time. */
const TOGETHER = [
  "batch",
  "calibration",
  "compare",
  "ions",
  "limits",
  "numeric",
  "peaks",
  "score-tools",
  "separation",
  "signal",
  "simulation",
  "standards",
  "uncertainty",
  "water",
];

const tests = (rooms: readonly string[]) => rooms.map((room) => `tests/${room}/**/*.test.ts`);

export default defineConfig({
  resolve: {
    alias: { ionbook: fileURLToPath(new URL("./toolkit/index.ts", import.meta.url)) },
  },
  test: {
    testTimeout: 30_000,
    maxWorkers: 2,
    projects: [
      { extends: true, test: { name: "apart", include: tests(APART) } },
      { extends: true, test: { name: "together", include: tests(TOGETHER), isolate: false } },
    ],
  },
});
