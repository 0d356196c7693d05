import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { convert } from "../../toolkit/ions/units.js";
import { correlation, exactly, fromSources, measured } from "../../toolkit/uncertainty/measured.js";
import { FIGURE_RANGES } from "../../toolkit/water/ratios/figure-ranges.js";
import { seaSalt } from "../../toolkit/water/ratios/sea-salt.js";
import { SEA_WATER } from "../../toolkit/water/ratios/sea-water.js";
import { waterFigures } from "../../toolkit/water/ratios/water-figures.js";
import {
  asCaCO3,
  EXAMPLE_WATER,
  errorOf,
  fromMicroequivalents,
  referenceCase,
  titleOf,
} from "./reference-cases.js";

const figure = (found: ReturnType<typeof waterFigures>, name: string) =>
  found.figures.find((each) => each.name === name);
const numberOf = (found: ReturnType<typeof waterFigures>, name: string): number =>
  figure(found, name)?.value?.value ?? Number.NaN;

describe("the handbook's example water (BALANCE §5, computed for the handbook)", () => {
  const found = waterFigures(EXAMPLE_WATER, {
    alkalinity: asCaCO3(3.2),
    silica: 8,
    conductivity: 536,
    dissolvedSolids: 310,
  });
  it("dissolved solids 297 mg/L, 0.555 of the conductivity; weighed over computed 1.04: both criteria met", () => {
    expect(numberOf(found, "computed dissolved solids")).toBeCloseTo(297, 0);
    expect(numberOf(found, "computed dissolved solids over conductivity")).toBeCloseTo(0.555, 3);
    expect(figure(found, "computed dissolved solids over conductivity")?.ranges[0].inside).toBe(true);
    expect(numberOf(found, "measured over computed dissolved solids")).toBeCloseTo(310 / 297, 2);
    expect(figure(found, "measured over computed dissolved solids")?.ranges[0].inside).toBe(true);
    const light = waterFigures(EXAMPLE_WATER, { alkalinity: asCaCO3(3.2), dissolvedSolids: 280 });
    expect(figure(light, "measured over computed dissolved solids")?.ranges[0].inside).toBe(false);
  });
  it("hardness 212 mg/L as CaCO3, sodium adsorption ratio 0.687", () => {
    expect(Math.round(numberOf(found, "hardness"))).toBe(212);
    expect(numberOf(found, "sodium adsorption ratio")).toBeCloseTo(0.687, 3);
  });
  it("alkalinity as hydrogencarbonate gives the same solids; without any, they are flagged", () => {
    const hydrogencarbonate = convert(3.2, "meq/L", "mg/L", "hydrogencarbonate");
    const given = waterFigures({ ...EXAMPLE_WATER, hydrogencarbonate }, { silica: 8 });
    expect(numberOf(given, "computed dissolved solids")).toBeCloseTo(
      numberOf(found, "computed dissolved solids"),
      9,
    );
    expect(found.flags).toEqual([]);
    expect(waterFigures(EXAMPLE_WATER).flags).toEqual(["no-alkalinity"]);
  });
});

const hardness = referenceCase<unknown, { factor_Ca: number; factor_Mg: number }>("hardness_formula");
it(`hardness: ${titleOf(hardness)}`, () => {
  const of = (calcium: number, magnesium: number) =>
    numberOf(waterFigures({ calcium, magnesium }), "hardness");
  expect(Math.abs(of(1, 0) - hardness.expected.factor_Ca)).toBeLessThanOrEqual(
    hardness.tolerance.abs as number,
  );
  expect(Math.abs(of(0, 1) - hardness.expected.factor_Mg)).toBeLessThanOrEqual(
    hardness.tolerance.abs as number,
  );
});

