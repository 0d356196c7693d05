import { describe, expect, it } from "vitest";
import { diagnoseBalance } from "../../../toolkit/water/diagnosis/diagnose-balance.js";
import { diagnoseBatch } from "../../../toolkit/water/diagnosis/diagnose-batch.js";
import type { DiagnosedHypothesis } from "../../../toolkit/water/diagnosis/diagnosis-types.js";
import { asCaCO3, EXAMPLE_WATER, errorOf, fromMicroequivalents } from "../reference-cases.js";
import { wrongly } from "../wrongly.js";

const BOTTLE = { pH: 7.6, alkalinity: asCaCO3(3.2), conductivity: 536 };
const { calcium, magnesium, sodium, potassium, ammonium, ...ANIONS } = EXAMPLE_WATER;
const CATIONS = { calcium, magnesium, sodium, potassium, ammonium };
const times = (ions: Readonly<Record<string, number>>, factor: number) =>
  Object.fromEntries(Object.entries(ions).map(([name, value]) => [name, value * factor]));

describe("the worked example of the handbook, BALANCE §6: alkalinity typed 2.60 for 3.20 [computed there]", () => {
  // Its χ² are those of the conductivity without ion pairs, u(D) 0.0701 meq/L and u(κ) 2 % of 536 µS/cm.
  const typed = { ...BOTTLE, alkalinity: asCaCO3(2.6), ionPairs: false, most: 200 };
  const diagnosis = diagnoseBalance(EXAMPLE_WATER, typed);
  const handbook = (difference: number, conductivity: number): number =>
    (difference / 0.0701) ** 2 + ((conductivity - 536) / (0.02 * 536)) ** 2;
  const found = (cause: string): DiagnosedHypothesis => {
    const hypothesis = diagnosis.hypotheses.find((each) => each.cause === cause);
    if (!hypothesis) throw new Error(`no hypothesis "${cause}"`);
    return hypothesis;
  };

  it.each([
    ["alkalinity too low", 0.3],
    ["sulfate too low", 4.6],
    ["chloride too low", 6.2],
    ["sodium too high", 23.7],
    ["calcium too high", 25.2],
  ])("%s: χ² %d", (cause, expected) => {
    const { difference, conductivity } = found(cause);
    expect(difference).toBeCloseTo(0, 6);
    expect(Math.abs(handbook(difference, conductivity) - expected)).toBeLessThan(0.15);
  });

  it("nothing wrong: D +0.681 meq/L, κ 515 µS/cm, χ² 98.6", () => {
    const { difference, conductivity, percentDifference } = diagnosis.reported;
    expect(difference).toBeCloseTo(0.681, 3);
    expect(percentDifference).toBeCloseTo(6.8, 1);
    expect(Math.abs(conductivity - 515)).toBeLessThan(0.6);
    expect(Math.abs(handbook(difference, conductivity) - 98.6)).toBeLessThan(0.5);
  });

  it("the first hint is the alkalinity, from 2.60 to 3.28 meq/L, with the measurement that decides", () => {
    const [first] = diagnosis.hypotheses;
    expect(first.cause).toBe("alkalinity too low");
    expect(first.change.from).toBeCloseTo(asCaCO3(2.6), 2);
    expect(first.change.to).toBeCloseTo(asCaCO3(2.6 + 0.6813), 1);
    expect(first.change.unit).toBe("mg/L as CaCO3");
    expect(first.next).toContain("titrate the alkalinity again");
  });

  it("χ² is that of the printed differences and uncertainties", () => {
    for (const { chiSquared, difference, uDifference, conductivityRatio, uRatio } of diagnosis.hypotheses) {
      const ratio = conductivityRatio ?? Number.NaN;
      expect(chiSquared).toBeCloseTo((difference / uDifference) ** 2 + ((ratio - 1) / uRatio) ** 2, 6);
    }
  });

  it("probabilities, having no fault and an unlisted one included, sum to one", () => {
    const { hypotheses, reported, unexplained } = diagnosis;
    const sum = hypotheses.reduce((all, { probability }) => all + probability, 0);
    expect(sum + reported.probability + unexplained).toBeCloseTo(1, 9);
  });
});

