import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { isIonbookError } from "../../toolkit/errors.js";
import { allIons } from "../../toolkit/ions/ion-table.js";
import { convert, isUnit, type Unit } from "../../toolkit/ions/units.js";

interface Case {
  readonly id: string;
  readonly source: string;
  readonly provenance: string;
  readonly expected: never;
  readonly tolerance: { readonly abs: number };
}
const cases: readonly Case[] = JSON.parse(
  readFileSync(new URL("../reference/t07_water_chemistry.json", import.meta.url), "utf8"),
);
const published = (id: string): Case => cases.find((each) => each.id === id) as Case;

const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    return isIonbookError(error)
      ? `${error.code}: ${error.message}`
      : `not an IonbookError: ${String(error)}`;
  }
  return "nothing thrown";
};

describe("published factors", () => {
  const meq = published("hem_meq_factors_a");
  it.each(Object.entries(meq.expected as Record<string, number>))(
    `1 mg/L of %s in meq/L: ${meq.source} (${meq.provenance})`,
    (name, factor) => {
      expect(Math.abs(convert(1, "mg/L", "meq/L", name) - factor)).toBeLessThanOrEqual(meq.tolerance.abs);
    },
  );

  const asElement = published("as_element_conversions");
  it(`1 mg/L as N, P or S in mg/L of the ion: ${asElement.source} (${asElement.provenance})`, () => {
    const { factors } = asElement.expected as { factors: number[] };
    const units = ["nitrate N", "nitrite N", "ammonium N", "phosphate P", "sulfate S"];
    units.forEach((pair, i) => {
      const [name, element] = pair.split(" ");
      const found = convert(1, `mg/L as ${element}`, "mg/L", name);
      expect(Math.abs(found - factors[i])).toBeLessThanOrEqual(asElement.tolerance.abs);
    });
  });

  const hardness = published("hardness_formula");
  it(`1 mg/L of calcium and magnesium as CaCO3: ${hardness.source} (${hardness.provenance})`, () => {
    const { factor_Ca, factor_Mg } = hardness.expected as { factor_Ca: number; factor_Mg: number };
    expect(Math.abs(convert(1, "mg/L", "mg/L as CaCO3", "Ca2+") - factor_Ca)).toBeLessThanOrEqual(
      hardness.tolerance.abs,
    );
    expect(Math.abs(convert(1, "mg/L", "mg/L as CaCO3", "Mg2+") - factor_Mg)).toBeLessThanOrEqual(
      hardness.tolerance.abs,
    );
  });
});

describe("conversions by hand with the 2021 atomic weights", () => {
  const byHand: readonly (readonly [number, Unit, Unit, string, number])[] = [
    [35.45, "mg/L", "mmol/L", "chloride", 1],
    [96.056, "mg/L", "meq/L", "sulfate", 2],
    [1, "g/L", "mg/L", "chloride", 1000],
    [1, "mg/L", "µg/L", "chloride", 1000],
    [1, "mg/L", "μg/L", "chloride", 1000],
    [1, "mg/L", "ug/L", "chloride", 1000],
    [1, "meq/L", "µeq/L", "calcium", 1000],
    [1, "mmol/L", "meq/L", "phosphate", 3],
    [1, "mmol/L", "umol/L", "phosphate", 1000],
    [50.043, "mg/L as CaCO3", "meq/L", "hydrogencarbonate", 1],
    [100.086, "mg/L as CaCO3", "mmol/L", "carbonate", 1],
    [2, "mg/L as C", "mmol/L", "acetate", 2 / 24.022],
    [60.083, "mg/L as SiO2", "mmol/L", "silicate", 1],
    [141.943, "mg/L as P2O5", "mmol/L", "phosphate", 2],
    [62.004, "mg/L as NO3", "mmol/L", "nitrite", 1],
    [1, "mg/L as NO3", "mg/L", "nitrate", 1],
    [17.031, "mg/L", "mg/L as N", "NH3", 14.007],
    [1, "mmol/kg", "mg/kg", "sodium", 22.99],
    [28.085, "mg/L as Si", "mg/L", "SiO2", 60.083],
  ];
  it.each(byHand)("%d %s in %s of %s is %d", (value, from, to, of, expected) => {
    expect(convert(value, from, to, of)).toBeCloseTo(expected, 9);
  });

  it("there and back again, for every ion and every pair of units", () => {
    const units: Unit[] = [
      "mg/L",
      "µg/L",
      "g/L",
      "mmol/L",
      "µmol/L",
      "meq/L",
      "µeq/L",
      "ng/L",
      "mg/L as CaCO3",
    ];
    fc.assert(
      fc.property(
        fc.constantFrom(...allIons()),
        fc.constantFrom(...units),
        fc.constantFrom(...units),
        fc.double({ min: 1e-6, max: 1e6, noNaN: true }),
        (of, from, to, value) => {
          const back = convert(convert(value, from, to, of.name), to, from, of.name);
          expect(Math.abs(back / value - 1)).toBeLessThan(1e-14);
        },
      ),
      { seed: 1, numRuns: 500 },
    );
  });

  it("the same unit changes no bit", () => {
    for (const value of [0, 0.1, 1 / 3, 1e-300, -7.7])
      expect(convert(value, "mg/L", "mg/L", "nitrate")).toBe(value);
  });
});

describe("misuse is refused in words", () => {
  it.each([
    [() => convert(1, "mg", "mg/L", "chloride"), /^unknown-unit: .*mg\/L/],
    [() => convert(1, "ppm", "mg/L", "chloride"), /^unknown-unit: .*per what/],
    [() => convert(1, "mg/L as Xx", "mg/L", "chloride"), /^unknown-unit/],
    [() => convert(1, "mmol/L as N", "mg/L", "nitrate"), /^unknown-unit/],
    [() => convert(1, "", "mg/L", "nitrate"), /^unknown-unit/],
    [() => convert(1, "mg/L as N", "mg/L", "sulfate"), /^unit-mismatch: .*sulfate holds S, O/],
    [() => convert(1, "mg/L as P", "mg/L", "nitrate"), /^unit-mismatch/],
    [() => convert(1, "mg/L", "mg/kg", "nitrate"), /^unit-mismatch: .*litre.*kilogram/],
    [() => convert(1, "meq/L", "mg/L", "NH3"), /^unit-mismatch: .*no charge/],
    [() => convert(1, "mg/L as CaCO3", "mg/L", "SiO2"), /^unit-mismatch: .*no charge/],
    [() => convert(1, "mg/L", "mmol/L", "nitrat"), /^unknown-ion: .*nitrate/],
    [() => convert(1, "mg/L", "mmol/L", "NO3"), /^unknown-ion: .*nitrate/],
    [() => convert(Number.NaN, "mg/L", "mmol/L", "nitrate"), /^not-a-number/],
  ])("%#", (run, message) => {
    expect(codeOf(run)).toMatch(message);
  });

  it("isUnit tells units from other text", () => {
    for (const text of ["mg/L", "µg/L", "meq/L", "mg/L as N", "mg/kg"]) expect(isUnit(text)).toBe(true);
    for (const text of ["mg", "L", "mg/kg dry", "mS/cm", ""]) expect(isUnit(text)).toBe(false);
  });
});
