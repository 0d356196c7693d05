import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, afterEach, beforeEach, describe, expect, it } from "vitest";
import { readChromatogram } from "../../toolkit/batch/reading/chromatogram.js";
import { openBatch } from "../../toolkit/batch/reading/open-batch.js";
import type { Evidence } from "../../toolkit/evidence.js";
import { readPublishedPeaks } from "../../toolkit/peaks/integration/published-peaks.js";
import { roadSaltScenario } from "../../toolkit/simulation/road-salt-scenario.js";
import { simulateBatch } from "../../toolkit/simulation/simulate-batch.js";
import { measured, monteCarlo } from "../../toolkit/uncertainty/measured.js";
import { readPublishedAnalyses } from "../../toolkit/water/published/published-analyses.js";

const DATASETS = fileURLToPath(new URL("../../datasets/", import.meta.url));
const LISTENER = Symbol.for("ionbook.evidence");
const place = mkdtempSync(join(tmpdir(), "evidence-"));
afterAll(() => rmSync(place, { recursive: true }));

let heard: Evidence[] = [];
beforeEach(() => {
  heard = [];
  Reflect.set(globalThis, LISTENER, (evidence: Evidence) => heard.push(evidence));
});
afterEach(() => void Reflect.deleteProperty(globalThis, LISTENER));

const read = () => heard.flatMap((each) => (each.kind === "file read" ? [each.path] : []));

describe("what a result rests on is noted", () => {
  it("every file of a batch folder, in folders below and beside the worksheet too", async () => {
    const folder = join(place, "batch");
    mkdirSync(join(folder, "below", "it"), { recursive: true });
    for (const name of ["batch.json", "left-out.csv", "below/it/notes.txt"]) {
      writeFileSync(join(folder, name), "{}");
    }
    // The batch itself is none: what was looked at is noted all the same.
    await expect(openBatch(folder)).rejects.toMatchObject({ name: "IonbookError" });
    expect(read().map((path) => relative(folder, path))).toEqual([
      "batch.json",
      join("below", "it", "notes.txt"),
      "left-out.csv",
    ]);
  });

  it("a chromatogram and published tables", async () => {
    const files = [
      "liquid-chromatogram/liquid-chromatogram-8-peaks.cdf",
      "liquid-chromatogram/liquid-chromatogram-8-peaks.expected.csv",
      "river-analyses/usgs-ion-balance-22.csv",
    ].map((name) => join(DATASETS, name));
    const readers = [readChromatogram, readPublishedPeaks, readPublishedAnalyses];
    for (const [i, reader] of readers.entries()) await reader(files[i]);
    expect(read()).toEqual(files);
  });

  it("the seeds of random numbers, with what was drawn", () => {
    const a = measured(1, "mg/L", { u: 0.1 });
    monteCarlo((x: Readonly<Record<string, number>>) => x.a, { a }, { trials: 1000, seed: 3 });
    simulateBatch(roadSaltScenario(), { seed: 2 });
    expect(heard).toEqual([
      { kind: "seed", seed: 3, purpose: "Monte Carlo, 1000 trials" },
      { kind: "seed", seed: 2, purpose: expect.stringContaining("invented batch") },
    ]);
  });
});