describe("sea salt", () => {
  const published = referenceCase<
    unknown,
    { mass_ratio_to_Na: Record<string, number>; equiv_ratio_to_Na: Record<string, number> }
  >("sea_salt_ratios");
  const inSea = (formula: string, equivalents: boolean): number => {
    const sea = seaSalt({ sodium: exactly(1, "mg/L"), ...allOfSea() }, "sodium", SEA_WATER);
    const name = {
      "Cl-": "chloride",
      "SO4 2-": "sulfate",
      "K+": "potassium",
      "Ca2+": "calcium",
      "Mg2+": "magnesium",
    }[formula] as string;
    const { seaRatio } = sea?.parts.find(({ ion }) => ion === name) ?? { seaRatio: Number.NaN };
    const factor = convert(1, "mg/L", "meq/L", name) / convert(1, "mg/L", "meq/L", "sodium");
    return equivalents ? seaRatio * factor : seaRatio;
  };
  const allOfSea = () =>
    Object.fromEntries(
      Object.keys(SEA_WATER.composition)
        .filter((name) => name !== "sodium")
        .map((name) => [name, exactly(1, "mg/L")]),
    );
  it(`ratios to sodium: ${titleOf(published)}`, () => {
    const tolerance = published.tolerance.rel as number;
    for (const [formula, value] of Object.entries(published.expected.mass_ratio_to_Na))
      expect(Math.abs(inSea(formula, false) / value - 1)).toBeLessThanOrEqual(tolerance);
    for (const [formula, value] of Object.entries(published.expected.equiv_ratio_to_Na))
      expect(Math.abs(inSea(formula, true) / value - 1)).toBeLessThanOrEqual(tolerance);
  });

  it("rain of BALANCE §5: 23.4 of 25.1 µeq/L sulfate, 93 %, do not come from the sea", () => {
    const rain = waterFigures(fromMicroequivalents({ sodium: 14.2, sulfate: 25.1, magnesium: 3.9 }));
    const sulfate = rain.seaSalt?.parts.find(({ ion }) => ion === "sulfate");
    const excess = convert(sulfate?.nonSeaSalt.value?.value ?? 0, "mg/L", "µeq/L", "sulfate");
    expect(excess).toBeCloseTo(23.4, 1);
    expect(sulfate?.share?.value?.value).toBeCloseTo(93, 0);
  });

  const ocean = referenceCase<{ mg_per_kg: Record<string, number> }, unknown>("usgs_seawater_nordstrom");
  it(`sea water is all sea salt, by sodium as by magnesium: ${titleOf(ocean)}`, () => {
    for (const seaReference of ["sodium", "Mg2+"]) {
      const found = waterFigures(ocean.inputs.mg_per_kg, { seaReference });
      for (const name of ["chloride", "sulfate", "calcium", "potassium"]) {
        const part = found.seaSalt?.parts.find(({ ion }) => ion === name);
        expect(Math.abs((part?.enrichment?.value?.value ?? 0) - 1)).toBeLessThan(0.01);
      }
    }
  });

  it("without the reference ion there is no statement; a reference that the sea lacks is refused", () => {
    expect(waterFigures({ chloride: 10, sulfate: 5 }).seaSalt).toBeUndefined();
    expect(errorOf(() => waterFigures({ sodium: 1 }, { seaReference: "nitrate" }))).toMatch(/^bad-sea-water/);
    const seaWater = { source: "encyclopedic, read", composition: { Cl: 18.98, "Na+": 10.56 } };
    expect(errorOf(() => waterFigures({ sodium: 1 }, { seaWater }))).toMatch(/^unknown-ion/);
  });
});

describe("uncertainty", () => {
  it("what two ions share cancels in their ratio; a figure stays correlated with its ions", () => {
    const volume = (value: number, own: string) =>
      fromSources(value, "mg/L", [
        { source: "dilution", contribution: 0.05 * value },
        { source: own, contribution: 0.01 * value },
      ]);
    const chloride = volume(290, "chloride");
    const found = waterFigures({ chloride, bromide: volume(1, "bromide") });
    const ratio = figure(found, "Cl/Br by mass")?.value;
    expect(ratio?.value).toBeCloseTo(290, 9);
    expect((ratio?.u ?? 0) / 290).toBeCloseTo(Math.SQRT2 * 0.01, 4);
    const solids = figure(found, "computed dissolved solids")?.value;
    expect(solids && correlation(solids, chloride)).toBeGreaterThan(0.99);
  });
  it("hardness: u² = (2.497·u(Ca))² + (4.118·u(Mg))²", () => {
    const found = waterFigures({
      calcium: measured(60, "mg/L", { u: 0.6 }),
      magnesium: measured(12, "mg/L", { u: 0.3 }),
    });
    expect(figure(found, "hardness")?.value?.u).toBeCloseTo(Math.hypot(2.4973 * 0.6, 4.1179 * 0.3), 3);
  });
});

