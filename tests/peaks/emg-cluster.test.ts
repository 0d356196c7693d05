// Invented windows: exact exponentially modified Gaussians, with seeded noise where stated.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import {
  type ClusterOptions,
  fitEmgCluster,
  type PeakStart,
} from "../../toolkit/peaks/fitting/emg-cluster.js";
import { emg } from "../../toolkit/peaks/shape/emg.js";

const time = Float64Array.from({ length: 400 }, (_, i) => i);
type Truth = PeakStart & { readonly area: number };
const curve = (peaks: readonly Truth[]) =>
  time.map((t) => peaks.reduce((sum, p) => sum + p.area * emg(t, p.mu, p.sigma, p.tau), 0));
const shape = { sigma: 15, tau: 7 };
const pair = (gap: number, ratio: number): readonly Truth[] => [
  { mu: 150, ...shape, area: 1000 },
  { mu: 150 + gap * 15, ...shape, area: 1000 / ratio },
];
/** Starts off by a third of a σ, 8 % in width and 30 % in tail. */
const off = (peaks: readonly Truth[]): PeakStart[] =>
  peaks.map((p, k) => ({ mu: p.mu + (k ? -5 : 4), sigma: 1.08 * p.sigma, tau: 0.7 * p.tau }));

describe("noise-free pairs", () => {
  it.each([
    [3, 1],
    [4, 5],
    [5, 20],
    [6, 1000],
  ])("%d σ apart, 1 : %d: areas to 1e-8, places and shape to 1e-6", (gap, ratio) => {
    const truth = pair(gap, ratio);
    const fit = fitEmgCluster(time, curve(truth), off(truth), { maxIterations: 200 });
    expect(fit.converged).toBe(true);
    fit.peaks.forEach((peak, k) => {
      expect(Math.abs(peak.area / truth[k].area - 1)).toBeLessThan(1e-8);
      expect(Math.abs(peak.mu - truth[k].mu)).toBeLessThan(1e-6 * 15);
      expect(Math.abs(peak.sigma / 15 - 1)).toBeLessThan(1e-6);
      expect(Math.abs(peak.tau / 7 - 1)).toBeLessThan(1e-6);
    });
  });

  it("each with a shape of its own, on a straight background", () => {
    const truth = [
      { mu: 140, sigma: 12, tau: 4, area: 500 },
      { mu: 210, sigma: 17, tau: 9, area: 100 },
    ];
    const y = curve(truth).map((value, i) => value + 3 - 0.004 * i);
    const fit = fitEmgCluster(time, y, off(truth), {
      sharedShape: false,
      backgroundDegree: 1,
      maxIterations: 300,
    });
    for (const [k, { area }] of fit.peaks.entries())
      expect(Math.abs(area / truth[k].area - 1)).toBeLessThan(1e-6);
    expect(fit.background[0]).toBeCloseTo(3 - 0.004 * 199.5, 6);
    expect(fit.background[1]).toBeCloseTo(-0.004 * 199.5, 6);
  });

  it("components add up to the signal", () => {
    const truth = pair(4, 5);
    const y = curve(truth);
    const fit = fitEmgCluster(time, y, off(truth), { maxIterations: 200 });
    const [a, b] = [fit.component(0), fit.component(1)];
    for (let i = 0; i < y.length; i++) expect(Math.abs(a[i] + b[i] - y[i])).toBeLessThan(1e-7);
  });
});

