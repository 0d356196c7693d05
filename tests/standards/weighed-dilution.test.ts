// Solutions prepared by mass: buoyancy against published forms, covariance against the weighings done many times.
// Full size, seeds 1, 2 and 3: tests/score/standards-covariance.test.ts.
import { describe, expect, it } from "vitest";
import { airDensity } from "../../toolkit/standards/air-density.js";
import { laboratoryBalance } from "../../toolkit/standards/balance.js";
import { pipette, volumetricFlask } from "../../toolkit/standards/glassware.js";
import { prepareStandards, type StandardsRecipe } from "../../toolkit/standards/prepare-standards.js";
import type { WeighedSolution } from "../../toolkit/standards/solution.js";
import { buoyancyFactor, weighedVolume } from "../../toolkit/standards/weighing.js";
import { measured } from "../../toolkit/uncertainty/measured.js";
import { codeOf, published, titleOf } from "../calibration/published.js";
import { largestDifferencePercent } from "./glassware-simulation.js";
import { simulatedWeighings, WEIGHED_LEVELS, WEIGHED_RECIPE } from "./weighing-simulation.js";

const balance = laboratoryBalance(220);
const exact = { u: 0 };
const stock = {
  name: "stock",
  contents: [{ ion: "chloride", concentration: 1000, uncertainty: { expanded: 4, k: 2 } }],
  density: { value: 1.02, uncertainty: { u: 0.0005 } },
};
const level: WeighedSolution = {
  name: "level",
  balance,
  mass: 100,
  density: { value: 0.9983, uncertainty: { u: 0.0002 } },
  aliquots: [{ from: "stock", mass: 5 }],
};
const made = (change: object, more: Partial<StandardsRecipe> = {}) =>
  prepareStandards({ stocks: [stock], solutions: [{ ...level, ...change } as WeighedSolution], ...more });

describe("buoyancy in air", () => {
  const mass = published("t06_uncertainty.json", "jcgm101_mass_calibration");

  it(`leads to the conventional mass of: ${titleOf(mass)}`, () => {
    // Conventional mass m(1 − 1.2/ρ)/(1 − 1.2/8000): OIML D 28:2004, from memory. The model is the reference's, with
    // weights of 8000 kg/m³; first order in the air, hence 10⁻⁴ mg in 100 g.
    const conventional = (density: number, air: number) =>
      (1e5 * buoyancyFactor(density / 1000, air) * (1 - 1.2 / density)) / (1 - 1.2 / 8000);
    for (const air of [1.1, 1.2, 1.3]) {
      for (const density of [7000, 8000, 9000]) {
        const model = 1e5 * (1 + (air - 1.2) * (1 / density - 1 / 8000));
        expect(Math.abs(conventional(density, air) - model)).toBeLessThan(1e-4);
      }
    }
    expect(conventional(7000, 1.3) - 1e5).toBeGreaterThan(0.1);
  });

  it.each([
    [15, 0.9991, 1.002],
    [20, 0.9982, 1.0029],
    [25, 0.99705, 1.004],
  ])("gives mL per g of water at %f °C as ISO 8655-6 lists them (from memory)", (temperature, density, z) => {
    const air = airDensity({ temperature, pressure: 1013 });
    const used = laboratoryBalance(220, { airDensity: { value: air, uncertainty: exact } });
    const volume = weighedVolume(
      used,
      { act: "weighing", day: "one", mass: 1 },
      measured(density, "g/mL", exact),
    );
    expect(Math.abs(volume.value - z)).toBeLessThan(0.00006);
  });

  it("takes air as the full formula CIPM-2007 has it, within 2·10⁻⁴ (Picard et al., Metrologia 45, 2008; from memory)", () => {
    for (const temperature of [15, 20, 27]) {
      for (const pressure of [900, 1013.25, 1090]) {
        for (const humidity of [20, 50, 75]) {
          const own = airDensity({ temperature, pressure, humidity });
          expect(Math.abs(own / cipm2007(temperature, pressure * 100, humidity / 100) - 1)).toBeLessThan(
            2e-4,
          );
        }
      }
    }
  });
});

