import { describe, expect, it } from "vitest";
import { ion } from "../../toolkit/ions/ion-table.js";
import { convert } from "../../toolkit/ions/units.js";
import { computedConductivity } from "../../toolkit/water/conductivity/conductivity.js";
import { conductivityModel } from "../../toolkit/water/conductivity/conductivity-model.js";
import { ION_PAIRS } from "../../toolkit/water/conductivity/ion-pairs.js";
import { pairSolver } from "../../toolkit/water/conductivity/pair-solver.js";
import { conductivityAt25 } from "../../toolkit/water/conductivity/temperature.js";
import { activityCoefficient } from "../../toolkit/water/speciation/activity.js";
import { asCaCO3, EXAMPLE_WATER, errorOf, referenceCases } from "./reference-cases.js";

const NAMES = ["calcium", "magnesium", "sodium", "potassium", "chloride", "sulfate", "hydrogencarbonate"];
const FORMS = NAMES.map((name) => ({ name, charge: ion(name).charge, ion: ion(name) }));
/** Hard, rich in sulfate, mmol/L. */
const WATER = [3, 2, 4, 0.3, 3, 4.2, 3.1];

describe("16 published waters with ion pairs, EC at 20 °C over 0.885: P.J. Stuyfzand, KIWA 1987, table 3.1 (read)", () => {
  const errors = referenceCases<
    { mg_per_L: Record<string, number>; pH: number },
    { conductivity_20C_measured: number }
  >("stuyfzand").map(({ id, inputs, expected, tolerance }) => {
    const published = conductivityAt25(expected.conductivity_20C_measured, 20, "groundwater-20");
    const computed = computedConductivity(inputs.mg_per_L, { pH: inputs.pH, ionPairs: true });
    const allowed = tolerance.per_key?.conductivity_20C_measured.rel ?? 0;
    return { id, error: 100 * (computed.value / published - 1), allowed, u: (100 * computed.u) / published };
  });

  it("12 of 16 within 5 %, 14 within 10 %", () => {
    expect(errors).toHaveLength(16);
    expect(errors.filter(({ error }) => Math.abs(error) <= 5)).toHaveLength(12);
    expect(errors.filter(({ error }) => Math.abs(error) <= 10)).toHaveLength(14);
  });
  it("each is as near as its reference asks, by the tolerance that another closed formula met", () => {
    for (const { error, allowed, id } of errors)
      expect(Math.abs(error), id).toBeLessThanOrEqual(100 * allowed);
  });
  it("twice the stated uncertainty of the model covers 13; the three it misses are dilute, below 100 µS/cm", () => {
    const missed = errors.filter(({ error, u }) => Math.abs(error) > 2 * u).map(({ id }) => id.slice(-2));
    expect(missed).toEqual(["01", "05", "07"]);
  });
  it("the four others: two below 80 µS/cm read 10 and 17 % high, one of 99 µS/cm and pH 4.6 7 % high, one of ionic strength 0.12 with 64 % sulfate 10 % low", () => {
    const others = errors.filter(({ error }) => Math.abs(error) > 5);
    expect(others.map(({ id }) => id.slice(-2))).toEqual(["01", "05", "07", "23"]);
    [9.9, 16.8, 6.6, -10.3].forEach((expected, i) => {
      expect(Math.abs(others[i].error - expected)).toBeLessThan(0.15);
    });
  });
  it("water 11, 47 % of its anions sulfate: 8.4 % high without pairs, within 0.5 % with them", () => {
    expect(Math.abs(errors.find(({ id }) => id.endsWith("11"))?.error ?? Number.NaN)).toBeLessThan(0.5);
  });
});

