import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { isIonbookError } from "../../toolkit/errors.js";
import {
  balancePublishedAnalysis,
  readPublishedAnalyses,
} from "../../toolkit/water/published/published-analyses.js";

const path = fileURLToPath(new URL("../../datasets/river-analyses/usgs-ion-balance-22.csv", import.meta.url));

describe("22 river analyses of the U.S. Geological Survey (USGS-R/smwrData, CC0; read) and their published balance", () => {
  it("all 22 records are read, alkalinity missing in the first alone", async () => {
    const analyses = await readPublishedAnalyses(path);
    expect(analyses).toHaveLength(22);
    expect(analyses.map(({ alkalinity }) => alkalinity === undefined)).toEqual([
      true,
      ...Array(21).fill(false),
    ]);
    expect(analyses[0]).toMatchObject({ sample: "00300038", station: "05079250", date: "2002-11-25" });
  });

  it("cation and anion sums within 0.001 meq/L, percent difference within 0.03 percentage points", async () => {
    for (const analysis of await readPublishedAnalyses(path)) {
      const balance = balancePublishedAnalysis(analysis);
      // Half a unit of the last printed digit lies between the published sum and the published ions.
      expect(Math.abs(balance.cations.value - analysis.published.cations)).toBeLessThan(0.001 + 1e-9);
      expect(Math.abs(balance.anions.value - analysis.published.anions)).toBeLessThan(0.001 + 1e-9);
      expect(Math.abs(balance.percentDifference.value - analysis.published.percentDifference)).toBeLessThan(
        0.03,
      );
    }
  });

  it("the first differs by 87.4 % and the missing hydrogencarbonate is the first suspect; the other 21 are within 5 %", async () => {
    const [first, ...others] = (await readPublishedAnalyses(path)).map(balancePublishedAnalysis);
    expect(first.percentDifference.value).toBeCloseTo(87.4, 1);
    expect(first.suspects[0].cause).toBe("hydrogencarbonate not measured");
    for (const balance of others) expect(Math.abs(balance.percentDifference.value)).toBeLessThan(5);
  });
});

describe("bad tables are refused with file, line and column", () => {
  const header = "SAMPLE,STAID,DATES,Ca,Cl,Alk,Cation_sum,Anion_sum,Pct_Diff\n";
  it.each([
    ["a,b,2000-01-01,1,x,1,1,1,0", "not-a-number", { line: 2, column: "Cl" }],
    ["a,b,2000-01-01,1,1,1,1,NA,0", "not-a-number", { line: 2, column: "Anion_sum" }],
    ["a,b", "bad-table", {}],
    ["", "bad-table", {}],
  ])("%s", async (row, code, where) => {
    const folder = await mkdtemp(join(tmpdir(), "analyses-"));
    try {
      const file = join(folder, "table.csv");
      await writeFile(file, header + row);
      const error = await readPublishedAnalyses(file).then(
        () => undefined,
        (thrown: unknown) => thrown,
      );
      if (!isIonbookError(error)) throw new Error(`expected an IonbookError, got ${String(error)}`);
      expect(error.code).toBe(code);
      expect(error.where).toMatchObject({ file, ...where });
    } finally {
      await rm(folder, { recursive: true });
    }
  });
  it("a missing column and a missing file", async () => {
    await expect(readPublishedAnalyses(`${path}.none`)).rejects.toMatchObject({ code: "file-not-found" });
    const folder = await mkdtemp(join(tmpdir(), "analyses-"));
    try {
      const file = join(folder, "table.csv");
      await writeFile(file, "SAMPLE,STAID\na,b\n");
      await expect(readPublishedAnalyses(file)).rejects.toMatchObject({ code: "missing-column" });
    } finally {
      await rm(folder, { recursive: true });
    }
  });
});