describe("signatures of the handbook's table, BALANCE §6 (common practice, no source)", () => {
  const first = (water: Readonly<Record<string, number>>, options: object = BOTTLE) => {
    const diagnosis = diagnoseBalance(water, options);
    return { diagnosis, ...diagnosis.hypotheses[0] };
  };

  it("the example water itself raises nothing", () => {
    const { raised, reported } = diagnoseBalance(EXAMPLE_WATER, BOTTLE);
    expect(raised).toBe(false);
    expect(reported.probability).toBeGreaterThan(0.5);
  });
  it("difference above zero, conductivity low: hydrogencarbonate was not measured", () => {
    const { cause, change, diagnosis } = first(EXAMPLE_WATER, { pH: 7.6, conductivity: 536 });
    expect(diagnosis.raised).toBe(true);
    expect(cause).toBe("hydrogencarbonate not measured");
    // Titrated 3.20 meq/L, 195 mg/L; the example itself closes to +0.08 meq/L.
    expect(change.to).toBeGreaterThan(190);
    expect(change.to).toBeLessThan(205);
  });
  it("difference above zero, conductivity high: a dilution of the cations, sodium that came in", () => {
    const doubled = first({ ...ANIONS, ...times(CATIONS, 2) });
    expect(doubled.cause).toBe("dilution of all cations");
    expect(doubled.change.factor).toBeCloseTo(0.5, 9);
    const salted = first({ ...EXAMPLE_WATER, sodium: 69 });
    expect(salted.cause).toBe("sodium too high");
    expect(Math.abs((salted.change.to ?? 0) - 23)).toBeLessThan(3);
  });
  it("difference below zero, conductivity low: a cation was not looked for", () => {
    const { sodium: _, ...without } = EXAMPLE_WATER;
    expect(first(without).cause).toBe("sodium not measured");
  });
  it("difference below zero, conductivity high: nitrate counted from nitrogen twice, chloride too high", () => {
    const slip = first({ ...EXAMPLE_WATER, nitrate: 18 * 4.4268 });
    expect(slip.cause).toBe("nitrate given as N or the reverse");
    expect(slip.change.to).toBeCloseTo(18, 1);
    expect(first({ ...EXAMPLE_WATER, chloride: 62 }).cause).toMatch(/chloride too high|dilution of chloride/);
  });
  it("the rain that balances and whose conductivity is 9.0 for 13: the reading, or both channels (BALANCE §5)", () => {
    const cations = { sodium: 14.2, ammonium: 21.5, potassium: 1.6, magnesium: 3.9, calcium: 7.4 };
    const rain = fromMicroequivalents({ ...cations, chloride: 17, nitrate: 19.8, sulfate: 25.1 });
    expect(diagnoseBalance(rain, { pH: 4.82, conductivity: 12.7 }).raised).toBe(false);
    const { diagnosis, family } = first(rain, { pH: 4.82, conductivity: 9 });
    expect(Math.abs(diagnosis.reported.percentDifference)).toBeLessThan(2);
    expect(diagnosis.raised).toBe(true);
    expect(family).toMatch(/conductivity|both channels/);
  });
  it("unidentified peaks that carry the missing charge come first", () => {
    const options = { ...BOTTLE, alkalinity: asCaCO3(2.6), unknownAnions: 0.66 };
    expect(first(EXAMPLE_WATER, options).cause).toBe("unidentified anions");
  });
  it("dissolved solids add a third term", () => {
    const solids = { ...BOTTLE, dissolvedSolids: 310 };
    const { reported } = diagnoseBalance(EXAMPLE_WATER, solids);
    // Computed 297 mg/L with 8.0 of silica, which is not among the ions (BALANCE §5 [computed there]).
    expect(Math.abs(reported.dissolvedSolids - 289)).toBeLessThan(1);
    expect(reported.chiSquared).toBeGreaterThan(diagnoseBalance(EXAMPLE_WATER, BOTTLE).reported.chiSquared);
  });
});