describe("constraints", () => {
  it("an area that would be negative is 0, unless its sign is free", () => {
    const dip = curve([...pair(6, 1).slice(0, 1), { ...pair(6, 1)[1], area: -50 }]);
    const options: ClusterOptions = { fixedShape: true };
    const fit = fitEmgCluster(time, dip, pair(6, 1), options);
    expect(fit.peaks[1].area).toBe(0);
    const free = fitEmgCluster(time, dip, pair(6, 1), { ...options, signed: [false, true] });
    expect(Math.abs(free.peaks[1].area / -50 - 1)).toBeLessThan(1e-8);
  });

  it("priors hold: with noise as large as the peak the parameters stay at their starts, without they leave", () => {
    const random = createRandom(1);
    const start = [{ mu: 200, sigma: 15, tau: 7 }];
    const y = curve([{ mu: 206, sigma: 15, tau: 7, area: 50 }]).map((value) => value + 3 * random.normal());
    const held = fitEmgCluster(time, y, start, {
      priors: { mu: 0.05, lnSigma: 0.02, lnTau: 0.05 },
      noise: 3,
    });
    expect(Math.abs(held.peaks[0].mu - 200)).toBeLessThan(0.1 * 15);
    expect(Math.abs(Math.log(held.peaks[0].sigma / 15))).toBeLessThan(0.04);
    const free = fitEmgCluster(time, y, start);
    expect(Math.abs(free.peaks[0].mu - 200)).toBeGreaterThan(0.1 * 15);
  });

  it("strong data overrule priors: the place is found to 1 % of σ", () => {
    const y = curve([{ mu: 206, ...shape, area: 1e5 }]);
    const fit = fitEmgCluster(time, y, [{ mu: 200, ...shape }], {
      priors: { mu: 0.5, lnSigma: 0.08, lnTau: 0.3 },
      noise: 1,
    });
    expect(Math.abs(fit.peaks[0].mu - 206)).toBeLessThan(0.15);
  });

  it("a held peak stays in place to 1e-4 σ while its neighbour moves", () => {
    const truth = pair(4, 5);
    const fit = fitEmgCluster(time, curve(truth), off(truth), {
      priors: { mu: 0.5, lnSigma: 0.08, lnTau: 0.3 },
      held: [false, true],
    });
    expect(Math.abs(fit.peaks[1].mu - off(truth)[1].mu)).toBeLessThan(1e-4 * 15);
    expect(Math.abs(fit.peaks[0].mu - off(truth)[0].mu)).toBeGreaterThan(0.5);
  });

  it("two starts at one place do not break the fit: the areas add up", () => {
    const truth = pair(4, 5).slice(0, 1);
    const fit = fitEmgCluster(time, curve(truth), [truth[0], truth[0]], { fixedShape: true });
    expect(Math.abs((fit.peaks[0].area + fit.peaks[1].area) / 1000 - 1)).toBeLessThan(1e-6);
  });
});

describe("what a reading does to an area", () => {
  it.each([
    ["areas alone", { fixedShape: true }],
    ["shared shape", {}],
    ["own shapes, straight background", { sharedShape: false, backgroundDegree: 1 }],
  ] as const)(
    "%s: the weights are the numerical derivative of the area, to 1e-5 of the largest",
    (_, options) => {
      const truth = pair(4, 2);
      const y = curve(truth);
      const areaAt = (signal: Float64Array) =>
        fitEmgCluster(time, signal, truth, { ...options, maxIterations: 200 }).peaks[1].area;
      const weights = fitEmgCluster(time, y, truth, { ...options, maxIterations: 200 }).areaWeights(1);
      const largest = Math.max(...weights.map(Math.abs));
      for (let i = 100; i < 300; i += 9) {
        const [up, down] = [1, -1].map((sign) =>
          areaAt(y.map((value, j) => (j === i ? value + sign * 1e-3 : value))),
        );
        expect(Math.abs((up - down) / 2e-3 - weights[i])).toBeLessThan(1e-5 * largest);
      }
    },
  );

  it("the unit covariance is that of the weights: Σh² to 1e-9", () => {
    const truth = pair(4, 2);
    const fit = fitEmgCluster(time, curve(truth), truth, { maxIterations: 200 });
    const squares = fit.areaWeights(0).reduce((sum, h) => sum + h * h, 0);
    expect(Math.abs(squares / fit.unitCovariance[0] - 1)).toBeLessThan(1e-9);
  });
});
