import { describe, expect, it } from "vitest";
import { hydrogenOverCarbonicAcid } from "../../toolkit/water/conductivity/carbonic-acid.js";
import { weakAcidFactor } from "../../toolkit/water/conductivity/effective-conductivity.js";
import { strongAcidOfHeight, strongAcidPeak } from "../../toolkit/water/conductivity/strong-acid-peak.js";
import {
  carbonicAcidOfBackground,
  suppressedSignal,
} from "../../toolkit/water/conductivity/suppressed-signal.js";
import { errorOf, referenceCase, titleOf } from "./reference-cases.js";

const TOTALS = [1, 5, 5900];

describe("total carbonic acid behind the suppressor", () => {
  it.each(TOTALS)("a background of %d µmol/L inverts to itself", (total) => {
    const { background } = suppressedSignal("chloride", total);
    expect(Math.abs(carbonicAcidOfBackground(background) / total - 1)).toBeLessThan(1e-9);
  });

  it("so does any other, from 0.01 µmol/L to 10 mmol/L", () => {
    const totals = Array.from({ length: 601 }, (_, i) => 10 ** (-2 + i / 100));
    for (const total of totals) {
      const { background } = suppressedSignal("chloride", total);
      expect(Math.abs(carbonicAcidOfBackground(background) / total - 1), `${total}`).toBeLessThan(1e-6);
    }
  });
  it("more background is more carbonic acid", () => {
    let before = 0;
    for (let background = 0.06; background < 30; background *= 1.003) {
      const found = carbonicAcidOfBackground(background);
      expect(found, `${background} µS/cm`).toBeGreaterThan(before);
      before = found;
    }
  });

  // Handbook, conductivity §3 [computed there].
  it("the undissociated part alone would be 53 % of it at 1 µmol/L, 74 % at 5, 99 % at 5.9 mmol/L", () => {
    const shares = TOTALS.map((total) => {
      const h = 1e-6 * hydrogenOverCarbonicAcid(0, total);
      return (h * h - 1e-14) / 10 ** -6.352 / (1e-6 * total);
    });
    expect(shares.map((share) => Math.round(100 * share))).toEqual([53, 74, 99]);
  });

  it.each([
    [1, 0.3],
    [5, 0.15],
    [59, 0.04],
    [3500, 0.006],
  ])("at %d µmol/L taking it all for undissociated makes h too high by the part %d", (total, part) => {
    const c = 1e-7;
    const taken = 0.5 * (c + Math.sqrt(c * c + 4 * 10 ** -6.352 * 1e-6 * total + 4e-14));
    expect(Math.abs((1e6 * taken) / hydrogenOverCarbonicAcid(0.1, total) - 1 - part)).toBeLessThan(0.01);
  });

  const suppressed = referenceCase<
    { total_carbonate_mM: number },
    { pH: number; conductivity_uS_cm: number }
  >("suppressed_carbonate_background_3p5");
  it(titleOf(suppressed), () => {
    const { inputs, expected, tolerance } = suppressed;
    const h = hydrogenOverCarbonicAcid(0, 1000 * inputs.total_carbonate_mM);
    expect(Math.abs(-Math.log10(1e-6 * h) / expected.pH - 1)).toBeLessThanOrEqual(tolerance.rel as number);
    // The published form neglects the second step, which brings 1.3 in a million.
    const { background } = suppressedSignal("chloride", 1000 * inputs.total_carbonate_mM);
    expect(Math.abs(background / expected.conductivity_uS_cm - 1)).toBeLessThan(2e-6);
  });

  it("the cubic's root agrees with the full equilibrium for a strong acid on it", () => {
    for (const total of [0, ...TOTALS]) {
      for (const top of [0.1, 1, 10, 100, 1000]) {
        const { height } = strongAcidPeak(top, 76.31, total);
        expect(Math.abs(height / suppressedSignal("chloride", total).above(top) - 1)).toBeLessThan(1e-4);
        expect(strongAcidOfHeight(height, 76.31, total)).toBeCloseTo(top, 9);
      }
    }
  });

  // Handbook, conductivity §3: 0.1 µmol/L over a carbonate eluent responds with (λ_H/2 + λ − λ(HCO3)/2)/(λ_H + λ).
  it("in the carbonate limit the slope falls to 54 % for chloride", () => {
    const limit = (0.5 * 349.65 + 76.31 - 0.5 * 44.5) / (349.65 + 76.31);
    expect(strongAcidPeak(0.1, 76.31, 5900).slope).toBeCloseTo(limit, 2);
    expect(limit).toBeCloseTo(0.54, 2);
  });

  it("pushes a weak acid back: its factor grows with it", () => {
    expect(weakAcidFactor(1, 4.76, 5)).toBeGreaterThan(weakAcidFactor(1, 4.76));
    const h = hydrogenOverCarbonicAcid(1, 5);
    expect(weakAcidFactor(1, 4.76, 5)).toBeCloseTo(1 + (1e-6 * h) / 10 ** -4.76, 12);
  });

  it.each([
    [() => hydrogenOverCarbonicAcid(-1, 0), /^bad-concentration/],
    [() => hydrogenOverCarbonicAcid(1, Number.NaN), /^bad-concentration/],
    [() => hydrogenOverCarbonicAcid("1" as never, 0), /^bad-concentration: .*text "1"/],
    [() => weakAcidFactor(1, Number.NaN), /^bad-pKa/],
    [() => weakAcidFactor(1, 5, -2), /^bad-concentration/],
  ])("%#", (run, message) => {
    expect(errorOf(run)).toMatch(message);
  });
});
