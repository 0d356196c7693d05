// Published peak measures: tests/reference/t08_peak_measures.json; source and provenance of each case in its title.
import { describe, expect, it } from "vitest";
import { peakFigures, peakResolution } from "../../toolkit/peaks/figures/peak-figures.js";
import { fitPeaks } from "../../toolkit/peaks/fitting/fit-peaks.js";
import { areaBetween } from "../../toolkit/peaks/integration/area-between.js";
import { emg } from "../../toolkit/peaks/shape/emg.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { allowance, originOf, publishedCase } from "../numeric/reference.js";

const FILE = "t08_peak_measures.json";
const of = (id: string) => {
  const published = publishedCase(FILE, id);
  return {
    published,
    title: originOf(published),
    inputs: published.inputs as Readonly<Record<string, number>>,
    expected: published.expected as Readonly<Record<string, number>>,
    check(key: string, value: number) {
      const wanted = published.expected[key] as number;
      expect(Math.abs(value - wanted), `${key}: ${value}`).toBeLessThanOrEqual(
        allowance(published, key, wanted),
      );
    },
  };
};

/** A sampled exponentially modified Gaussian. */
function trace(
  mu: number,
  sigma: number,
  tau: number,
  area: number,
  interval: number,
  from: number,
  to: number,
) {
  const time = Float64Array.from(
    { length: Math.round((to - from) / interval) + 1 },
    (_, i) => from + i * interval,
  );
  return { time, signal: time.map((t) => area * emg(t, mu, sigma, tau)) };
}

describe("a Gaussian", () => {
  const gaussian = of("gaussian_widths_a");
  const { sigma, t_R, area } = gaussian.inputs;

  it(`has the closed-form widths and plates when fitted (${gaussian.title})`, () => {
    const figures = peakFigures({ retentionTime: t_R, sigma, tau: 0 });
    gaussian.check("W_half", figures.widthAtHalfHeight);
    gaussian.check("W_10pct", figures.widthAtTenthHeight);
    gaussian.check("N_half", figures.plateNumber);
    gaussian.check("N_moment", figures.plateNumberMoments);
    expect(figures.asymmetry).toBeCloseTo(1, 8);
    expect(figures.tailing).toBeCloseTo(1, 8);
  });

  it("has them within 0.01 % when recorded with fifteen samples per σ, and the area to 1e-12", () => {
    const figures = peakFigures(trace(t_R, sigma, 0, area, 1 / 300, 3.4, 4.6));
    expect(Math.abs(figures.plateNumber / gaussian.expected.N_half - 1)).toBeLessThan(1e-4);
    expect(Math.abs(figures.widthAtTenthHeight / gaussian.expected.W_10pct - 1)).toBeLessThan(1e-4);
    expect(Math.abs(figures.moments.area / area - 1)).toBeLessThan(1e-12);
    expect(Math.abs(figures.plateNumberMoments / gaussian.expected.N_moment - 1)).toBeLessThan(1e-9);
  });

  it("is recovered by a Gaussian fit: area, height and σ to 1e-8", () => {
    const chromatogram = makeChromatogram({ id: "gaussian", ...trace(t_R, sigma, 0, area, 1 / 300, 3, 5) });
    const [peak] = fitPeaks(chromatogram, {
      shape: "gaussian",
      peaks: [{ retentionTime: 3.98 }],
      background: "none",
    }).peaks;
    gaussian.check("area", peak.area.value);
    gaussian.check("height", peak.height);
    expect(Math.abs(peak.sigma / sigma - 1)).toBeLessThan(1e-8);
    expect(peak.tau).toBe(0);
  });
});

