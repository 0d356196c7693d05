import { describe, expect, it } from "vitest";
import { convert } from "../../toolkit/ions/units.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { measured } from "../../toolkit/uncertainty/measured.js";
import { alkalinityByDifference } from "../../toolkit/water/alkalinity/alkalinity-by-difference.js";
import { carbonateSystem } from "../../toolkit/water/alkalinity/carbonate-system.js";
import { granAlkalinity } from "../../toolkit/water/alkalinity/gran-alkalinity.js";
import { chargeBalance } from "../../toolkit/water/balance/charge-balance.js";
import { asCaCO3, EXAMPLE_WATER, errorOf, referenceCase, titleOf } from "./reference-cases.js";

describe("alkalinity, hydrogencarbonate, carbonate and inorganic carbon", () => {
  const of = referenceCase<
    { alkalinity_mg_CaCO3_L: number; pH: number },
    { HCO3_mg_L: number; CO3_mg_L: number }
  >("alkalinity_speciation_ph83");
  it(titleOf(of), () => {
    // The source counts with an equivalent weight of calcium carbonate of 50.0435.
    const alkalinity = measured(of.inputs.alkalinity_mg_CaCO3_L / 50.0435, "meq/L", { u: 0 });
    const found = carbonateSystem({ pH: of.inputs.pH, alkalinity });
    const { rel = 0 } = of.tolerance;
    expect(Math.abs(found.hydrogencarbonate.value / of.expected.HCO3_mg_L - 1)).toBeLessThanOrEqual(rel);
    expect(Math.abs(found.carbonate.value / of.expected.CO3_mg_L - 1)).toBeLessThanOrEqual(rel);
  });

  it("pH 7.60 and 3.20 meq/L: HCO3 3.188 and CO3 0.012 meq/L, 3.37 mmol/L of carbon (BALANCE §4, computed for the handbook)", () => {
    const found = carbonateSystem({ pH: 7.6, alkalinity: asCaCO3(3.2) });
    const { hydrogencarbonate, carbonate, inorganicCarbon, alkalinity } = found;
    expect(convert(hydrogencarbonate.value, "mg/L", "meq/L", "hydrogencarbonate")).toBeCloseTo(3.188, 3);
    expect(convert(carbonate.value, "mg/L", "meq/L", "carbonate")).toBeCloseTo(0.012, 3);
    expect(inorganicCarbon.value).toBeCloseTo(3.37, 2);
    expect(alkalinity.value).toBeCloseTo(3.2, 10);
  });

  it("leads from carbon back to the alkalinity it came from, at any temperature and ionic strength", () => {
    for (const pH of [5, 7, 8.3, 10]) {
      for (const [temperature, ionicStrength] of [
        [25, 0],
        [5, 0.01],
        [40, 0.1],
      ]) {
        const there = carbonateSystem({ pH, alkalinity: 120, temperature, ionicStrength });
        const inorganicCarbon = there.inorganicCarbon;
        const back = carbonateSystem({ pH, inorganicCarbon, temperature, ionicStrength });
        expect(back.alkalinityAsCaCO3.value).toBeCloseTo(120, 9);
      }
    }
  });

  it("water in equilibrium with 420 µatm comes back as 420 µatm", () => {
    const carbon = (10 ** -1.46794 * 420e-6 * 1000) / (1 / (1 + 10 ** (8 - 6.352) + 10 ** (16 - 16.681)));
    const found = carbonateSystem({ pH: 8, inorganicCarbon: carbon });
    expect(found.carbonDioxidePressure.value / 420).toBeCloseTo(1, 4);
  });

  it("carries the uncertainty of pH and alkalinity: carbonate in proportion to the alkalinity and 10 to the pH", () => {
    const found = carbonateSystem({
      pH: measured(7, "1", { u: 0.05 }),
      alkalinity: measured(120, "mg/L as CaCO3", { u: 1.2 }),
    });
    const relative = found.carbonate.u / found.carbonate.value;
    expect(relative).toBeCloseTo(Math.hypot(0.01, 0.05 * Math.LN10), 3);
  });

  it.each([
    [() => carbonateSystem({ pH: 7 }), /^bad-request/],
    [() => carbonateSystem({ pH: 7, alkalinity: 1, inorganicCarbon: 1 }), /^bad-request/],
    [() => carbonateSystem({ pH: Number.NaN, alkalinity: 1 }), /^bad-pH/],
    [() => carbonateSystem({ pH: 7, alkalinity: "2" as unknown as number }), /^not-a-number: .*alkalinity/],
    [() => carbonateSystem({ pH: 11, alkalinity: 1 }), /^negative-carbonate/],
    [() => carbonateSystem({ pH: 7, alkalinity: 1, temperature: 80 }), /^outside-validity/],
    [() => carbonateSystem({ pH: 7, alkalinity: 1, ionicStrength: 0.7 }), /^outside-validity/],
    [() => carbonateSystem({ pH: 7, alkalinty: 1 } as never), /^unknown-option: .*alkalinity/],
  ])("misuse %# is refused", (run, message) => {
    expect(errorOf(run)).toMatch(message);
  });
});