describe("mass balance of pairs", () => {
  const solver = pairSolver(FORMS, ION_PAIRS);
  const free = Float64Array.from(WATER);
  const strength = solver.solve(free);
  const bound = Object.fromEntries(solver.pairs.map(({ name }, k) => [name, solver.bound[k]]));

  it("what is free and what is bound add up to the total", () => {
    NAMES.forEach((name, i) => {
      const taken = solver.pairs.reduce(
        (sum, { cation, anion }, k) => sum + (cation === name || anion === name ? solver.bound[k] : 0),
        0,
      );
      expect(Math.abs(free[i] + taken - WATER[i])).toBeLessThan(1e-9);
    });
  });
  it("each pair obeys its constant with Davies' coefficients at the ionic strength of what is left", () => {
    for (const { name, cation, anion, logK } of ION_PAIRS) {
      const [m, a] = [NAMES.indexOf(cation), NAMES.indexOf(anion)];
      const charge = FORMS[m].charge + FORMS[a].charge;
      const gamma = (z: number): number => activityCoefficient(z, strength);
      const quotient =
        (bound[name] * gamma(charge) * 1000) /
        (free[m] * gamma(FORMS[m].charge) * free[a] * gamma(FORMS[a].charge));
      expect(Math.log10(quotient)).toBeCloseTo(logK, 7);
    }
    const charged = solver.pairs.reduce((sum, _, k) => sum + solver.bound[k] * solver.charges[k] ** 2, 0);
    const left = FORMS.reduce((sum, { charge }, i) => sum + free[i] * charge ** 2, 0);
    expect(strength).toBeCloseTo((left + charged) / 2000, 12);
  });
  it("half a mole of magnesium sulfate and an empty water come to rest too", () => {
    const strong = Float64Array.of(0, 500, 0, 0, 0, 500, 0);
    solver.solve(strong);
    expect(strong[1] + solver.bound[1]).toBeCloseTo(500, 6);
    expect(strong[1]).toBeGreaterThan(0);
    const none = new Float64Array(NAMES.length);
    expect(solver.solve(none)).toBe(0);
    expect([...none]).toEqual(Array(NAMES.length).fill(0));
  });
});

describe("pairs as an option", () => {
  const options = { pH: 7.6, alkalinity: asCaCO3(3.2) };
  const without = computedConductivity(EXAMPLE_WATER, options);
  it("changes nothing where no pair can form, and lowers the example water of the handbook by 4 %", () => {
    const salt = {
      potassium: convert(10, "mmol/L", "mg/L", "potassium"),
      chloride: convert(10, "mmol/L", "mg/L", "chloride"),
    };
    expect(computedConductivity(salt, { ionPairs: true }).value).toBe(computedConductivity(salt).value);
    const paired = computedConductivity(EXAMPLE_WATER, { ...options, ionPairs: true });
    expect(paired.value / without.value - 1).toBeLessThan(-0.035);
    expect(paired.value / without.value - 1).toBeGreaterThan(-0.05);
  });
  it("the model's uncertainty is 2 % with pairs where it is 5 % without", () => {
    const paired = computedConductivity(EXAMPLE_WATER, { ...options, ionPairs: true });
    expect(paired.u / paired.value).toBeCloseTo(0.02, 10);
    expect(without.u / without.value).toBeCloseTo(0.05, 10);
  });
  it("a list of one's own is data: without pairs of sulfate the rest is less than 1 %", () => {
    const own = ION_PAIRS.filter(({ anion }) => anion !== "sulfate");
    const found = computedConductivity(EXAMPLE_WATER, { ...options, ionPairs: own });
    expect(Math.abs(found.value / without.value - 1)).toBeLessThan(0.02);
  });
  it.each([
    [{ ionPairs: "yes" }, /^bad-option: .*ION_PAIRS/],
    [{ ionPairs: [{ cation: "calcium" }] }, /^bad-option: an ion pair says/],
    [{ pairs: true }, /^unknown-option/],
    [{ form: "onsagr" }, /^bad-option: .*"onsager"/],
  ])("%o is refused", (wrong, message) => {
    expect(errorOf(() => computedConductivity({ sodium: 1 }, wrong as object))).toMatch(message);
  });
});

describe("many evaluations", () => {
  it("another number of concentrations, no forms and an unknown form are refused", () => {
    const model = conductivityModel(FORMS);
    expect(errorOf(() => model([1, 2]))).toMatch(/^bad-amounts: 2 concentrations were given for 7 forms/);
    expect(errorOf(() => conductivityModel(undefined as never))).toMatch(/^bad-option/);
    expect(errorOf(() => conductivityModel(FORMS, "onsagr" as never))).toMatch(/^bad-option/);
  });
  it("the prepared model gives the same number and takes far less than 0.1 ms", () => {
    const model = conductivityModel(FORMS, "onsager", ION_PAIRS);
    const milligrams = Object.fromEntries(
      NAMES.map((name, i) => [name, convert(WATER[i], "mmol/L", "mg/L", name)]),
    );
    expect(model(WATER)).toBeCloseTo(computedConductivity(milligrams, { ionPairs: true }).value, 9);
    const times = 2000;
    for (let i = 0; i < times; i++) model(WATER);
    const { user: before } = process.cpuUsage();
    for (let i = 0; i < times; i++) model(WATER);
    const each = (process.cpuUsage().user - before) / 1000 / times;
    expect(each).toBeLessThan(0.05);
  });
});
