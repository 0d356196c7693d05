import { describe, expect, it } from "vitest";
import { convert } from "../../toolkit/ions/units.js";
import { measured } from "../../toolkit/uncertainty/measured.js";
import { computedConductivity } from "../../toolkit/water/conductivity/conductivity.js";
import { EXAMPLE_WATER, errorOf, referenceCase, referenceCases, titleOf } from "./reference-cases.js";

const salt = (cation: string, anion: string, molar: number): Record<string, number> => ({
  [cation]: convert(1000 * molar, "mmol/L", "mg/L", cation),
  [anion]: convert(1000 * molar, "mmol/L", "mg/L", anion),
});
const alkalinity = convert(3.2, "meq/L", "mg/L as CaCO3", "hydrogencarbonate");

/** mol/L, µS/cm. Source: Standard Methods 2510, conductivity of KCl at 25 °C (read, as the handbook states). */
const KCL: readonly (readonly [molar: number, conductivity: number])[] = [
  [0.0001, 14.9],
  [0.0005, 73.9],
  [0.001, 146.9],
  [0.005, 717.5],
  [0.01, 1412],
  [0.05, 6667],
  [0.1, 12890],
];

describe("potassium chloride, Standard Methods 2510 at 25 °C (read): the errors of the two forms, as they are", () => {
  const table = referenceCase<{ molarity: number[] }, { conductivity_uS_cm: number[] }>(
    "standard_methods_kcl_table",
  );
  it(`the levels from 0.0005 mol/L are those of ${titleOf(table)}`, () => {
    for (const [molar, published] of KCL.slice(1)) {
      expect(table.expected.conductivity_uS_cm[table.inputs.molarity.indexOf(molar)]).toBe(published);
    }
  });

  const error = (molar: number, published: number, form: "onsager" | "standard-methods"): number =>
    100 * (computedConductivity(salt("K+", "Cl-", molar), { form }).value / published - 1);

  it.each(KCL.filter(([molar]) => molar <= 0.01))(
    "onsager errs by at most 0.1 % at %d mol/L",
    (molar, published) => {
      expect(Math.abs(error(molar, published, "onsager"))).toBeLessThan(0.11);
    },
  );
  it("onsager reads 0.7 % low at 0.05 and 1.5 % low at 0.1 mol/L", () => {
    expect(error(0.05, 6667, "onsager")).toBeCloseTo(-0.67, 1);
    expect(error(0.1, 12890, "onsager")).toBeCloseTo(-1.48, 1);
  });
  it.each([
    [0.001, 146.9, -4.9],
    [0.01, 1412, -13.3],
    [0.1, 12890, -28],
  ])("standard-methods errs at %d mol/L: table %d µS/cm, error %d %%", (molar, published, expected) => {
    expect(Math.abs(error(molar, published, "standard-methods") - expected)).toBeLessThan(0.5);
  });
  it("the stated uncertainty covers the error of both forms at every level", () => {
    for (const [molar, published] of KCL) {
      for (const form of ["onsager", "standard-methods"] as const) {
        const found = computedConductivity(salt("K+", "Cl-", molar), { form });
        expect(Math.abs(found.value - published)).toBeLessThan(2 * found.u);
      }
    }
  });
});

describe("limiting law", () => {
  const of = referenceCase<{ salts: Record<string, { c: number[] }> }, Record<string, number[]>>(
    "onsager_limiting_law",
  );
  it.each(["KCl", "NaCl"])(`%s, ${titleOf(of)}`, (name) => {
    of.inputs.salts[name].c.forEach((molar, i) => {
      const perMole =
        computedConductivity(salt(name === "KCl" ? "K+" : "Na+", "Cl-", molar)).value / molar / 1000;
      expect(Math.abs(perMole - of.expected[name][i])).toBeLessThanOrEqual(of.tolerance.abs as number);
    });
  });

  const handbook = referenceCase<unknown, { KCl: number[]; NaCl: number[] }>("mccleskey_salt_equations_25");
  it(`the CRC values of KCl and NaCl at 0.001 and 0.01 mol/L within 0.3 %, ${titleOf(handbook)}`, () => {
    for (const [name, cation] of [
      ["KCl", "K+"],
      ["NaCl", "Na+"],
    ] as const) {
      for (const [i, molar] of [
        [1, 0.001],
        [2, 0.01],
      ] as const) {
        const perMole = computedConductivity(salt(cation, "Cl-", molar)).value / molar / 1000;
        expect(Math.abs(perMole / handbook.expected[name][i] - 1)).toBeLessThan(0.003);
      }
    }
  });
});