describe.each(["emg_tau_half", "emg_tau_one", "emg_tau_three"])("%s", (id) => {
  const published = of(id);
  const { area, mu, sigma, tau } = published.inputs;
  const window = [mu - 8 * sigma, mu + 8 * sigma + 30 * tau] as const;

  it(`a fit of the noise-free record and its figures hit the closed form (${published.title})`, () => {
    const chromatogram = makeChromatogram({ id, ...trace(mu, sigma, tau, area, sigma / 20, ...window) });
    const [peak] = fitPeaks(chromatogram, {
      peaks: [{ retentionTime: mu + sigma / 2 }],
      background: "none",
    }).peaks;
    published.check("area", peak.area.value);
    published.check("t_apex", peak.retentionTime);
    published.check("height", peak.height);
    const figures = peakFigures(peak);
    published.check("mean", figures.moments.mean);
    published.check("variance", figures.moments.variance);
    published.check("skewness", figures.moments.skewness);
    published.check("excess_kurtosis", figures.moments.excessKurtosis);
    published.check("W_half", figures.widthAtHalfHeight);
    published.check("W_10pct", figures.widthAtTenthHeight);
    published.check("asymmetry_10pct", figures.asymmetry);
    published.check("tailing_5pct", figures.tailing);
    published.check("N_half", figures.plateNumber);
    published.check("N_moment", figures.plateNumberMoments);
  });

  it("moments of the recorded peak hit the closed form to 1e-6, widths to 0.1 %", () => {
    const figures = peakFigures(trace(mu, sigma, tau, area, sigma / 20, ...window));
    const { expected } = published;
    expect(Math.abs(figures.moments.mean / expected.mean - 1)).toBeLessThan(1e-6);
    expect(Math.abs(figures.moments.variance / expected.variance - 1)).toBeLessThan(1e-6);
    expect(Math.abs(figures.moments.skewness / expected.skewness - 1)).toBeLessThan(1e-6);
    expect(Math.abs(figures.widthAtHalfHeight / expected.W_half - 1)).toBeLessThan(1e-3);
    expect(Math.abs(figures.asymmetry / expected.asymmetry_10pct - 1)).toBeLessThan(2e-3);
    expect(Math.abs(figures.tailing / expected.tailing_5pct - 1)).toBeLessThan(1e-3);
  });
});

describe("plates, resolution and overlap", () => {
  const foley = of("foley_dorsey_accuracy");
  const ratios = foley.published.inputs.tau_over_sigma as readonly number[];
  it.each(ratios)(
    `Foley–Dorsey plates are within 3 %% of the true ones at τ/σ = %d (${foley.title})`,
    (tau) => {
      const { mean, variance } = { mean: 5000 + tau, variance: 1 + tau ** 2 };
      const chromatogram = makeChromatogram({ id: "far out", ...trace(5000, 1, tau, 1, 0.05, 4990, 5100) });
      const [peak] = fitPeaks(chromatogram, { peaks: [{ retentionTime: 5000.5 }], background: "none" }).peaks;
      expect(Math.abs(peakFigures(peak).plateNumberFoleyDorsey / (mean ** 2 / variance) - 1)).toBeLessThan(
        0.03,
      );
    },
  );

  const pair = of("resolution_gaussian_pair");
  it(`a Gaussian pair has the published resolution and retention factors (${pair.title})`, () => {
    const { t0, t1, t2, s1, s2 } = pair.inputs;
    const [first, second] = [
      { retentionTime: t1, sigma: s1, tau: 0 },
      { retentionTime: t2, sigma: s2, tau: 0 },
    ];
    pair.check("Rs_half", peakResolution(first, second));
    pair.check("Rs_half", peakResolution(peakFigures(first), peakFigures(second)));
    pair.check("k1", peakFigures(first, { holdUpTime: t0 }).retentionFactor ?? Number.NaN);
    pair.check("k2", peakFigures(second, { holdUpTime: t0 }).retentionFactor ?? Number.NaN);
  });

  const drop = of("perpendicular_drop_bias_10to1");
  it(`a perpendicular at the valley gives the published areas, a fit the true ones (${drop.title})`, () => {
    const { s, d, h2 } = drop.inputs;
    const time = Float64Array.from({ length: 25001 }, (_, i) => -10 + i * 0.001);
    const signal = time.map((t) => Math.exp(-0.5 * (t / s) ** 2) + h2 * Math.exp(-0.5 * ((t - d) / s) ** 2));
    const flat = { startValue: 0, endValue: 0 };
    const valley = drop.expected.t_valley;
    drop.check("drop_area_1", areaBetween(time, signal, { start: -10, end: valley, ...flat }));
    drop.check("drop_area_2", areaBetween(time, signal, { start: valley, end: 15, ...flat }));
    const fit = fitPeaks(makeChromatogram({ id: "pair", time, signal }), {
      shape: "gaussian",
      peaks: [{ retentionTime: 0.1 }, { retentionTime: 4.9 }],
      background: "none",
    });
    const whole = Math.sqrt(2 * Math.PI) * s;
    expect(Math.abs(fit.peaks[0].area.value / whole - 1)).toBeLessThan(1e-8);
    expect(Math.abs(fit.peaks[1].area.value / (h2 * whole) - 1)).toBeLessThan(1e-8);
  });

  const sampling = of("sampling_error_gaussian_1");
  it(`half a sample per σ costs the area the published error (${sampling.title})`, () => {
    const { moments } = peakFigures(trace(0, sampling.inputs.sigma, 0, 1, sampling.inputs.dt, -20, 20));
    sampling.check("rel_error", Math.abs(moments.area - 1));
  });
});
