import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, it } from "vitest";
import { generateFirst } from "../score/first-generator.js";

const scratch = mkdtempSync(join(tmpdir(), "ionbook-first-"));
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

it("the product's simulator tells its truth in the scorer's words: every sample, ion and stranger has its place", () => {
  const { batches } = generateFirst(1, scratch);
  expect(batches.map(({ channel }) => channel)).toEqual(["anion", "cation"]);
  for (const { folder, ions, samples, peaks, injections, noise } of batches) {
    expect(existsSync(join(folder, "worksheet.csv"))).toBe(true);
    expect(samples.length % ions.length).toBe(0);
    expect(
      samples.every(({ dilutions, preparationFactor }) => dilutions.length > 0 && preparationFactor > 0),
    ).toBe(true);
    expect(samples.some(({ value }) => value === 0)).toBe(true);
    expect(new Set(peaks.map(({ injection }) => injection)).size).toBeGreaterThan(injections.length / 2);
    expect(noise).toBeGreaterThan(0);
  }
  const strangers = batches.flatMap(({ peaks }) => peaks.filter(({ kind }) => kind === "unknown"));
  expect(strangers.some(({ visible, height }) => visible && height > 0.01)).toBe(true);
  const merged = batches.flatMap(({ peaks }) => peaks.filter(({ visible }) => !visible));
  expect(merged.length).toBeLessThan(batches.flatMap(({ peaks }) => peaks).length / 2);
}, 30_000);
