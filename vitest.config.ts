import { fileURLToPath } from "node:url";
import { defineConfig } from "vitest/config";

export default defineConfig({
  resolve: {
    alias: { ionbook: fileURLToPath(new URL("./toolkit/index.ts", import.meta.url)) },
  },
  test: {
    include: ["tests/**/*.test.ts"],
    exclude: ["tests/score/**"],
    testTimeout: 30_000,
    maxWorkers: 2,
  },
});
