import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { convert } from "../../../toolkit/ions/units.js";
import { diagnoseBalance } from "../../../toolkit/water/diagnosis/diagnose-balance.js";
import { readPublishedAnalyses } from "../../../toolkit/water/published/published-analyses.js";
import { asCaCO3, referenceCases } from "../reference-cases.js";

interface Inputs {
  readonly mg_per_L: Readonly<Record<string, number>>;
  readonly pH: number;
}

const WATERS = referenceCases<Inputs, { readonly conductivity_20C_measured: number }>("stuyfzand_water");
/** Conductivity at 20 °C over that at 25 °C, as the source has it. */
const AT_20 = 0.885;
const diagnosed = (factor: number) =>
  WATERS.map(({ id, inputs, expected }) => ({
    id,
    ...diagnoseBalance(inputs.mg_per_L, {
      pH: inputs.pH,
      conductivity: expected.conductivity_20C_measured / factor,
    }),
  }));

describe("16 published waters with measured conductivity (P.J. Stuyfzand, KIWA report 1987, table 3.1; read as data)", () => {
  it("raise nothing, but for the three whose conductivity no model here computes: two below 80 µS/cm, one of 0.12 mol/L", () => {
    const raised = diagnosed(AT_20).filter((each) => each.raised);
    const hard = ["stuyfzand_water_01", "stuyfzand_water_05", "stuyfzand_water_23"];
    expect(WATERS).toHaveLength(16);
    expect(hard).toEqual(expect.arrayContaining(raised.map(({ id }) => id)));
  });
  it("taken with their conductivity at 20 °C as if it were that at 25 °C, 10 of them are told just that", () => {
    const told = diagnosed(1).filter(
      ({ raised, hypotheses }) => raised && hypotheses[0].cause === "conductivity read at 20 °C",
    );
    expect(told.length).toBeGreaterThanOrEqual(10);
  });
});

describe("22 river analyses of the U.S. Geological Survey (USGS-R/smwrData, CC0; read)", () => {
  const path = fileURLToPath(
    new URL("../../../datasets/river-analyses/usgs-ion-balance-22.csv", import.meta.url),
  );

  it("the first, published without alkalinity and 87.4 % off, lacks hydrogencarbonate", async () => {
    const [{ milliequivalents, alkalinity }, { alkalinity: next }] = await readPublishedAnalyses(path);
    const ions = Object.entries(milliequivalents).map(([name, value]) => [
      name,
      convert(value, "meq/L", "mg/L", name),
    ]);
    expect(alkalinity).toBeUndefined();
    const water = Object.fromEntries(ions);
    const { raised, hypotheses, reported } = diagnoseBalance(water);
    expect(reported.percentDifference).toBeCloseTo(87.4, 1);
    expect(raised).toBe(true);
    expect(hypotheses[0].cause).toBe("hydrogencarbonate not measured");
    // Some weeks later the same river had 6.9 meq/L.
    const found = asCaCO3(convert(hypotheses[0].change.to ?? 0, "mg/L", "meq/L", "hydrogencarbonate"));
    expect(found / asCaCO3(next ?? 0)).toBeGreaterThan(0.9);
    expect(found / asCaCO3(next ?? 0)).toBeLessThan(1.2);
  });
});
