import { describe, expect, it } from "vitest";
import { type AcidSystem, acidSystem } from "../../toolkit/ions/acid-systems.js";
import {
  acidConstantsAt,
  carbonDioxideSolubilityAt,
  waterIonProductAt,
} from "../../toolkit/water/speciation/acid-constants.js";
import { TEMPERATURE_FORMULAS } from "../../toolkit/water/speciation/temperature-formulas.js";
import { referenceCase, titleOf } from "./reference-cases.js";

function system(name: string): AcidSystem {
  const found = acidSystem(name);
  if (!found) throw new Error(`${name} is no acid`);
  return found;
}

function change(name: string, step: number, t: number): number {
  const [at, at25] = [acidConstantsAt(system(name), t), acidConstantsAt(system(name), 25)];
  return (at?.[step] ?? Number.NaN) - (at25?.[step] ?? Number.NaN);
}

describe("acid constants against temperature", () => {
  it("no step lies between no temperature and 25 °C: every system within 0.011", () => {
    for (const name of Object.keys(TEMPERATURE_FORMULAS)) {
      const of = system(name);
      acidConstantsAt(of, 25)?.forEach((pKa, i) => {
        expect(Math.abs(pKa - of.pKa[i]), name).toBeLessThan(0.011);
      });
    }
  });

  // Measured constants at 0, 10, 40 and 50 °C less those at 25 °C: R.A. Robinson and R.H. Stokes, Electrolyte Solutions,
  // appendix 12 (from memory), acetic acid 4.781 4.762 4.756 4.769 4.787, formic 3.786 3.762 3.752 3.766 3.782,
  // second of phosphoric 7.313 7.254 7.198 7.180 7.183, boric 9.508 9.380 9.236 9.132 9.080.
  it.each([
    ["acetate", 0, [4.781, 4.762, 4.756, 4.769, 4.787]],
    ["formate", 0, [3.786, 3.762, 3.752, 3.766, 3.782]],
    ["phosphate", 1, [7.313, 7.254, 7.198, 7.18, 7.183]],
    ["borate", 0, [9.508, 9.38, 9.236, 9.132, 9.08]],
  ] as const)("%s meets measured constants from 0 to 50 °C within 0.01", (name, step, measured) => {
    [0, 10, 25, 40, 50].forEach((t, i) => {
      expect(Math.abs(change(name, step, t) - (measured[i] - measured[2]))).toBeLessThan(0.0101);
    });
  });

  // R.N. Goldberg, N. Kishore and R.M. Lennen, J. Phys. Chem. Ref. Data 31 (2002) 231 (from memory): enthalpies of ionization,
  // independent of the formulas with three constants and of the database: d(pKa)/dT = −ΔH/(R·T²·ln 10).
  it.each([
    ["acetate", 0, -0.41],
    ["phosphate", 0, -8.0],
    ["phosphate", 1, 3.6],
    ["borate", 0, 13.8],
    ["ammonia", 0, 51.95],
    ["carbonate", 0, 9.15],
    ["carbonate", 1, 14.7],
    ["oxalate", 1, -7.0],
    ["lactate", 0, -0.33],
    ["citrate", 2, -3.38],
  ] as const)(
    "%s, step %i: the slope at 25 °C meets the enthalpy %d kJ/mol within 1 kJ/mol",
    (name, step, enthalpy) => {
      const slope = (change(name, step, 25.4) - change(name, step, 24.6)) / 0.8;
      expect(Math.abs(-slope * 8.314e-3 * 298.15 ** 2 * Math.LN10 - enthalpy)).toBeLessThan(1);
    },
  );

  it("outside its range a system has none, and one without a formula only at 25 °C", () => {
    expect(acidConstantsAt(system("acetate"), 61)).toBeUndefined();
    expect(acidConstantsAt(system("succinate"), 5)).toBeUndefined();
    expect(acidConstantsAt(system("malate"), 20)).toBeUndefined();
    expect(acidConstantsAt(system("malate"), 25)).toEqual([3.4, 5.11]);
  });
});

describe("water and carbon dioxide", () => {
  // H.S. Harned and B.B. Owen, The Physical Chemistry of Electrolytic Solutions (from memory).
  it.each([
    [0, 14.944],
    [10, 14.535],
    [20, 14.167],
    [25, 13.996],
    [30, 13.833],
    [40, 13.535],
    [50, 13.262],
    [60, 13.017],
  ])("pKw at %d °C is %d within 0.01", (t, pKw) => {
    expect(Math.abs((waterIonProductAt(t) ?? Number.NaN) - pKw)).toBeLessThan(0.01);
  });
  it("pKw is not known above 60 °C", () => expect(waterIonProductAt(61)).toBeUndefined());

  const plummer = referenceCase<unknown, { logKH: number }>("plummer_busenberg_25");
  it(`the solubility of carbon dioxide, ${titleOf(plummer)}`, () => {
    const found = -(carbonDioxideSolubilityAt(25) ?? Number.NaN);
    expect(Math.abs(found - plummer.expected.logKH)).toBeLessThanOrEqual(plummer.tolerance.abs as number);
  });
});
