import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { acidSystem, acidSystemNames } from "../../toolkit/ions/acid-systems.js";
import { acidConstantsAt } from "../../toolkit/water/speciation/acid-constants.js";
import { meanCharge, speciate } from "../../toolkit/water/speciation/speciation.js";
import { errorOf, referenceCase, titleOf } from "./reference-cases.js";

describe("mean charges of the handbook's table (BALANCE §4, computed for the handbook at ionic strength 0)", () => {
  const charges: Readonly<Record<string, readonly [number, number, number]>> = {
    phosphate: [0.997, 1.383, 1.861],
    carbonate: [0.014, 0.817, 0.983],
    silicate: [0, 0.0015, 0.015],
    borate: [0, 0.0057, 0.054],
    fluoride: [0.954, 1.0, 1.0],
    oxalate: [1.63, 2.0, 2.0],
    citrate: [1.33, 2.8, 2.98],
  };
  const printed = (value: number): number => (String(value).split(".")[1] ?? "").length;
  it.each(Object.entries(charges))("%s at pH 4.5, 7 and 8", (system, expected) => {
    [4.5, 7, 8].forEach((pH, i) => {
      const half = 0.5 * 10 ** -Math.max(2, printed(expected[i]));
      expect(Math.abs(Math.abs(meanCharge(system, pH)) - expected[i])).toBeLessThanOrEqual(half * 1.0001);
    });
  });

  it("acetate with the table's own pKa of 4.76", () => {
    const at = (pH: number): number => -meanCharge("acetate", pH, { pKa: [4.76] });
    expect(at(4.5)).toBeCloseTo(0.355, 3);
    expect(at(7)).toBeCloseTo(0.994, 3);
    expect(at(8)).toBeCloseTo(0.999, 3);
  });

  it("ammonia is 0.56 % at pH 7 and 5.3 % at pH 8", () => {
    expect(100 * speciate("ammonia", 7).ammonia).toBeCloseTo(0.56, 2);
    expect(100 * speciate("ammonia", 8).ammonia).toBeCloseTo(5.3, 1);
  });

  it("phosphate at pH 7 and ionic strength 0.01 carries 1.458", () => {
    expect(-meanCharge("phosphate", 7, { ionicStrength: 0.01 })).toBeCloseTo(1.458, 3);
  });
});

describe("published values", () => {
  const emerson = referenceCase<{ t_C: number[]; pH: number[] }, { percent: number[] }>(
    "emerson_unionized_ammonia",
  );
  it(titleOf(emerson), () => {
    emerson.inputs.t_C.forEach((temperature, i) => {
      const percent = 100 * speciate("ammonia", emerson.inputs.pH[i], { temperature }).ammonia;
      const { rel = 0 } = emerson.tolerance;
      expect(Math.abs(percent / emerson.expected.percent[i] - 1)).toBeLessThanOrEqual(rel);
    });
  });

  const plummer = referenceCase<unknown, { logK1: number; logK2: number }>("plummer_busenberg_25");
  it(`the temperature formula meets the table at 25 °C, ${titleOf(plummer)}`, () => {
    const system = acidSystem("carbonate");
    if (!system) throw new Error("carbonate is an acid");
    const [pK1, pK2] = acidConstantsAt(system, 25) ?? [];
    expect(Math.abs(pK1 + plummer.expected.logK1)).toBeLessThanOrEqual(plummer.tolerance.abs as number);
    expect(Math.abs(pK2 + plummer.expected.logK2)).toBeLessThanOrEqual(plummer.tolerance.abs as number);
    expect(system.pKa).toEqual([6.352, 10.329]);
  });

  const alkalinity = referenceCase<{ pH: number }, { fraction_HCO3: number }>("alkalinity_speciation_ph83");
  it(titleOf(alkalinity), () => {
    const found = speciate("carbonate", alkalinity.inputs.pH).hydrogencarbonate;
    expect(Math.abs(found / alkalinity.expected.fraction_HCO3 - 1)).toBeLessThanOrEqual(
      alkalinity.tolerance.rel as number,
    );
  });
});

describe("fractions", () => {
  it("sum to 1, lie between 0 and 1 and give up charge as pH rises, for every system", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...acidSystemNames()),
        fc.double({ min: -1, max: 15, noNaN: true }),
        fc.double({ min: 0, max: 0.5, noNaN: true }),
        (system, pH, ionicStrength) => {
          const fractions = Object.values(speciate(system, pH, { ionicStrength }));
          expect(fractions.reduce((sum, part) => sum + part, 0)).toBeCloseTo(1, 12);
          for (const part of fractions) expect(part).toBeGreaterThanOrEqual(0);
          expect(meanCharge(system, pH + 0.1, { ionicStrength })).toBeLessThanOrEqual(
            meanCharge(system, pH, { ionicStrength }),
          );
        },
      ),
      { seed: 1, numRuns: 300 },
    );
  });

  it("at pH = pKa two neighbours are equal", () => {
    const parts = speciate("phosphate", 7.207);
    expect(parts.dihydrogenphosphate).toBeCloseTo(parts.hydrogenphosphate, 12);
  });

  it("keys are names; a formula leads to the same part without being listed", () => {
    const parts = speciate("carbonate", 8.3);
    expect(Object.keys(parts)).toEqual(["carbonic acid", "hydrogencarbonate", "carbonate"]);
    expect(parts["HCO3-"]).toBe(parts.hydrogencarbonate);
    expect(speciate("HCO3-", 8.3)).toEqual(parts);
    expect(speciate("bicarbonate", 8.3)).toEqual(parts);
  });

  it("oxalic and ammonium systems are found by ion, base and system name", () => {
    expect(speciate("oxalate", 3)).toEqual(speciate("hydrogenoxalate", 3));
    expect(speciate("NH4+", 9)).toEqual(speciate("ammonia", 9));
  });
});

describe("misuse is refused", () => {
  it.each([
    [() => speciate("chloride", 7), /^no-acid-base/],
    [() => speciate("karbonate", 7), /^unknown-ion: .*carbonate/],
    [() => speciate("carbonate", Number.NaN), /^bad-pH/],
    [() => speciate("carbonate", 20), /^bad-pH/],
    [() => speciate("arsenate", 7, { temperature: 5 }), /^outside-validity: .*arsenate.*5 °C, only at 25/],
    [() => speciate("phosphate", 7, { temperature: 70 }), /^outside-validity: .*70 °C, only from 0 to 50/],
    [
      () => speciate("phosphate", 7, { ionicStrength: 0.7 }),
      /^outside-validity: .*0\.7 mol\/L is above 0\.5/,
    ],
    [() => speciate("phosphate", 7, { ionicStrength: -1 }), /^bad-ionic-strength/],
    [() => speciate("phosphate", 7, { temprature: 5 } as object), /^unknown-option: .*"temperature"/],
    [() => meanCharge("phosphate", 7, 5 as unknown as object), /^bad-option: meanCharge/],
    [() => speciate("ammonia", 7, { temperature: 70 }), /^outside-validity/],
    [() => speciate("carbonate", 7, { pKa: [6.3] }), /^bad-constants/],
  ])("%#", (run, message) => {
    expect(errorOf(run)).toMatch(message);
  });
});