describe("waters", () => {
  it("the handbook's example: 538.8 µS/cm by onsager, 501.7 by standard-methods (BALANCE §5, computed for the handbook)", () => {
    const options = { pH: 7.6, alkalinity };
    expect(Math.abs(computedConductivity(EXAMPLE_WATER, options).value - 538.8)).toBeLessThan(0.3);
    const other = computedConductivity(EXAMPLE_WATER, { ...options, form: "standard-methods" });
    expect(Math.abs(other.value - 501.7)).toBeLessThan(0.3);
  });

  it("rain with pH 4.82 given as 15.1 µeq/L of H⁺: 12.97 µS/cm (BALANCE §5, computed for the handbook)", () => {
    const ions = {
      hydrogen: 15.1,
      sodium: 14.2,
      ammonium: 21.5,
      potassium: 1.6,
      magnesium: 3.9,
      calcium: 7.4,
      chloride: 17,
      nitrate: 19.8,
      sulfate: 25.1,
    };
    const rain = Object.fromEntries(
      Object.entries(ions).map(([name, value]) => [name, convert(value, "µeq/L", "mg/L", name)]),
    );
    expect(computedConductivity(rain, { pH: 4.82 }).value).toBeCloseTo(12.97, 1);
  });

  const sierra = referenceCase<{ mmol_per_L: Record<string, number> }, { conductivity_25C: number }>(
    "sierra_spring_ephemeral",
  );
  it(titleOf(sierra), () => {
    const water = Object.fromEntries(
      Object.entries(sierra.inputs.mmol_per_L).map(([name, value]) => [
        name,
        convert(value, "mmol/L", "mg/L", name),
      ]),
    );
    expect(
      Math.abs(computedConductivity(water).value / sierra.expected.conductivity_25C - 1),
    ).toBeLessThanOrEqual(0.05);
  });

  const pure = referenceCase<{ Kw: number; density_kg_L: number }, { conductivity_uS_cm: number }>(
    "pure_water_conductivity",
  );
  it(titleOf(pure), () => {
    const amount = 1000 * Math.sqrt(pure.inputs.Kw) * pure.inputs.density_kg_L;
    const water = {
      "H+": convert(amount, "mmol/L", "mg/L", "H+"),
      "OH-": convert(amount, "mmol/L", "mg/L", "OH-"),
    };
    const found = computedConductivity(water, { pH: 7 }).value;
    expect(Math.abs(found / pure.expected.conductivity_uS_cm - 1)).toBeLessThanOrEqual(
      pure.tolerance.rel as number,
    );
  });

  it("infinite dilution is the sum of the limiting conductivities, and its gap to onsager is its uncertainty", () => {
    const found = computedConductivity(EXAMPLE_WATER, { pH: 7.6, alkalinity, form: "limiting" });
    // BALANCE §5: κ° 601.9 µS/cm, computed for the handbook.
    expect(Math.abs(found.value - 601.9)).toBeLessThan(0.6);
    expect(found.u / found.value).toBeGreaterThan(0.1);
  });

  it("16 published waters, EC at 20 °C over 0.885: P.J. Stuyfzand, KIWA 1987, table 3.1 (read); without pairs 13 within 10 %, 9 within 5 %, errors −3.9 to +17 %", () => {
    const errors = referenceCases<
      { mg_per_L: Record<string, number>; pH: number },
      { conductivity_20C_measured: number }
    >("stuyfzand").map(({ inputs, expected }) => {
      const published = expected.conductivity_20C_measured / 0.885;
      return 100 * (computedConductivity(inputs.mg_per_L, { pH: inputs.pH }).value / published - 1);
    });
    expect(errors).toHaveLength(16);
    expect(errors.filter((error) => Math.abs(error) <= 10)).toHaveLength(13);
    expect(errors.filter((error) => Math.abs(error) <= 5)).toHaveLength(9);
    expect(Math.min(...errors)).toBeCloseTo(-3.9, 1);
    expect(Math.max(...errors)).toBeCloseTo(16.9, 1);
  });
});

describe("uncertainty", () => {
  const rest = (
    found: { budget(): readonly { source: string; contribution: number }[] },
    name: string,
  ): number => found.budget().find(({ source }) => source === name)?.contribution ?? Number.NaN;
  it("an ion's own error enters with the slope of κ: λ less what the ionic strength takes away", () => {
    const calcium = measured(62, "mg/L", { u: 0.62 }, { source: "calcium" });
    const water = { ...EXAMPLE_WATER, calcium };
    const found = computedConductivity(water, { pH: 7.6, alkalinity });
    const step = 1e-3;
    const at = (value: number): number =>
      computedConductivity({ ...EXAMPLE_WATER, calcium: value }, { pH: 7.6, alkalinity }).value;
    const slope = (at(62 + step) - at(62 - step)) / (2 * step);
    expect(rest(found, "calcium")).toBeCloseTo(0.62 * slope, 4);
    expect(slope).toBeLessThan((59.47 * 2) / 40.078);
    expect(slope).toBeGreaterThan((0.7 * 59.47 * 2) / 40.078);
  });
  it("the model's own: 5 % where calcium meets sulfate, 2 % in a dilute salt, 4 % in a strong one", () => {
    const share = (water: Record<string, number>): number => {
      const found = computedConductivity(water);
      return found.u / found.value;
    };
    expect(share(EXAMPLE_WATER)).toBeCloseTo(0.05, 10);
    expect(share(salt("K+", "Cl-", 0.001))).toBeCloseTo(0.02, 10);
    expect(share(salt("K+", "Cl-", 0.05))).toBeCloseTo(0.04, 10);
    expect(share(salt("K+", "Cl-", 0.2))).toBeCloseTo(0.15, 10);
  });
  it("an ion without a known conductivity counts with its class, whose spread is stated", () => {
    const found = computedConductivity({ sodium: 22.99, gluconate: 195.147 }, { pH: 7 });
    expect(found.value).toBeGreaterThan(95);
    expect(found.value).toBeLessThan(115);
    expect(found.u / found.value).toBeGreaterThan(0.13);
  });
});

describe("options and misuse", () => {
  it("at 20 °C it is 9.55 % below 25 °C (0.0191 per kelvin, from memory)", () => {
    const at = (temperature: number): number =>
      computedConductivity({ potassium: 39.098, chloride: 35.45 }, { temperature }).value;
    expect(at(20) / at(25)).toBeCloseTo(1 - 5 * 0.0191, 12);
  });
  it("no ions, no conductivity", () => {
    expect(computedConductivity({}).value).toBe(0);
  });
  it.each([
    [() => computedConductivity({ sodium: 1 }, { temperature: 90 }), /^outside-validity/],
    [() => computedConductivity({ sodiun: 1 }), /^unknown-ion: .*sodium/],
  ])("%#", (run, message) => {
    expect(errorOf(run)).toMatch(message);
  });
});
