// The extracts of the kelp story are solutions: neutral as they stand in the flask, and titrated with all their bases.
import { describe, expect, it } from "vitest";
import { acidSystem } from "../../toolkit/ions/acid-systems.js";
import { ion } from "../../toolkit/ions/ion-table.js";
import { kelpScenario } from "../../toolkit/simulation/kelp-scenario.js";
import { drawSamples } from "../../toolkit/simulation/true-liquids.js";
import { meanCharge } from "../../toolkit/water/speciation/speciation.js";

/** mmol of charge in a mmol of an ion or of its acid at a pH. */
function chargeOf(name: string, pH: number): number {
  return acidSystem(name) ? meanCharge(name, pH) : ion(name).charge;
}

/** What a true sample holds, mmol/kg by ion; all carbonate under "carbonate". */
function contents(sample: string, options: Parameters<typeof kelpScenario>[0], seed: number) {
  const drawn = drawSamples(kelpScenario(options), seed).get(sample);
  if (!drawn) throw new Error(`no sample ${sample}`);
  const { truth, liquid } = drawn;
  const { chloride } = truth.concentrations;
  /** kg of dry matter in a litre of the extract */
  const share = liquid.concentrations.chloride / chloride;
  const amounts = [
    ...Object.entries(truth.concentrations).filter(([name]) => name !== "hydrogencarbonate"),
    ...truth.unknowns.map(({ ion: name, concentration }) => [name, concentration] as const),
  ].map(([name, value]) => [name, value / ion(name).molarMass] as const);
  return {
    truth,
    share,
    amounts: [...amounts, ["carbonate", (1000 * liquid.totalCarbonate) / share] as const],
  };
}

const PK_POLYANION = 3.6;
const ionised = (pH: number) => 1 / (1 + 10 ** (PK_POLYANION - pH));

describe("an extract of the kelp story", () => {
  it.each([1, 2, 3])("is neutral with organic anions and polymers counted, seed %i", (seed) => {
    for (const sample of ["10 min", "1 h", "24 h", "second water", "third water"]) {
      const { truth, amounts, share } = contents(sample, {}, seed);
      const pH = truth.pH ?? Number.NaN;
      const charges = amounts.map(([name, amount]) => amount * chargeOf(name, pH));
      const parts = [
        ...charges,
        -(truth.polyanions ?? 0) * ionised(pH),
        (1000 * (10 ** -pH - 10 ** (pH - 14))) / share,
      ];
      const size = parts.reduce((sum, part) => sum + Math.abs(part), 0);
      expect(Math.abs(parts.reduce((sum, part) => sum + part, 0)) / size, sample).toBeLessThan(2e-4);
    }
  });

  it("has an alkalinity of all its bases down to pH 4.5, of which carbonate is the smaller part", () => {
    const { truth, amounts, share } = contents("1 h", {}, 1);
    const pH = truth.pH ?? Number.NaN;
    const taken = amounts.map(([name, amount]) => [
      name,
      amount * (chargeOf(name, 4.5) - chargeOf(name, pH)),
    ]) as [string, number][];
    const polymers = (truth.polyanions ?? 0) * (ionised(pH) - ionised(4.5));
    const bases = taken.reduce((sum, [, part]) => sum + part, polymers);
    const lowerPH = 1000 * (10 ** -4.5 - 10 ** -pH);
    // mg/L as CaCO3, 50.04 mg/meq (Standard Methods 2320 B, from memory)
    expect(truth.alkalinity).toBeCloseTo(50.04 * (bases * share + lowerPH), 1);
    const carbonate = taken.find(([name]) => name === "carbonate")?.[1] ?? 0;
    expect(carbonate / bases).toBeLessThan(0.1);
  });

  it("holds as much of organic acids and polymers as asked for, and potassium to match", () => {
    const [told, none] = [{}, { organicAnions: 0, polyanions: 0 }].map((options) =>
      contents("1 h", options, 1),
    );
    expect(none.truth.unknowns).toEqual([]);
    expect(none.truth.polyanions).toBe(0);
    expect(told.truth.unknowns.map((each) => each.ion)).toEqual(["acetate", "lactate", "formate", "oxalate"]);
    const lost =
      told.truth.unknowns.reduce((sum, each) => sum + each.microequivalentsPerLiter / 1000, 0) +
      (told.truth.polyanions ?? 0);
    const potassium = (each: typeof told) => each.truth.concentrations.potassium / ion("potassium").molarMass;
    expect(potassium(told) - potassium(none)).toBeGreaterThan(0.98 * lost);
    expect(potassium(told) - potassium(none)).toBeLessThan(lost);
    expect(told.truth.conductivity).toBeGreaterThan(none.truth.conductivity ?? Infinity);
  });
});
