// Invented records: exact exponentially modified Gaussians, with seeded white noise where stated.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { fitPeaks } from "../../toolkit/peaks/fitting/fit-peaks.js";
import { emg } from "../../toolkit/peaks/shape/emg.js";
import { timeAxis } from "../../toolkit/peaks/shape/peak-kernel.js";
import { type FittedShapeName, kernelOf } from "../../toolkit/peaks/shape/shape-kernels.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { correlation, plus } from "../../toolkit/uncertainty/measured.js";

interface Peak {
  readonly area: number;
  readonly mu: number;
  readonly sigma: number;
  readonly tau: number;
}

const PAIR: readonly Peak[] = [
  { area: 0.5, mu: 5, sigma: 0.08, tau: 0.04 },
  { area: 0.1, mu: 5.35, sigma: 0.09, tau: 0.05 },
];
const STARTS = [{ retentionTime: 5.02 }, { retentionTime: 5.38 }];

function record(peaks: readonly Peak[], noise = 0, seed = 1, background = (t: number) => 0.7 + 0.01 * t) {
  const random = createRandom(seed);
  const time = Float64Array.from({ length: 1200 }, (_, i) => 3 + i / 300);
  const signal = time.map(
    (t) =>
      background(t) +
      peaks.reduce((sum, p) => sum + p.area * emg(t, p.mu, p.sigma, p.tau), noise * random.normal()),
  );
  return makeChromatogram({ id: `record ${seed}`, time, signal });
}

describe("a noise-free overlapping pair on a slanting line", () => {
  const fit = fitPeaks(record(PAIR), { peaks: STARTS });

  it("gives both areas, centres, σ and τ back to 1e-6", () => {
    expect(fit.converged).toBe(true);
    fit.peaks.forEach((peak, k) => {
      expect(Math.abs(peak.area.value / PAIR[k].area - 1)).toBeLessThan(1e-6);
      expect(Math.abs(peak.mu / PAIR[k].mu - 1)).toBeLessThan(1e-6);
      expect(Math.abs(peak.sigma / PAIR[k].sigma - 1)).toBeLessThan(1e-6);
      expect(Math.abs(peak.tau / PAIR[k].tau - 1)).toBeLessThan(1e-6);
    });
  });

  it("gives the background's level in the middle and its slope per min", () => {
    expect(fit.background[0]).toBeCloseTo(0.7 + 0.01 * 0.5 * (fit.from + fit.to), 6);
    expect(fit.background[1]).toBeCloseTo(0.01, 6);
  });

  it("the area carries the signal's unit times min, and the limits hold 99.9 % of a peak", () => {
    expect(fit.peaks[0].area.unit).toBe("µS/cm·min");
    const { start, end, mu, sigma, tau } = fit.peaks[0];
    let inside = 0;
    for (let t = start; t < end; t += 1e-4) inside += 1e-4 * emg(t, mu, sigma, tau);
    expect(inside).toBeGreaterThan(0.999);
  });

  it("does not depend on the order of the starts", () => {
    const other = fitPeaks(record(PAIR), { peaks: [...STARTS].reverse() });
    expect(other.peaks[0].area.value).toBe(fit.peaks[0].area.value);
  });

  it("starts without being told where when the peaks have a valley", () => {
    const apart = [PAIR[0], { ...PAIR[1], mu: 5.6 }];
    const found = fitPeaks(record(apart, 1e-4), { from: 3.2, to: 6.9 });
    expect(found.peaks.length).toBe(2);
    expect(Math.abs(found.peaks[1].area.value / 0.1 - 1)).toBeLessThan(0.01);
  });
});

