import { describe, expect, it } from "vitest";
import { activityCoefficient, debyeHueckelConstants } from "../../toolkit/water/speciation/activity.js";
import { ionActivityCoefficient } from "../../toolkit/water/speciation/ion-activity.js";
import { errorOf, referenceCase, titleOf } from "./reference-cases.js";

describe("Davies", () => {
  const of = referenceCase<{ I: number[] }, { gamma1: number[]; gamma2: number[] }>("davies_equation");
  it(titleOf(of), () => {
    of.inputs.I.forEach((strength, i) => {
      expect(Math.abs(activityCoefficient(1, strength) / of.expected.gamma1[i] - 1)).toBeLessThanOrEqual(
        1e-12,
      );
      expect(Math.abs(activityCoefficient(-2, strength) / of.expected.gamma2[i] - 1)).toBeLessThanOrEqual(
        1e-12,
      );
    });
  });
});

describe("extended Debye–Hückel", () => {
  const of = referenceCase<
    { I: number[]; ions: Record<string, { a_angstrom: number; z: number }> },
    Record<string, number[]>
  >("kielland_activity_a");
  it.each(Object.keys(of.expected))(`%s, ${titleOf(of)}`, (name) => {
    const { a_angstrom, z } = of.inputs.ions[name];
    of.inputs.I.forEach((strength, i) => {
      const found = activityCoefficient(z, strength, { model: "debye-hueckel", ionSize: a_angstrom });
      expect(Math.abs(found - of.expected[name][i])).toBeLessThanOrEqual(of.tolerance.abs as number);
    });
  });

  it("calcium and sodium in the handbook's example water (BALANCE §5, computed for the handbook)", () => {
    const strength = 0.00785;
    const three = (z: number, ionSize: number): number[] => [
      activityCoefficient(z, strength, { model: "debye-hueckel", ionSize: 0 }),
      activityCoefficient(z, strength, { model: "debye-hueckel", ionSize }),
      activityCoefficient(z, strength),
    ];
    const round = (values: number[]): number[] => values.map((value) => Math.round(value * 1000) / 1000);
    expect(round(three(2, 5))).toEqual([0.66, 0.696, 0.69]);
    expect(round(three(1, 4))).toEqual([0.901, 0.911, 0.912]);
  });

  it("calcium at 0.1 mol/L by Kielland's 6 Å is 0.401 (BALANCE §5, computed for the handbook)", () => {
    expect(activityCoefficient(2, 0.1, { model: "debye-hueckel", ionSize: 6 })).toBeCloseTo(0.401, 3);
  });

  it("calcium at 0.1 mol/L is 0.377 by mixed-up lists, 0.391 with its linear term, 0.401 by Kielland (BALANCE §5)", () => {
    expect(activityCoefficient(2, 0.1, { model: "debye-hueckel", ionSize: 5 })).toBeCloseTo(0.377, 3);
    expect(ionActivityCoefficient("calcium", 0.1, { model: "truesdell-jones" })).toBeCloseTo(0.391, 3);
    expect(ionActivityCoefficient("Ca2+", 0.1, { model: "debye-hueckel" })).toBeCloseTo(0.401, 3);
    const below = (["truesdell-jones", "debye-hueckel"] as const).map((model) =>
      ionActivityCoefficient("calcium", 0.00785, { model }),
    );
    expect(Math.abs(below[0] / below[1] - 1)).toBeLessThan(0.01);
  });

  it.each(Object.keys(of.expected))(`the size of %s is that of Kielland's table, ${titleOf(of)}`, (names) => {
    for (const name of names.split(", ")) {
      const found = ionActivityCoefficient(name, 0.05, { model: "debye-hueckel" });
      expect(Math.abs(found - of.expected[names][3])).toBeLessThanOrEqual(of.tolerance.abs as number);
    }
  });

  // R.A. Robinson and R.H. Stokes, Electrolyte Solutions, appendix 8 (from memory): mean coefficients, molal.
  it.each([
    ["sodium", "chloride", 1, 0.1, 0.778],
    ["sodium", "chloride", 1, 0.5, 0.681],
    ["potassium", "chloride", 1, 0.1, 0.77],
    ["potassium", "chloride", 1, 0.5, 0.649],
    ["calcium", "chloride", 2, 0.1, 0.518],
  ] as const)(
    "%s %s meets the mean coefficient of the salt within 1.5 %",
    (cation, anion, n, molality, mean) => {
      const strength = n === 1 ? molality : 3 * molality;
      const of = (name: string): number =>
        Math.log(ionActivityCoefficient(name, strength, { model: "truesdell-jones" }));
      expect(Math.abs(Math.exp((of(cation) + n * of(anion)) / (1 + n)) / mean - 1)).toBeLessThan(0.015);
    },
  );

  it("without an ion size it is the Güntelberg form", () => {
    const root = Math.sqrt(0.04);
    expect(activityCoefficient(1, 0.04, { model: "debye-hueckel" })).toBeCloseTo(
      10 ** ((-0.509 * root) / (1 + root)),
      12,
    );
  });
});

describe("constants of water", () => {
  const of = referenceCase<unknown, Record<string, [number, number]>>("debye_hueckel_constants_a");
  it.each(Object.entries(of.expected))(`A and B at %s °C, ${titleOf(of)}`, (temperature, [A, B]) => {
    const found = debyeHueckelConstants(Number(temperature));
    expect(Math.abs(found.A / A - 1)).toBeLessThanOrEqual(of.tolerance.rel as number);
    expect(Math.abs(found.B / B - 1)).toBeLessThanOrEqual(of.tolerance.rel as number);
  });
  it("25 °C gives the fixed constants, without a step beside it", () => {
    expect(debyeHueckelConstants(25)).toEqual({ A: 0.509, B: 0.328 });
    expect(activityCoefficient(2, 0.1, { temperature: 25.001 })).toBeCloseTo(activityCoefficient(2, 0.1), 5);
  });
});

describe("outside validity it refuses", () => {
  it.each([
    [() => activityCoefficient(1, 0.6), /^outside-validity: .*0\.5/],
    [() => activityCoefficient(1, 0.2, { model: "debye-hueckel" }), /^outside-validity: .*0\.1/],
    [() => activityCoefficient(1, 0.01, { temperature: 80 }), /^outside-validity: .*60/],
    [() => activityCoefficient(1, -0.01), /^bad-ionic-strength/],
    [() => activityCoefficient(1, Number.NaN), /^bad-ionic-strength/],
    [() => activityCoefficient(1, 0.6, { model: "debye-hueckel", ionSize: 4, linearTerm: 0.1 }), /^outside-/],
    [() => activityCoefficient(1, 0.01, { ionSize: 4 }), /^bad-option: .*beside Davies/],
    [() => activityCoefficient(1, 0.01, { model: "debye-hueckel", linearTerm: 0.1 }), /^bad-option: .*size/],
    [() => activityCoefficient(1, 0.01, { model: "davis" as "davies" }), /^bad-option: .*davis/],
    [() => activityCoefficient(1, 0.01, { iosize: 4 } as object), /^unknown-option: .*ionSize/],
    [() => ionActivityCoefficient("acetate", 0.01, { model: "truesdell-jones" }), /^no-ion-size: .*acetate/],
    [() => ionActivityCoefficient("chlorid", 0.01), /^unknown-ion/],
    [() => ionActivityCoefficient("calcium", 0.2, { model: "debye-hueckel" }), /^outside-validity/],
  ])("%#", (run, message) => {
    expect(errorOf(run)).toMatch(message);
  });
});