/** kg/m³ at °C, Pa and relative humidity as a fraction, with 400 µmol/mol of carbon dioxide. */
function cipm2007(t: number, p: number, h: number): number {
  const T = t + 273.15;
  const saturated = Math.exp(1.2378847e-5 * T * T - 1.9121316e-2 * T + 33.93711047 - 6.3431645e3 / T);
  const vapour = (h * (1.00062 + 3.14e-8 * p + 5.6e-7 * t * t) * saturated) / p;
  const a = 1.58123e-6 - 2.9331e-8 * t + 1.1043e-10 * t * t;
  const b = (5.707e-6 - 2.051e-8 * t) * vapour;
  const c = (1.9898e-4 - 2.376e-6 * t) * vapour * vapour;
  const z = 1 - (p / T) * (a + b + c) + (p / T) ** 2 * (1.83e-11 - 0.765e-8 * vapour * vapour);
  return ((3.48374e-3 * p) / (z * T)) * (1 - 0.378 * vapour);
}

describe("a level by mass", () => {
  const found = made({}).concentration("level", "chloride");

  it("holds c·ρ_f·m_a/(ρ_s·m_f) with air taken off both densities; without air within 0.1 % (handbook of the laboratory, Calibration 1)", () => {
    expect(found.value).toBeCloseTo((1000 * 5 * (0.9983 - 0.0012)) / (100 * (1.02 - 0.0012)), 9);
    expect(Math.abs(found.value / ((1000 * 5 * 0.9983) / (100 * 1.02)) - 1)).toBeLessThan(0.001);
  });

  it("has certificate, two weighings, two densities and what the air leaves as its sources", () => {
    const weighing = Math.SQRT2 * Math.hypot(0.0001, 0.0002 / Math.sqrt(3));
    // Of the air the difference of two like densities is left: ∂ln c/∂ρ_a = 1/(ρ_s − ρ_a) − 1/(ρ_f − ρ_a).
    const air = (0.0001 / Math.sqrt(3)) * (1 / (1.02 - 0.0012) - 1 / (0.9983 - 0.0012));
    const parts: Record<string, number> = {
      "certificate of stock, chloride": 0.002,
      "weighing stock into level": weighing / 5,
      "weighing all of level": weighing / 100,
      "density of stock": 0.0005 / (1.02 - 0.0012),
      "density of level": 0.0002 / (0.9983 - 0.0012),
      "air, day of preparation": Math.abs(air),
    };
    const budget = new Map(
      found.budget().map((row) => [row.source, Math.abs(row.contribution) / found.value]),
    );
    for (const [source, share] of Object.entries(parts))
      expect(budget.get(source), source).toBeCloseTo(share, 8);
    expect(found.u / found.value).toBeCloseTo(Math.hypot(...Object.values(parts)), 8);
    // One balance for both masses: its slope cancels.
    expect(budget.get("sensitivity of 220 g balance") ?? 0).toBeLessThan(1e-12);
  });

  it("does not feel the density of an intermediate that is weighed in and out", () => {
    const thin = { value: 0.9983, uncertainty: { u: 0.0002 } };
    const through = (value: number) =>
      prepareStandards({
        stocks: [stock],
        solutions: [
          { ...level, name: "mixture", density: { value, uncertainty: { u: 0.01 } } },
          { ...level, density: thin, aliquots: [{ from: "mixture", mass: 10 }] },
        ],
      }).concentration("level", "chloride");
    expect(through(0.99).value).toBeCloseTo(through(1.01).value, 9);
    expect(
      Math.abs(
        through(1)
          .budget()
          .find(({ source }) => source === "density of mixture")?.contribution ?? 0,
      ),
    ).toBeLessThan(1e-9);
  });
});