describe("shapes", () => {
  it("a shared shape is one σ and one τ", () => {
    const alike = PAIR.map((p) => ({ ...p, sigma: 0.08, tau: 0.05 }));
    const { peaks, parameters } = fitPeaks(record(alike), { peaks: STARTS, sharedShape: true });
    expect(peaks[0].sigma).toBe(peaks[1].sigma);
    expect(Math.abs(peaks[1].area.value / 0.1 - 1)).toBeLessThan(1e-6);
    expect(parameters).toEqual(["area 1", "area 2", "background", "slope", "mu 1", "mu 2", "sigma", "tau"]);
  });

  it("a front is fitted with a negative τ", () => {
    const front = [{ area: 0.5, mu: 5, sigma: 0.08, tau: -0.06 }];
    const { peaks } = fitPeaks(record(front), { peaks: [{ retentionTime: 4.95, tau: -0.03 }] });
    expect(Math.abs(peaks[0].tau / -0.06 - 1)).toBeLessThan(1e-6);
    expect(Math.abs(peaks[0].area.value / 0.5 - 1)).toBeLessThan(1e-6);
    expect(peaks[0].retentionTime - peaks[0].start).toBeGreaterThan(peaks[0].end - peaks[0].retentionTime);
  });

  it("a front that nobody stated is found", () => {
    const front = [{ area: 0.5, mu: 5, sigma: 0.08, tau: -0.06 }];
    const { peaks } = fitPeaks(record(front), { peaks: [{ retentionTime: 4.95 }] });
    expect(Math.abs(peaks[0].tau / -0.06 - 1)).toBeLessThan(1e-6);
    expect(Math.abs(peaks[0].area.value / 0.5 - 1)).toBeLessThan(1e-6);
  });

  it("an exact Gaussian is an exponentially modified one without a tail: area to 1e-8, and the fit ends", () => {
    const fit = fitPeaks(record([{ area: 0.5, mu: 5, sigma: 0.08, tau: 0 }]), {
      peaks: [{ retentionTime: 4.97 }],
    });
    expect(fit.converged).toBe(true);
    expect(Math.abs(fit.peaks[0].area.value / 0.5 - 1)).toBeLessThan(1e-8);
    expect(Math.abs(fit.peaks[0].tau)).toBeLessThan(0.01 * 0.08);
  });

  it("a start beside its peak that is left without area is not called converged, and says which", () => {
    const fit = fitPeaks(record([PAIR[0]]), { peaks: [{ retentionTime: 5.3, sigma: 0.03 }] });
    expect(fit.converged).toBe(false);
    expect(fit.reason).toContain("peak 1");
  });

  it("a Gaussian fit of a tailing peak leaves more behind than the tail's own fit by three decades", () => {
    const one = [{ area: 0.5, mu: 5, sigma: 0.08, tau: 0.08 }];
    const options = { peaks: [{ retentionTime: 5.05 }] };
    const gaussian = fitPeaks(record(one), { ...options, shape: "gaussian" });
    const tailed = fitPeaks(record(one), options);
    expect(gaussian.residualStandardDeviation).toBeGreaterThan(1e3 * tailed.residualStandardDeviation);
    expect(gaussian.peaks[0].tau).toBe(0);
  });
});

