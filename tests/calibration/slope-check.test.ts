// Ratios of slips: handbook of the laboratory, conductivity §4 (molar masses of IUPAC's abridged atomic weights, printed
// to three digits). Areas: area theorem, limiting conductivities as in the ion table.
import { describe, expect, it } from "vitest";
import { slopeAgainstTheory } from "../../toolkit/calibration/theory/slope-check.js";
import { slipsOf } from "../../toolkit/calibration/theory/slope-slips.js";
import { ion } from "../../toolkit/ions/ion-table.js";
import { measured } from "../../toolkit/uncertainty/measured.js";
import {
  effectiveMolarConductivity,
  weakAcidFactor,
} from "../../toolkit/water/conductivity/effective-conductivity.js";

/** mg/L that give an area of 0.05 µS/cm·min with 25 µL at 1 mL/min, by the area theorem with all conductivities as in the table. */
function concentrationAt(name: string): number {
  const { charge, limitingMolarConductivity = Number.NaN, molarMass } = ion(name);
  const perMole = limitingMolarConductivity + Math.abs(charge) * (charge < 0 ? 349.65 : 198);
  return ((0.05 * 1000) / perMole / 25) * molarMass;
}
const point = (name: string, factor = 1) => ({
  ion: name,
  area: 0.05,
  concentration: concentrationAt(name) * factor,
  cellConcentration: 300,
});
const ANIONS = ["chloride", "bromide", "nitrate", "sulfate"];
const setup = { loop: 25, flow: 1 };

describe("ratios of slips", () => {
  it.each([
    ["nitrate", 4.43],
    ["nitrite", 3.28],
    ["phosphate", 3.07],
    ["sulfate", 3.0],
    ["ammonium", 1.29],
    ["chloride", 1.65],
    ["bromide", 1.49],
    ["fluoride", 2.21],
    ["nitrate", 1.37],
    ["sulfate", 1.81],
  ])("of %s hold the handbook's %d, and its inverse", (name, ratio) => {
    const ratios = slipsOf(name).map((slip) => slip.ratio);
    expect(Math.min(...ratios.map((each) => Math.abs(each - ratio)))).toBeLessThan(0.006);
    expect(Math.min(...ratios.map((each) => Math.abs(1 / each - ratio)))).toBeLessThan(0.006);
  });
});

describe("slopes against theory", () => {
  it("of right standards pass with γ = 1", () => {
    const check = slopeAgainstTheory(
      ANIONS.map((name) => point(name)),
      setup,
    );
    expect(check.passed).toBe(true);
    expect(Math.abs(check.gamma - 1)).toBeLessThan(0.01);
    expect(check.ions.every(({ likely }) => likely === undefined)).toBe(true);
  });

  it.each([
    ["nitrate", 14.007 / 62.004, /entered as N/],
    ["sulfate", 32.06 / 96.056, /entered as S/],
    ["chloride", 58.44 / 35.45, /NaCl entered as mass of Cl-/],
    ["bromide", 119.0 / 79.9, /KBr entered/],
    ["chloride", 1 / 35.45, /mmol\/L entered as mg\/L/],
    ["sulfate", 2, /charge/],
    ["nitrate", 10, /factor 10/],
    ["bromide", 1 / 0.9, /weaker than stated/],
    ["bromide", 0.88, /stronger than stated/],
  ])("name the slip when %s is entered times %d", (name, factor, meaning) => {
    const check = slopeAgainstTheory(
      ANIONS.map((each) => point(each, each === name ? factor : 1)),
      setup,
    );
    const failed = check.ions.filter(({ passed }) => !passed);
    expect(failed.map((each) => each.ion)).toEqual([name]);
    expect(failed[0].likely).toMatch(meaning);
    expect(String(check)).toMatch(meaning);
  });

  it("tell an instrument that moved from its standards", () => {
    const points = ANIONS.map((name) => point(name, 1.08));
    const check = slopeAgainstTheory(points, { ...setup, previousGamma: 1 });
    expect(check.passed).toBe(true);
    expect(check.instrument).toMatch(/moved by -7\.\d %: cell constant/);
    expect(slopeAgainstTheory(points, setup).instrument).toBeUndefined();
  });

  it("of ions read with a large u pass more easily", () => {
    const doubtful = (relative: number) =>
      slopeAgainstTheory(
        [
          ...ANIONS.slice(1).map((name) => point(name)),
          {
            ...point("chloride"),
            concentration: measured(1.1 * concentrationAt("chloride"), "mg/L", {
              u: relative * concentrationAt("chloride"),
            }),
          },
        ],
        setup,
      ).passed;
    expect(doubtful(0.005)).toBe(false);
    expect(doubtful(0.05)).toBe(true);
  });

  it.each([
    ["no-reference", () => slopeAgainstTheory([point("chloride"), point("acetate")])],
    ["bad-reference", () => slopeAgainstTheory([point("chloride"), { ...point("nitrate"), area: 0 }])],
    ["unknown-ion", () => slopeAgainstTheory([{ ...point("chloride"), ion: "klorid" }])],
    ["bad-concentration", () => effectiveMolarConductivity("chloride", 0)],
    ["bad-concentration", () => weakAcidFactor(0, 5)],
  ])("refuse with %s", (code, call) => {
    expect(call).toThrow(expect.objectContaining({ code }));
  });
});

describe("conductivity of an acid in pure water", () => {
  // Handbook, conductivity §3, first column: response over 1000(λ_H + λ_A⁻) at 1, 10, 100, 1000 µmol/L, two digits.
  it.each([
    ["chloride", 425.96, [0.88, 0.99, 1.0, 1.0]],
    ["fluoride", 405.05, [0.88, 0.97, 0.88, 0.55]],
    ["acetate", 390.55, [0.82, 0.7, 0.34, 0.12]],
    ["phosphate", 382.65, [0.93, 0.99, 0.99, 0.89]],
    ["ammonium", 271.5, [0.77, 0.7, 0.34, 0.13]],
    ["sodium", 248.1, [0.8, 0.98, 1.0, 1.0]],
  ])("%s follows the handbook's table", (name, whole, shares) => {
    for (const [i, share] of shares.entries()) {
      const found = effectiveMolarConductivity(name, 10 ** i) / whole;
      expect(Math.abs(found - share), `${10 ** i} µmol/L: ${found}`).toBeLessThanOrEqual(0.012);
    }
  });

  // Handbook, conductivity §5: dissociated fraction at 0.5, 5, 20 µmol/L of acid.
  it.each([
    [4, [0.995, 0.95, 0.85]],
    [4.76, [0.97, 0.81, 0.59]],
    [5.5, [0.87, 0.54, 0.33]],
    [7, [0.32, 0.13, 0.07]],
  ])("the factor of a weak acid of pKa %d is the inverse of the handbook's fractions", (pKa, fractions) => {
    for (const [i, fraction] of fractions.entries()) {
      const total = [0.5, 5, 20][i];
      // Consistent where charge times factor is the total.
      let [low, high] = [0, total];
      for (let turn = 0; turn < 50; turn++) {
        const middle = 0.5 * (low + high);
        if (middle * weakAcidFactor(middle, pKa) < total) low = middle;
        else high = middle;
      }
      expect(Math.abs(low / total - fraction)).toBeLessThanOrEqual(0.0065);
    }
  });
});
