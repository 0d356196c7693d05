import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { fieldMeasurements } from "../../toolkit/batch/quantify/field-measurements.js";
import { makeResults } from "../../toolkit/batch/quantify/results.js";
import { openBatch } from "../../toolkit/batch/reading/open-batch.js";
import { DEMO_FOLDER, demoResults } from "./demo-results.js";

// The demonstration data (invented) state the uncertainty of every titration.
const SAMPLE = "well 1 (12 Mar)";

async function rowsOf(sample: string) {
  const { samples } = await openBatch(`${DEMO_FOLDER}/anions`);
  return samples.filter((row) => row.sample === sample);
}

it("a stated uncertainty of the alkalinity is the one that counts, down to the balance", async () => {
  const [header, ...lines] = readFileSync(`${DEMO_FOLDER}/anions/samples.csv`, "utf8").split(/\r?\n/);
  const cells = lines.find((line) => line.startsWith(SAMPLE))?.split(",") ?? [];
  const stated = Number(cells[header.split(",").indexOf("u_alkalinity_mg_L_CaCO3")]);
  expect(stated).toBeGreaterThan(0);
  const { alkalinity } = fieldMeasurements(SAMPLE, await rowsOf(SAMPLE));
  expect(alkalinity?.u).toBe(stated);
  const balance = (await demoResults()).balances.find(({ sample }) => sample === SAMPLE);
  const source = balance?.anions.budget().find((each) => each.source === `alkalinity titration of ${SAMPLE}`);
  // 100.0869 g/mol of CaCO3 carry two equivalents; source: IUPAC atomic weights. Other bases take a little of it.
  expect(source?.contribution).toBeCloseTo(stated / 50.043, 5);
}, 60_000);

it("what stands in a mass, dry or as it is, is no water", async () => {
  const { kind, title, invented, batches, peaks, calibrations, checks, balances, unknowns, traces, samples } =
    await demoResults();
  const inMass = samples.map((row) => (row.sample === SAMPLE ? { ...row, unit: "mg/kg" } : row));
  const parts = { kind, title, invented, batches, peaks, calibrations, checks, balances, unknowns, traces };
  const names = makeResults({ ...parts, samples: inMass })
    .waters()
    .map(({ name }) => name);
  expect(names).toContain("well 2 (12 Mar)");
  expect(names).not.toContain(SAMPLE);
  expect(names).not.toContain("roadside soil (12 Mar)");
}, 60_000);

it("where none is stated, that of a usual titration stands in: 2 %, at least 1 mg/L as CaCO3", async () => {
  const [row] = await rowsOf(SAMPLE);
  const of = (alkalinity: number) =>
    fieldMeasurements(SAMPLE, [{ ...row, alkalinity, uAlkalinity: undefined }]).alkalinity?.u;
  expect(of(200)).toBeCloseTo(4, 12);
  expect(of(20)).toBe(1);
});