describe("other shapes", () => {
  const sampled = (shape: FittedShapeName, parameters: readonly number[], area: number, noise = 0) => {
    const kernel = kernelOf(shape);
    const random = createRandom(1);
    const time = Float64Array.from({ length: 1200 }, (_, i) => 3 + i / 300);
    const columns = Array.from({ length: 3 + kernel.further.length }, () => new Float64Array(1200));
    kernel.write(timeAxis(time), Float64Array.from(parameters), columns, new Int32Array(2));
    const signal = columns[0].map((value) => 0.7 + area * value + noise * random.normal());
    return makeChromatogram({ id: shape, time, signal });
  };

  it.each([
    ["hvl", [5, 0.08, 0.03, 2]],
    ["hvl", [5, 0.08, 0.05, -1.5]],
    ["skew-normal", [5, 0.1, 2.5]],
    ["skew-normal", [5, 0.1, -2.5]],
  ] as const)("a noise-free %s with %j gives area and parameters back to 1e-5", (shape, parameters) => {
    const record = sampled(shape, parameters, 0.5);
    const apex = record.time[record.signal.indexOf(Math.max(...record.signal))];
    const fit = fitPeaks(record, { shape, peaks: [{ retentionTime: apex + 0.01 }] });
    const [peak] = fit.peaks;
    expect(fit.converged).toBe(true);
    expect(Math.abs(peak.area.value / 0.5 - 1)).toBeLessThan(1e-5);
    expect(Math.abs(peak.mu - 5)).toBeLessThan(1e-5);
    expect(Math.abs(peak.sigma / parameters[1] - 1)).toBeLessThan(1e-5);
    const found = shape === "hvl" ? [peak.tau, peak.q] : [peak.alpha];
    found.forEach((value, k) => {
      expect(Math.abs((value ?? 0) / (parameters[2 + k] ?? 1) - 1)).toBeLessThan(1e-4);
    });
    expect(Math.abs(peak.retentionTime - apex)).toBeLessThan(0.002);
    expect(Math.abs(peak.height / (Math.max(...record.signal) - 0.7) - 1)).toBeLessThan(1e-3);
  });

  it("an overloaded peak fitted as an exponentially modified Gaussian is refused in words, and its own shape is not", () => {
    const record = sampled("hvl", [5, 0.08, 0.02, 6], 0.5, 0.002);
    const peaks = [{ retentionTime: 4.88 }];
    const [warning] = fitPeaks(record, { peaks }).diagnostics.warnings;
    expect(warning).toContain("exponentially modified Gaussian does not describe this peak");
    expect(fitPeaks(record, { peaks, shape: "hvl" }).diagnostics.warnings).toEqual([]);
  });
});

describe("curves and diagnostics", () => {
  const fit = fitPeaks(record(PAIR, 0.002), { peaks: STARTS, blankStandardDeviation: 0.002 });

  it("fit and residuals add up to the signal, components and background to the fit", () => {
    fit.signal.forEach((value, i) => {
      expect(fit.fitted[i] + fit.residuals[i]).toBeCloseTo(value, 12);
      const parts = fit.components.reduce((sum, each) => sum + each[i], fit.backgroundCurve[i]);
      expect(parts).toBeCloseTo(fit.fitted[i], 12);
    });
    expect(fit.residuals.reduce((sum, r) => sum + r * r, 0)).toBeCloseTo(fit.residualSumOfSquares, 12);
  });

  it("white noise is called white: χ² about 1, Durbin–Watson about 2, all readings count, no warning", () => {
    const { reducedChiSquared, durbinWatson, effectiveFraction, warnings } = fit.diagnostics;
    expect(Math.abs((reducedChiSquared ?? 0) - 1)).toBeLessThan(0.2);
    expect(Math.abs(durbinWatson - 2)).toBeLessThan(0.2);
    expect(effectiveFraction).toBeGreaterThan(0.8);
    expect(warnings).toEqual([]);
  });

  it("the largest residual is told with its sign, and its share of the height of the peak it stands under", () => {
    const { largestResidual, largestResidualShare } = fit.diagnostics;
    const at = fit.residuals.indexOf(largestResidual);
    expect(Math.abs(largestResidual)).toBe(Math.max(...fit.residuals.map(Math.abs)));
    const under = fit.components[0][at] > fit.components[1][at] ? 0 : 1;
    const height = fit.peaks[under].height;
    expect(largestResidualShare).toBeCloseTo(Math.abs(largestResidual) / height, 3);
  });

  it("where no peak keeps a height no share of a height is told, and the warning says that the peak is lost", () => {
    const hole = record([{ area: -0.5, mu: 5, sigma: 0.08, tau: 0.04 }], 0.001);
    const { peaks, diagnostics } = fitPeaks(hole, { peaks: [{ retentionTime: 5.02 }] });
    expect(peaks[0].area.value).toBe(0);
    expect(diagnostics.largestResidual).toBeLessThan(-0.1);
    expect(diagnostics.largestResidualShare).toBeUndefined();
    expect(diagnostics.warnings.join()).toMatch(/no area is left for peak 1/);
    expect(diagnostics.warnings.join()).not.toMatch(/Infinity|NaN/);
  });

  it("planned shapes hold where the record says little", () => {
    const small = record([{ area: 0.002, mu: 5, sigma: 0.08, tau: 0.04 }], 0.002);
    const peaks = [{ retentionTime: 5.03, sigma: 0.08, tau: 0.04 }];
    const [peak] = fitPeaks(small, { peaks, planned: true }).peaks;
    expect(Math.abs(Math.log(peak.sigma / 0.08))).toBeLessThan(0.16);
    expect(Math.abs(Math.log(peak.tau / 0.04))).toBeLessThan(0.6);
  });

  it("a centre that wants to leave its start by more than a σ is stopped, and the fit says so", () => {
    const away = fitPeaks(record([PAIR[0]]), { peaks: [{ retentionTime: 5.25, sigma: 0.08, tau: 0.04 }] });
    expect(Math.abs(away.peaks[0].mu - 5.25)).toBeLessThan(0.12);
    expect(away.diagnostics.warnings.some((warning) => warning.includes("bound"))).toBe(true);
  });
});