describe("a batch", () => {
  const waters = [0.4, 1, 1.7, 2.6].map((size, i) => ({
    sample: `well ${i + 1}`,
    concentrations: { ...times(CATIONS, size), ...times(ANIONS, size) },
    ...{ pH: 7.6, alkalinity: asCaCO3(3.2 * size), conductivity: [222, 525, 848, 1240][i] },
  }));

  it("in order raises nothing", () => {
    expect(diagnoseBatch(waters).raised).toEqual([]);
  });
  it("two exchanged anion vials are told for both, and the pairing that would close them", () => {
    const anionsOf = (i: number) => times(ANIONS, [0.4, 1, 1.7, 2.6][i]);
    const exchanged = waters.map((water, i) =>
      i === 1 || i === 3
        ? { ...water, concentrations: { ...water.concentrations, ...anionsOf(4 - i) } }
        : water,
    );
    const { raised, pairings } = diagnoseBatch(exchanged);
    expect(raised.map(({ sample }) => sample)).toEqual(["well 2", "well 4"]);
    for (const { hypotheses } of raised)
      expect(hypotheses[0].cause).toMatch(/^anion vials of well [24] and well [24] exchanged$/);
    const anions = pairings.find(({ exchanged: what }) => what === "anion vials");
    expect(anions?.places.map(({ holds }) => holds)).toEqual(["well 1", "well 4", "well 3", "well 2"]);
    expect(anions?.paired).toBeLessThan(0.01 * (anions?.reported ?? 0));
  });
  it("a rack turned by one place is told as a ring", () => {
    const turned = waters.map((water, i) => ({
      ...water,
      concentrations: { ...water.concentrations, ...times(CATIONS, [0.4, 1, 1.7, 2.6][(i + 1) % 4]) },
    }));
    const { raised } = diagnoseBatch(turned);
    expect(raised).toHaveLength(4);
    for (const { hypotheses } of raised) expect(hypotheses[0].cause).toMatch(/^cation vials of .* in turn$/);
  });
});

describe("a diagnosis", () => {
  it("corrects nothing: what it was given stays as it is", () => {
    const water = Object.freeze({ ...EXAMPLE_WATER, sodium: 69 });
    const before = JSON.stringify(water);
    diagnoseBalance(water, Object.freeze({ ...BOTTLE }));
    expect(JSON.stringify(water)).toBe(before);
  });
  it("says what it found and that it only hints", () => {
    const text = String(diagnoseBalance({ ...EXAMPLE_WATER, sodium: 69 }, { ...BOTTLE, sample: "well 3" }));
    for (const words of ["well 3", "does not fit", "sodium too high", "field blank", "nothing is corrected"])
      expect(text).toContain(words);
  });
  it("without a conductivity says that charge alone tells few causes apart", () => {
    const text = String(diagnoseBalance({ ...EXAMPLE_WATER, sodium: 69 }, { pH: 7.6 }));
    expect(text).toContain("conductivity not measured");
  });
  const wrong = wrongly(diagnoseBalance);
  const wrongBatch = wrongly(diagnoseBatch);
  it.each([
    ["a misspelt option", () => wrong(EXAMPLE_WATER, { conductivty: 5 }), "unknown-option", '"conductivity"'],
    ["a text for a conductivity", () => wrong(EXAMPLE_WATER, { conductivity: "536" }), "not-a-number", "536"],
    ["no water", () => wrong(), "no-concentrations", "mg/L by ion"],
    ["an empty water", () => wrong({}), "nothing-to-balance", "at least one ion"],
    ["half a hypothesis", () => wrong(EXAMPLE_WATER, { most: 0.5 }), "bad-option", "whole number"],
    ["one water, not a list", () => wrongBatch(EXAMPLE_WATER), "no-waters", "diagnoseBatch([{ sample"],
    [
      "a water without name",
      () => wrongBatch([{ concentrations: EXAMPLE_WATER }]),
      "bad-option",
      "name of its sample",
    ],
    [
      "two waters of one name",
      () => wrongBatch([1, 2].map(() => ({ sample: "a", concentrations: EXAMPLE_WATER }))),
      "duplicate-sample",
      '"a"',
    ],
  ])("%s reads like advice", (_, run, code, words) => {
    const text = errorOf(run);
    expect(text).toContain(`${code}: `);
    expect(text).toContain(words);
  });
});
