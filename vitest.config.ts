import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

/** Rooms whose tests start kernels and commands and change the environment: each file keeps to itself. */
const APART = ["kernel", "end-to-end"];
/** What people look at, with its views registered: test files share one load of the toolkit and the chart library. */
const SHOWN = ["house", "notebook", "notebook-report", "show"];
/** Functions that leave nothing behind, and results that no view is registered for: files share one load of the toolkit. */
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
      { extends: true, test: { name: "shown", include: tests(SHOWN), isolate: false } },
      { extends: true, test: { name: "together", include: tests(TOGETHER), isolate: false } },
    ],
  },
});