describe("uncertainties, white noise of 2 nS/cm in seeded records", () => {
  const NOISE = 0.002;

  it("areas scatter as their u says: within 15 % over 200 records (s.d. of a s.d.: 5 %)", () => {
    const alike = PAIR.map((p) => ({ ...p, sigma: 0.08, tau: 0.05 }));
    const same = Array.from({ length: 200 }, (_, k) =>
      fitPeaks(record(alike, NOISE, k + 1), { peaks: STARTS, sharedShape: true }),
    );
    for (const which of [0, 1]) {
      const errors = same.map((f) => f.peaks[which].area.value - alike[which].area);
      const scatter = Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length);
      const stated = Math.sqrt(same.reduce((sum, f) => sum + f.peaks[which].area.u ** 2, 0) / same.length);
      expect(Math.abs(scatter / stated - 1)).toBeLessThan(0.15);
    }
  });

  it("the residual standard deviation is the noise put in, within 2 % on average", () => {
    const own = Array.from({ length: 50 }, (_, k) => fitPeaks(record(PAIR, NOISE, k + 1), { peaks: STARTS }));
    const average = own.reduce((sum, f) => sum + f.residualStandardDeviation, 0) / own.length;
    expect(Math.abs(average / NOISE - 1)).toBeLessThan(0.02);
  });

  it("areas of one fit keep their correlation in later arithmetic, and their u are the covariance's", () => {
    const { peaks, covariance, dof } = fitPeaks(record(PAIR, NOISE), { peaks: STARTS });
    const [a, b] = peaks.map((p) => p.area);
    expect(a.u).toBeCloseTo(Math.sqrt(covariance[0][0]), 12);
    expect(correlation(a, b)).toBeCloseTo(covariance[0][1] / (a.u * b.u), 9);
    expect(plus(a, b).u ** 2).toBeCloseTo(covariance[0][0] + covariance[1][1] + 2 * covariance[0][1], 12);
    expect(a.dof).toBe(dof);
  });
});

describe("misuse is refused with a code", () => {
  const chromatogram = record(PAIR);
  it.each([
    ["bad-option", { peaks: STARTS, shape: "square" as "emg" }],
    ["start-only-shape", { peaks: STARTS, shape: "bi-gaussian" as const }],
    ["bad-option", { peaks: STARTS, background: "wavy" as "linear" }],
    ["no-peaks", { peaks: [] }],
    ["bad-start", { peaks: [{ retentionTime: 99 }] }],
    ["bad-start", { peaks: [{ retentionTime: 5, sigma: -1 }] }],
    ["bad-start", { peaks: STARTS, from: 5.1 }],
    [
      "short-stretch",
      { peaks: STARTS, from: 5.01, to: 5.39, background: "none" as const, sharedShape: false },
    ],
  ])("%s", (code, options) => {
    const sparse = makeChromatogram({
      id: "sparse",
      time: chromatogram.time.filter((_, i) => i % 30 === 0),
      signal: chromatogram.signal.filter((_, i) => i % 30 === 0),
    });
    expect(() => fitPeaks(code === "short-stretch" ? sparse : chromatogram, options)).toThrow(
      expect.objectContaining({ code }),
    );
  });
});
