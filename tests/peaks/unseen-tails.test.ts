// Invented records: one exact peak with seeded white noise.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { fitPeaks } from "../../toolkit/peaks/fitting/fit-peaks.js";
import { emg } from "../../toolkit/peaks/shape/emg.js";
import { strongCorrelations } from "../../toolkit/show/view/correlation-table.js";
import { diagnosticWords } from "../../toolkit/show/view/fit-words.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";

const SIGMA = 0.05;

function fitted(tau: number, seed: number) {
  const random = createRandom(seed);
  const time = Float64Array.from({ length: 1200 }, (_, i) => i / 600);
  const signal = time.map((t) => emg(t, 1, SIGMA, tau) + 0.003 * random.normal());
  const record = makeChromatogram({ id: `record ${seed}`, time, signal });
  return fitPeaks(record, { peaks: [{ retentionTime: 1 + 0.6 * tau }] });
}

describe("a peak without a tail, fitted with one", () => {
  it.each([1, 2, 3])(
    "seed %i: is said to be a Gaussian in the limit, and σ with τ is not counted as untold",
    (seed) => {
      const fit = fitted(0, seed);
      expect(fit.unseenTails.map(({ peak }) => peak)).toEqual([1]);
      expect(fit.unseenTails[0].below).toBeLessThan(0.15 * SIGMA);
      expect(diagnosticWords(fit).join(" ")).toContain("a Gaussian in the limit");
      expect(strongCorrelations(fit)).toContain("σ₁ with τ₁");
      expect(strongCorrelations(fit, fit.unseenTails)).not.toContain("τ₁");
    },
  );

  it.each([1, 2, 3])("seed %i: a tail or front of 0.2 σ is seen", (seed) => {
    expect(fitted(0.2 * SIGMA, seed).unseenTails).toEqual([]);
    expect(fitted(-0.2 * SIGMA, seed).unseenTails).toEqual([]);
  });
});