describe("the covariance of levels by mass", () => {
  it("equals that of the same weighings done 150 000 times, within 2 %, mixed with flask and pipette", () => {
    const { rows, matrix } = prepareStandards(WEIGHED_RECIPE).covariance();
    expect(rows.map(({ solution }) => solution)).toEqual([...WEIGHED_LEVELS]);
    const { percent, pairs } = largestDifferencePercent(matrix, simulatedWeighings(150_000, 1), 0.3);
    expect(pairs).toBe(10);
    expect(percent).toBeLessThan(2);
  });
});

describe("the card of a level by mass", () => {
  const nitric = { acid: "nitric acid", molarity: 0.1 } as const;

  it("says what to weigh on which balance, that buoyancy is reckoned with, and every caution", () => {
    const card = made({ matrix: nitric, aliquots: [{ from: "stock", mass: 0.15 }] });
    const text = String(card);
    expect(text).toContain(
      "0.15 g stock (220 g balance); water until all of it weighs 100 g (220 g balance), mix.",
    );
    expect(text).toContain("Density 0.9983 g/mL, air 1.2 kg/m³.");
    expect(text).toContain("nitric acid to 0.1 mol/L".replace("n", "N"));
    expect(text.split("buoyancy is reckoned with")).toHaveLength(2);
    expect(text).not.toContain("fill to the mark");
    const cautions = card.cautions.map((each) => each.text).join("\n");
    const flask = prepareStandards({
      stocks: [stock],
      solutions: [
        {
          name: "level",
          flask: volumetricFlask(100),
          matrix: nitric,
          aliquots: [{ from: "stock", pipette: pipette(1) }],
        },
      ],
    });
    for (const { text: caution } of flask.cautions) expect(cautions).toContain(caution);
    // USP <41>, from memory: 2000 standard deviations of 0.1 mg.
    expect(cautions).toContain("0.15 g is below the 0.2 g from which the 220 g balance is good for 0.1 %");
    expect(cautions).toContain("1:200 is the usual limit");
  });

  it("refuses barium with sulfate as a flask does", () => {
    const of = (name: string, ion: string) => ({ ...stock, name, contents: [{ ...stock.contents[0], ion }] });
    const aliquots = ["a", "b"].map((from) => ({ from, mass: 5 }));
    expect(codeOf(() => made({ aliquots }, { stocks: [of("a", "barium"), of("b", "sulfate")] }))).toBe(
      "incompatible-ions",
    );
  });
});

describe("a weighing that cannot be", () => {
  const { density: _none, ...unknownDensity } = stock;
  it.each([
    ["a misspelt option", "unknown-option", () => made({ masse: 3 })],
    [
      "a misspelt option of an aliquot",
      "unknown-option",
      () => made({ aliquots: [{ from: "stock", mass: 5, volume: 5 }] }),
    ],
    [
      "a misspelt option of the balance",
      "unknown-option",
      () => laboratoryBalance(220, { linear: 1 } as object),
    ],
    ["a flask and a mass", "bad-solution", () => made({ flask: volumetricFlask(100) })],
    ["no density of the solution", "no-density", () => made({ density: undefined })],
    ["no density of what is weighed", "no-density", () => made({}, { stocks: [unknownDensity] })],
    ["a density in kg/m³", "bad-density", () => made({ density: { value: 998.3, uncertainty: exact } })],
    ["a mass beyond the balance", "bad-mass", () => made({ mass: 221 })],
    ["no balance", "bad-balance", () => made({ balance: undefined })],
    ["aliquots heavier than all", "mass-too-small", () => made({ mass: 4.9 })],
    [
      "air of another planet",
      "bad-balance",
      () => laboratoryBalance(1, { airDensity: { value: 65, uncertainty: exact } }),
    ],
    ["pressure in kPa", "bad-air", () => airDensity({ temperature: 20, pressure: 101.3 })],
    [
      "more than the bottle holds",
      "not-enough",
      () => {
        const taken = { ...level, name: "next", mass: 200, aliquots: [{ from: "level", mass: 101 }] };
        return prepareStandards({ stocks: [stock], solutions: [level, taken] });
      },
    ],
  ])("%s ends as %s", (_what, code, call) => {
    expect(codeOf(call)).toBe(code);
  });
});