describe("what lies below a limit gives a bound, never a number", () => {
  it("bromide below 0.1 mg/L: Cl/Br is at least 1000, surely not that of sea water, perhaps of halite", () => {
    const found = waterFigures({ chloride: 100, bromide: { below: 0.1 } });
    const ratio = figure(found, "Cl/Br by mass");
    expect(ratio).toMatchObject({ value: undefined, high: undefined });
    expect(ratio?.low?.value).toBeCloseTo(1000, 9);
    const inside = Object.fromEntries(ratio?.ranges.map((each) => [each.meaning, each.inside]) ?? []);
    expect(inside["sea water"]).toBe(false);
    expect(inside["dissolved halite"]).toBeUndefined();
    expect(String(found)).toContain("Cl/Br by mass: ≥ 1000");
  });
  it("nitrate below: at most; both below: nothing is said; non-sea-salt with sodium below: both bounds", () => {
    const chloride = 10;
    const found = waterFigures({ chloride, nitrate: { below: 0.2 }, sulfate: 2, sodium: { below: 1 } });
    expect(figure(found, "NO3/Cl, equivalents")?.value).toBeUndefined();
    expect(String(found)).toMatch(/NO3\/Cl, equivalents: ≤ 0\.0114/);
    const none = waterFigures({ chloride: { below: 1 }, bromide: { below: 1 } });
    expect(String(none)).toContain("Cl/Br by mass: unknown");
    const sulfate = found.seaSalt?.parts.find(({ ion }) => ion === "sulfate");
    expect(sulfate?.nonSeaSalt.low?.value).toBeCloseTo(2 - 2.71 / 10.78, 9);
    expect(sulfate?.nonSeaSalt.high?.value).toBeCloseTo(2, 9);
  });
  it("whatever the ion really is below its limit, every figure lies within its bounds", () => {
    const ions = ["sodium", "calcium", "magnesium", "chloride", "bromide", "sulfate", "nitrate"] as const;
    const amount = fc.double({ min: 0.01, max: 1000, noNaN: true });
    fc.assert(
      fc.property(
        fc.tuple(...ions.map(() => amount)),
        fc.subarray([...ions], { minLength: 1 }),
        fc.double({ min: 0.001, max: 1, noNaN: true }),
        (amounts, hidden, part) => {
          const truth = Object.fromEntries(ions.map((name, i) => [name, amounts[i]]));
          const told = Object.fromEntries(
            ions.map((name, i) => [name, hidden.includes(name) ? { below: amounts[i] / part } : amounts[i]]),
          );
          const exact = waterFigures(truth, { alkalinity: 100 });
          for (const bounds of waterFigures(told, { alkalinity: 100 }).figures) {
            const value = numberOf(exact, bounds.name);
            const slack = 1e-9 * Math.abs(value);
            expect(bounds.low?.value ?? -Infinity).toBeLessThanOrEqual(value + slack);
            expect(bounds.high?.value ?? Infinity).toBeGreaterThanOrEqual(value - slack);
          }
        },
      ),
      { seed: 1, numRuns: 20 },
    );
  });
});

describe("ranges are data, and calls are checked", () => {
  it("each names its source and a figure that exists", () => {
    const found = waterFigures(
      { ...EXAMPLE_WATER, bromide: 0.1 },
      { alkalinity: 160, dissolvedSolids: 300, conductivity: 536 },
    );
    for (const { figure: name, source } of FIGURE_RANGES) {
      expect(figure(found, name), name).toBeDefined();
      expect(source).toMatch(/from memory|read|common practice, no source/);
    }
  });
  it("a range of one's own takes their place", () => {
    const range = {
      figure: "hardness",
      low: 0,
      high: 100,
      role: "criterion",
      meaning: "soft",
      source: "ours",
    } as const;
    const found = waterFigures(EXAMPLE_WATER, { ranges: [range] });
    expect(figure(found, "hardness")?.ranges).toEqual([{ ...range, inside: false }]);
  });
  it.each([
    [() => waterFigures({ sodiun: 1 }), /^unknown-ion/],
    [() => waterFigures({ sodium: 1, "Na+": { below: 1 } }), /^duplicate-ion/],
    [() => waterFigures({ bromide: { below: 0 } }), /^bad-limit: .*below: 0\.05/],
    [() => waterFigures({ bromide: "<0.1" as never }), /^not-a-number/],
    [() => waterFigures(undefined as never), /^no-concentrations/],
    [() => waterFigures({ sodium: 1 }, { silca: 3 } as never), /^unknown-option: .*silica/],
    [() => waterFigures({ sodium: 1 }, { silica: "8" as never }), /^not-a-number: the silica/],
    [() => waterFigures({ sodium: 1 }, { conductivity: measured(1, "mS/cm", { u: 0.1 }) }), /^unit-mismatch/],
    [() => waterFigures({ sodium: 1 }, { ranges: [null] as never }), /^bad-option/],
    [() => waterFigures({ sodium: 1 }, { alkalinityFactor: 0 }), /^bad-option/],
  ])("%#", (run, message) => {
    expect(errorOf(run)).toMatch(message);
  });
});
