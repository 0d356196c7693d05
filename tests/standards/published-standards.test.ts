import { describe, expect, it } from "vitest";
import { ion } from "../../toolkit/ions/ion-table.js";
import { convert } from "../../toolkit/ions/units.js";
import { volumetricFlask } from "../../toolkit/standards/glassware.js";
import { prepareStandards } from "../../toolkit/standards/prepare-standards.js";
import { allSalts, atomsOfSalt } from "../../toolkit/standards/salts.js";
import { SPARINGLY_SOLUBLE } from "../../toolkit/standards/solubility.js";
import { expectPublished, published, titleOf } from "../calibration/published.js";

const cadmium = published("t06_uncertainty.json", "quam_a1_calibration_standard");

describe("a standard weighed from metal", () => {
  it(titleOf(cadmium), () => {
    const { m_mg, u_m, P } = cadmium.inputs as unknown as Record<string, number>;
    const made = prepareStandards({
      stocks: [
        {
          name: "cadmium standard",
          salt: "Cd",
          mass: m_mg,
          massUncertainty: { u: u_m },
          purity: P,
          flask: volumetricFlask(100, { repeatability: 0.02 }),
        },
      ],
      solutions: [],
    });
    const found = made.concentration("cadmium standard", "Cd^2+");
    const budget = new Map(found.budget().map((row) => [row.source, row]));
    const ofVolume = ["calibration of 100 mL flask of", "filling", "temperature, making"].map(
      (act) => budget.get(`${act} cadmium standard`)?.u ?? Number.NaN,
    );
    expectPublished(cadmium, {
      c: found.value,
      u_P: budget.get("purity of cadmium standard")?.u ?? Number.NaN,
      u_V: Math.hypot(...ofVolume),
    });
    // The guide prints 0.9 after rounding its parts; the reference's note: without intermediate rounding 0.835.
    expect(found.u).toBeCloseTo(0.835, 3);
    expect(found.unit).toBe("mg/L");
  });
});

describe("salts", () => {
  // Handbook of the laboratory, Calibration 1: g of dry salt for 1000 mg of the ion, from the 2021 abridged atomic masses.
  it.each([
    ["NaCl", "chloride", 1.6485],
    ["NaNO3", "nitrate", 1.3708],
    ["K2SO4", "sulfate", 1.8141],
    ["KH2PO4", "phosphate", 1.4329],
    ["NaF", "fluoride", 2.2101],
    ["NH4Cl", "ammonium", 2.9652],
    ["KCl", "potassium", 1.9067],
  ])("%s gives 1000 mg/L of %s from %f g in a litre", (salt, of, grams) => {
    const stock = {
      name: salt,
      salt,
      mass: 1000 * grams,
      massUncertainty: { u: 0.1 },
      flask: volumetricFlask(1000),
    };
    const made = prepareStandards({ stocks: [stock], solutions: [] });
    // Half a unit of the fourth decimal of the factor.
    expect(Math.abs(made.concentration(salt, of).value / 1000 - 1)).toBeLessThan(0.00005 / grams);
  });

  it("of the table are neutral and made of their ions, but for crystal water, metals and carbonate that acid drives out", () => {
    for (const { formula, ions } of allSalts()) {
      const atoms: Record<string, number> = { ...atomsOfSalt(formula) };
      let charge = 0;
      for (const [name, count] of Object.entries(ions)) {
        const { elements, charge: own } = ion(name);
        charge += own * count;
        for (const [symbol, n] of Object.entries(elements)) atoms[symbol] = (atoms[symbol] ?? 0) - n * count;
      }
      const left = Object.fromEntries(Object.entries(atoms).filter(([, n]) => n !== 0));
      if (Object.keys(ions).length === 1) {
        expect([{}, { C: 1, O: 3 }], formula).toContainEqual(left);
        continue;
      }
      expect(charge, formula).toBe(0);
      expect(left.H ?? 0, formula).toBe(2 * (left.O ?? 0));
      expect(
        Object.keys(left).filter((symbol) => symbol !== "H" && symbol !== "O"),
        formula,
      ).toEqual([]);
    }
  });
});

describe("sparingly soluble salts", () => {
  it("are neutral compounds of ions of the table", () => {
    for (const { formula, cation, anion, counts } of SPARINGLY_SOLUBLE) {
      // Their phosphates stand as the hydrogenphosphate that precipitates.
      const own = formula.includes("HPO4") ? -2 : ion(anion).charge;
      expect(counts[0] * ion(cation).charge + counts[1] * own, formula).toBe(0);
    }
  });

  // L. N. Plummer, E. Busenberg (1982): log K of calcite −8.48, as reference case plummer_busenberg_25 holds it.
  it("agree for calcite with Plummer and Busenberg to 0.02 in the logarithm", () => {
    const reference = published("t07_water_chemistry.json", "plummer_busenberg_25");
    const own = SPARINGLY_SOLUBLE.find(({ formula }) => formula === "CaCO3");
    expect(
      Math.abs(Math.log10(own?.solubilityProduct ?? 1) - Number(reference.expected.logKcalcite)),
    ).toBeLessThan(0.02);
  });
});

describe("a stock certified as nitrogen", () => {
  const factors = published("t07_water_chemistry.json", "as_element_conversions");
  it(`counts as the ion [${factors.source}; ${factors.provenance}]`, () => {
    const forms = [
      ["nitrate", "N"],
      ["nitrite", "N"],
      ["ammonium", "N"],
      ["phosphate", "P"],
      ["sulfate", "S"],
    ] as const;
    const found = forms.map(([name, element]) => {
      const contents = [
        { ion: name, concentration: 1000, unit: `mg/L as ${element}`, uncertainty: { expanded: 4, k: 2 } },
      ] as const;
      const made = prepareStandards({ stocks: [{ name: "bought", contents }], solutions: [] });
      const content = made.concentration("bought", name);
      expect(content.u / content.value).toBeCloseTo(0.002, 12);
      return content.value / 1000;
    });
    expectPublished(factors, { factors: found });
    expect(convert(found[0], "mg/L", "mg/L as N", "nitrate")).toBeCloseTo(1, 12);
  });
});
