import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

const root = fileURLToPath(new URL("../..", import.meta.url));

/** The full-size score: minutes, so it stays out of `npm test`. */
export default defineConfig({
  root,
  resolve: { alias: { ionbook: fileURLToPath(new URL("../../toolkit/index.ts", import.meta.url)) } },
  test: {
    include: [
      "tests/score/**/*.test.ts",
      "tests/end-to-end/investigation.test.ts",
      "tests/end-to-end/new-matrix.test.ts",
      "tests/end-to-end/notebook-commands.test.ts",
      "tests/end-to-end/notebook-types.test.ts",
      "tests/notebook-report/page-in-browser.test.ts",
      "tests/show/page-in-browser.test.ts",
      "tests/water/balance-correlation.test.ts",
    ],
    env: { IONBOOK_SIZE: "full" },
    testTimeout: 1_200_000,
    hookTimeout: 1_200_000,
    maxWorkers: 2,
    disableConsoleIntercept: true,
  },
});