/** pH along a titration of hydrogencarbonate by a proton balance of its own, nothing of the product in it. */
function titrated(
  alkalinity: number,
  carbon: number,
  sampleVolume: number,
  acid: number,
  volume: number,
): number {
  const [K1, K2, Kw] = [10 ** -6.352, 10 ** -10.329, 10 ** -13.995];
  const dilution = sampleVolume / (sampleVolume + volume);
  const added = (acid * volume) / (sampleVolume + volume);
  const excess = (h: number): number => {
    const base = (K1 * h + 2 * K1 * K2) / (h * h + K1 * h + K1 * K2);
    return carbon * dilution * base + Kw / h - h - (alkalinity * dilution - added);
  };
  let [low, high] = [-1, 13];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    // More alkaline than the balance allows: the true pH lies lower.
    if (excess(10 ** -middle) > 0) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

describe("Gran's plot", () => {
  const volumes = [1.7, 1.75, 1.8, 1.9, 2.0, 2.1, 2.2];
  const strong = volumes.map((volume) => ({
    volume,
    pH: -Math.log10((0.1 * (volume - 1.6)) / (50 + volume)),
  }));
  it("50 mL, 0.1 mol/L, 1.600 mL give 3.20 meq/L (BALANCE §4, computed for the handbook)", () => {
    const found = granAlkalinity(strong, { sampleVolume: 50, acid: 0.1 });
    expect(found.equivalenceVolume.value).toBeCloseTo(1.6, 9);
    expect(found.alkalinity.value).toBeCloseTo(3.2, 8);
    expect(found.alkalinityAsCaCO3.value).toBeCloseTo(asCaCO3(3.2), 6);
    expect(found.slopeRatio).toBeCloseTo(1, 9);
    expect(found.warnings).toEqual([]);
  });

  it("a hydrogencarbonate water titrated by its own proton balance comes back within 0.3 %, carbon dioxide kept", () => {
    const readings = [0, 0.4, 0.8, 1.2, 1.5, 1.55, ...volumes].map((volume) => ({
      volume,
      pH: titrated(3.2e-3, 3.37e-3, 50, 0.1, volume),
    }));
    const found = granAlkalinity(readings, { sampleVolume: 50, acid: 0.1 });
    expect(Math.abs(found.alkalinity.value / 3.2 - 1)).toBeLessThan(0.003);
    expect(found.points.filter(({ used }) => !used).length).toBeGreaterThanOrEqual(6);
  });

  it("its 95 % interval holds the truth in 92 to 98 % of 600 titrations with 0.01 in pH (seeds 1, 2, 3)", () => {
    let held = 0;
    for (const seed of [1, 2, 3]) {
      const random = createRandom(seed);
      for (let i = 0; i < 200; i++) {
        const noisy = strong.map(({ volume, pH }) => ({ volume, pH: pH + 0.01 * random.normal() }));
        const { low, high } = granAlkalinity(noisy, {
          sampleVolume: 50,
          acid: 0.1,
          window: [2.5, 4.5],
        }).equivalenceVolume.interval();
        if (low <= 1.6 && 1.6 <= high) held++;
      }
    }
    expect(held / 600).toBeGreaterThan(0.92);
    expect(held / 600).toBeLessThan(0.98);
  });

  it("the acid's and the sample's uncertainties add to that of the line", () => {
    const found = granAlkalinity(strong, {
      sampleVolume: measured(50, "mL", { u: 0.05 }, { source: "pipette" }),
      acid: measured(0.1, "mol/L", { u: 0.0005 }, { source: "acid" }),
    });
    expect(found.alkalinity.u / found.alkalinity.value).toBeCloseTo(Math.hypot(0.001, 0.005), 6);
  });

  it("a pH meter that reads 0.2 too high is told by the slope", () => {
    const shifted = strong.map(({ volume, pH }) => ({ volume, pH: pH + 0.2 }));
    const found = granAlkalinity(shifted, { sampleVolume: 50, acid: 0.1 });
    expect(found.alkalinity.value).toBeCloseTo(3.2, 6);
    expect(found.warnings[0]).toContain("pH meter");
  });

  it.each([
    [() => granAlkalinity([], { sampleVolume: 50, acid: 0.1 }), /^too-few-points: .*between pH 3 and 4/],
    [() => granAlkalinity(strong, { sampleVolume: 0, acid: 0.1 }), /^bad-volume/],
    [() => granAlkalinity(strong, { sampleVolume: 50, acid: "0.1" as unknown as number }), /^bad-acid/],
    [() => granAlkalinity(strong, { sampleVolume: 50, acid: 0.1, window: [4, 3] }), /^bad-window/],
    [() => granAlkalinity([{ volume: 1, pH: Number.NaN }], { sampleVolume: 50, acid: 0.1 }), /^bad-reading/],
    [() => granAlkalinity(5 as never, { sampleVolume: 50, acid: 0.1 }), /^bad-reading/],
    [() => granAlkalinity(strong, { sampleVolume: 50, acidity: 0.1 } as never), /^unknown-option/],
    [
      () =>
        granAlkalinity(
          [...strong].map(({ volume, pH }) => ({ volume: 4 - volume, pH })),
          {
            sampleVolume: 50,
            acid: 0.1,
          },
        ),
      /^no-line/,
    ],
  ])("misuse %# is refused", (run, message) => {
    expect(errorOf(run)).toMatch(message);
  });
});

describe("alkalinity by difference", () => {
  it("is the number that would close the balance, and as an input says that no balance test exists", () => {
    const { ...water } = EXAMPLE_WATER;
    const found = alkalinityByDifference(water, { pH: 7.6 });
    // BALANCE §2: 5.3285 meq/L of cations, 2.0470 of anions without the alkalinity.
    expect(convert(found.value, "mg/L as CaCO3", "meq/L", "hydrogencarbonate")).toBeCloseTo(3.281, 3);
    const closed = chargeBalance(water, { pH: 7.6, alkalinity: found });
    expect(closed.flags).toContain("no-balance-test");
    expect(Math.abs(closed.difference.value)).toBeLessThan(1e-9);
    expect(chargeBalance(water, { pH: 7.6, alkalinity: asCaCO3(3.2) }).flags).not.toContain(
      "no-balance-test",
    );
  });
  it("counts what other bases take up, so that the balance it is put into closes", () => {
    const water = { sodium: 60, chloride: 20, phosphate: 9, acetate: 12, ammonium: 2 };
    const found = alkalinityByDifference(water, { pH: 8.2 });
    const { flags, difference } = chargeBalance(water, { pH: 8.2, alkalinity: found });
    expect(Math.abs(difference.value)).toBeLessThan(1e-4);
    expect(flags).toContain("organic-acids-in-alkalinity");
  });
  it.each([
    [
      () => chargeBalance({ sodium: 23 }, { pH: 7, alkalinity: "by difference" as unknown as number }),
      /^no-balance-test: .*no balance test exists/,
    ],
    [() => alkalinityByDifference({ sodium: 23, hydrogencarbonate: 61 }), /^carbonate-given/],
    [() => alkalinityByDifference({ sodium: 23 }, { alkalinity: 5, pH: 7 }), /^carbonate-given/],
  ])("misuse %# is refused", (run, message) => {
    expect(errorOf(run)).toMatch(message);
  });
});
