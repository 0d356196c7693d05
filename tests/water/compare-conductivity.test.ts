import { describe, expect, it } from "vitest";
import { measured } from "../../toolkit/uncertainty/measured.js";
import { compareConductivity } from "../../toolkit/water/conductivity/compare-conductivity.js";
import {
  applyConductivityCriteria,
  CONDUCTIVITY_CRITERIA,
} from "../../toolkit/water/conductivity/conductivity-criteria.js";
import { asCaCO3, EXAMPLE_WATER, errorOf, fromMicroequivalents, referenceCases } from "./reference-cases.js";

const OPTIONS = { pH: 7.6, alkalinity: asCaCO3(3.2) };
const RAIN = fromMicroequivalents({
  hydrogen: 15.1,
  sodium: 14.2,
  ammonium: 21.5,
  potassium: 1.6,
  magnesium: 3.9,
  calcium: 7.4,
  chloride: 17,
  nitrate: 19.8,
  sulfate: 25.1,
});
const criterion = (found: ReturnType<typeof compareConductivity>, measure: string) =>
  found.criteria.find((each) => each.measure === measure);

describe("the handbook's example water, 536 µS/cm (BALANCE §2 and §5, computed for the handbook)", () => {
  const found = compareConductivity(EXAMPLE_WATER, 536, { ...OPTIONS, ionPairs: false });
  it("without pairs: ratio 1.005; 100·S over the conductivity 97.9 % by anions, 99.4 % by cations", () => {
    expect(found.ratio.value).toBeCloseTo(1.005, 3);
    expect(criterion(found, "ratio")).toMatchObject({ passed: true });
    expect(100 * (criterion(found, "anion sum")?.found ?? 0)).toBeCloseTo(97.9, 1);
    expect(100 * (criterion(found, "cation sum")?.found ?? 0)).toBeCloseTo(99.4, 1);
    expect(found.passed).toBe(true);
  });
  it("every form stands beside it: 601.9 at infinite dilution, 538.8, 501.7", () => {
    const by = (form: string) =>
      found.forms.find((each) => each.form === form && !each.ionPairs)?.computed ?? 0;
    expect(Math.abs(by("limiting") - 601.9)).toBeLessThan(0.6);
    expect(Math.abs(by("onsager") - 538.8)).toBeLessThan(0.3);
    expect(Math.abs(by("standard-methods") - 501.7)).toBeLessThan(0.3);
  });
  it("pairs are counted by default where calcium meets sulfate, and nowhere else", () => {
    expect(compareConductivity(EXAMPLE_WATER, 536, OPTIONS).ionPairs).toBe(true);
    const { sulfate: _, ...others } = EXAMPLE_WATER;
    expect(compareConductivity(others, 536, OPTIONS).ionPairs).toBe(false);
  });
  it("the reading's uncertainty and the ions' enter the difference, a source they share cancels", () => {
    const reading = measured(536, "µS/cm", { u: 6 }, { source: "cell" });
    const with6 = compareConductivity(EXAMPLE_WATER, reading, { ...OPTIONS, ionPairs: false });
    expect(with6.difference.u).toBeCloseTo(Math.hypot(found.difference.u, 6), 9);
    expect(Math.abs(with6.normalizedDifference)).toBeLessThan(Math.abs(found.normalizedDifference));
    const volume = { source: "volume" };
    const sodium = measured(23, "mg/L", { u: 2 }, volume);
    const shared = compareConductivity(
      { sodium, chloride: 35.47 },
      measured(126, "µS/cm", { u: 4.2 }, volume),
    );
    const apart = compareConductivity(
      { sodium, chloride: 35.47 },
      measured(126, "µS/cm", { u: 4.2 }, { source: "cell" }),
    );
    expect(shared.difference.u).toBeLessThan(0.8 * apart.difference.u);
  });
});

