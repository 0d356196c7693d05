import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

/** Rooms whose tests start kernels and commands and change the environment: each file keeps to itself. */
const APART = ["kernel", "end-to-end"];
/** Functions that leave nothing behind: their test files share one load of the toolkit and of the chart library. */
const TOGETHER = [
  "batch",
  "calibration",
  "compare",
  "house",
  "ions",
  "limits",
  "notebook",
  "notebook-report",
  "numeric",
  "peaks",
  "score-tools",
  "separation",
  "show",
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
