// Invented injections: an overlapping pair whose retention drifts and whose amounts differ.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { fitInjections } from "../../toolkit/peaks/fitting/fit-injections.js";
import { fitPeaks } from "../../toolkit/peaks/fitting/fit-peaks.js";
import { emg } from "../../toolkit/peaks/shape/emg.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";

const SHIFTS = [0, 0.004, -0.006, 0.002];
const AREAS = [
  [0.5, 0.1],
  [0.4, 0.3],
  [0.6, 0.02],
  [0.2, 0.2],
] as const;
const PEAKS = [{ retentionTime: 5.03 }, { retentionTime: 5.27, sigma: 0.09 }];

function injections(noise: number) {
  const random = createRandom(1);
  return SHIFTS.map((shift, run) => {
    const time = Float64Array.from({ length: 900 }, (_, i) => 3.6 + i / 300);
    const signal = time.map(
      (t) =>
        0.5 +
        0.02 * run * t +
        AREAS[run][0] * emg(t, 5 * (1 + shift), 0.08, 0.04) +
        AREAS[run][1] * emg(t, 5.22 * (1 + shift), 0.09, 0.03) +
        noise * random.normal(),
    );
    return makeChromatogram({ id: `run ${run + 1}`, time, signal });
  });
}

describe("four injections of one overlapping pair", () => {
  it("without noise: areas to 1e-7, shifts, ratios and relative retention as put in", () => {
    const joint = fitInjections(injections(0), { peaks: PEAKS });
    expect(joint.converged).toBe(true);
    joint.fits.forEach((fit, run) => {
      fit.peaks.forEach(({ area }, k) => {
        expect(Math.abs(area.value / AREAS[run][k] - 1)).toBeLessThan(1e-7);
      });
      expect(Math.abs(fit.shift - SHIFTS[run])).toBeLessThan(1e-8);
      fit.signal.forEach((value, i) => {
        expect(fit.fitted[i] + fit.residuals[i]).toBeCloseTo(value, 12);
      });
    });
    expect(joint.shared.tauOverSigma[0]).toBeCloseTo(0.5, 6);
    expect(joint.shared.tauOverSigma[1]).toBeCloseTo(1 / 3, 6);
  });

  it("with noise the small peak's area is better known than from its own injection alone, and within 3 u", () => {
    const records = injections(0.002);
    const joint = fitInjections(records, { peaks: PEAKS });
    const alone = fitPeaks(records[2], {
      peaks: PEAKS.map((p) => ({ ...p, retentionTime: p.retentionTime * 0.994 })),
    });
    const small = joint.fits[2].peaks[1].area;
    expect(small.u).toBeLessThan(0.5 * alone.peaks[1].area.u);
    joint.fits.forEach((fit, run) => {
      fit.peaks.forEach(({ area }, k) => {
        expect(Math.abs(area.value - AREAS[run][k])).toBeLessThan(3 * area.u);
      });
    });
    expect(Math.abs(joint.residualStandardDeviation / 0.002 - 1)).toBeLessThan(0.05);
    expect(joint.covariance[5][5]).toBeCloseTo(small.u ** 2, 12);
  });

  it("one injection is refused", () => {
    expect(() => fitInjections(injections(0).slice(0, 1))).toThrow(
      expect.objectContaining({ code: "too-few-injections" }),
    );
  });
});