describe("rain (BALANCE §5, computed for the handbook)", () => {
  it("12.7 µS/cm measured: +2.1 %, passes the precipitation rules", () => {
    const found = compareConductivity(RAIN, 12.7, { pH: 4.82 });
    expect(criterion(found, "percent of measured")?.found).toBeCloseTo(2.1, 0);
    expect(criterion(found, "percent of measured")).toMatchObject({ passed: true });
    expect(criterion(found, "percent of measured")?.limit).toContain("±30 % (5 to 30 µS/cm)");
    expect(criterion(found, "percent of sum")).toMatchObject({ passed: true });
    expect(criterion(found, "cation sum")).toBeUndefined();
  });
  it("9.0 µS/cm measured: +44 %, R2 18, fails both though the charge balances", () => {
    const found = compareConductivity(RAIN, 9, { pH: 4.82 });
    expect(criterion(found, "percent of measured")?.found).toBeCloseTo(44, 0);
    expect(criterion(found, "percent of sum")?.found).toBeCloseTo(18, 0);
    expect(criterion(found, "percent of measured")?.passed).toBe(false);
    expect(criterion(found, "percent of sum")?.passed).toBe(false);
  });
});

describe("published readings at 20 °C", () => {
  it("the 16 waters of P.J. Stuyfzand, KIWA 1987, table 3.1 (read): 14 within 0.9 to 1.1 with the source's own rule of temperature", () => {
    const ratios = referenceCases<
      { mg_per_L: Record<string, number>; pH: number },
      { conductivity_20C_measured: number }
    >("stuyfzand").map(({ inputs, expected }) =>
      compareConductivity(inputs.mg_per_L, expected.conductivity_20C_measured, {
        pH: inputs.pH,
        measuredAt: 20,
        temperatureRule: "groundwater-20",
      }),
    );
    expect(ratios.filter((found) => criterion(found, "ratio")?.passed)).toHaveLength(14);
  });
});

describe("criteria are data", () => {
  const figures = {
    computed: 40,
    measured: 30,
    uDifference: 0,
    cations: 0.4,
    anions: 0.4,
    precipitation: true,
  };
  it("bands end where they say: 30 µS/cm belongs to the band up to 30, 30.1 to the next", () => {
    const limitsAt = (reading: number) =>
      applyConductivityCriteria({ ...figures, measured: reading }).map(({ limit }) => limit);
    expect(limitsAt(30).at(-1)).toContain("±13 %");
    expect(limitsAt(30.1).at(-1)).toContain("±9 % (above 30 µS/cm)");
    expect(limitsAt(5).at(-1)).toContain("±20 % (to 5 µS/cm)");
  });
  it("every rule names its source", () => {
    for (const { source } of CONDUCTIVITY_CRITERIA)
      expect(source).toMatch(/\((read|from memory|common practice, no source)\)$/);
  });
  it("a rule of one's own decides", () => {
    const criteria = [{ source: "ours", measure: "ratio", bands: [[Infinity, 0.99, 1.01]] }] as const;
    const found = compareConductivity(EXAMPLE_WATER, 500, { ...OPTIONS, criteria });
    expect(found.criteria).toHaveLength(1);
    expect(found.passed).toBe(false);
    expect(compareConductivity(EXAMPLE_WATER, 500, { ...OPTIONS, criteria: [] }).passed).toBe(true);
  });
});

describe("misuse", () => {
  it.each([
    [() => compareConductivity(EXAMPLE_WATER, 0), /^bad-conductivity/],
    [() => compareConductivity(EXAMPLE_WATER, undefined as never), /^bad-conductivity/],
    [() => compareConductivity(EXAMPLE_WATER, measured(5, "mS/cm", { u: 1 })), /^bad-conductivity: .*mS\/cm/],
    [() => compareConductivity({}, 12), /^nothing-to-compare/],
    [
      () => compareConductivity(EXAMPLE_WATER, 536, { measuredAT: 20 } as object),
      /^unknown-option: .*measuredAt/,
    ],
    [() => compareConductivity(EXAMPLE_WATER, 536, { measuredAt: 90 }), /^outside-validity/],
    [() => compareConductivity(EXAMPLE_WATER, 536, { criteria: {} as never }), /^bad-criterion/],
    [
      () => compareConductivity(EXAMPLE_WATER, 536, { criteria: [{ source: "x" }] as never }),
      /^bad-criterion: .*"ratio"/,
    ],
  ])("%#", (run, message) => {
    expect(errorOf(run)).toMatch(message);
  });
});
