// Invented peaks of known area: exponentially modified Gaussians and tanks in series (a gamma density, a shape the
// fit does not have). Biases to expect of each rule: the laboratory's handbook on peaks, §4 and §6 (own study).
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { logGamma } from "../../toolkit/numeric/special-functions.js";
import {
  integratePeaks,
  type MeasuredPeak,
  type PlacedPeak,
} from "../../toolkit/peaks/integration/integrate.js";
import { emg, emgApexShift } from "../../toolkit/peaks/shape/emg.js";
import { blankNoise } from "../../toolkit/signal/blank-noise.js";
import { maskedBaseline } from "../../toolkit/signal/masked-baseline.js";

const N = 3000;
const SIGMA = 20;
/** White noise of the records, in the signal's unit. */
const NOISE = 1e-3;

function drawNoise(seed: number, size: number): Float64Array {
  const random = createRandom(seed);
  return Float64Array.from({ length: N }, () => size * random.normal());
}

/** A flat baseline that was drawn everywhere but under the peaks, and twelve blanks of the same noise. */
function surroundings(peaks: readonly PlacedPeak[]) {
  const free = new Uint8Array(N).fill(1);
  for (const { apex } of peaks)
    free.fill(0, Math.max(0, Math.round(apex - 6 * SIGMA)), Math.round(apex + 14 * SIGMA));
  const blanks = Array.from({ length: 12 }, (_, k) => drawNoise(100 + k, NOISE));
  return {
    baseline: maskedBaseline(new Float64Array(N), free, (2 * SIGMA) ** 4),
    noise: blankNoise(
      blanks,
      blanks.map(() => new Uint8Array(N).fill(1)),
    ),
    white: NOISE,
    reach: N,
  };
}

interface Truth {
  /** Apex, sample. */
  readonly apex: number;
  readonly area: number;
  readonly ratio: number;
}

function placed({ apex, ratio }: Truth, present = true): PlacedPeak {
  return { apex, sigma: SIGMA, tau: ratio * SIGMA, present, sumPerFit: 1 };
}

function signalOf(truths: readonly Truth[], noise?: Float64Array): Float64Array {
  return Float64Array.from({ length: N }, (_, i) =>
    truths.reduce((sum, { apex, area, ratio }) => {
      return sum + area * emg(i, apex - emgApexShift(ratio) * SIGMA, SIGMA, ratio * SIGMA);
    }, noise?.[i] ?? 0),
  );
}

function measureAll(truths: readonly Truth[], noise?: Float64Array): readonly MeasuredPeak[] {
  const peaks = truths.map((truth) => placed(truth));
  return integratePeaks(signalOf(truths, noise), peaks, surroundings(peaks));
}

/** W½/σ of the two tails. */
const HALF_WIDTH = { 0.3: 2.444, 0.8: 2.754 } as const;
/** Height of a unit-area peak, so that areas can be given by height. */
const areaFor = (height: number, ratio: number) => {
  const t = emgApexShift(ratio) * SIGMA;
  return height / emg(t, 0, SIGMA, ratio * SIGMA);
};
function pairOf(
  tail: 0.3 | 0.8,
  heightRatio: number,
  resolution: number,
  minorFirst = false,
): readonly Truth[] {
  const gap = (resolution * 2 * HALF_WIDTH[tail] * SIGMA) / 1.18;
  const [major, minor] = [areaFor(10, tail), areaFor(10 / heightRatio, tail)];
  const first = { apex: 1000, area: minorFirst ? minor : major, ratio: tail };
  return [first, { apex: 1000 + gap, area: minorFirst ? major : minor, ratio: tail }];
}

describe("peaks that stand alone are summed", () => {
  it.each([0.05, 0.3, 0.8])("τ/σ = %d: 99.9 % of the area at least, whatever the size", (ratio) => {
    for (const height of [0.5, 10, 1000]) {
      const [peak] = measureAll([{ apex: 1000, area: areaFor(height, ratio), ratio }]);
      expect(peak.rule).toBe("summation");
      expect(Math.abs(peak.area / areaFor(height, ratio) - 1)).toBeLessThan(1e-3);
    }
  });

  it("400 tanks in series, between two neighbours thirty σ away: area within 0.1 %", () => {
    const tanks = (mean: number, i: number) => {
      if (i <= 0) return 0;
      const scale = mean / 400;
      return Math.exp(399 * Math.log(i / scale) - i / scale - logGamma(400)) / scale;
    };
    const at = [400, 1000, 2000];
    const y = Float64Array.from({ length: N }, (_, i) =>
      at.reduce((sum, mean) => sum + 100 * tanks(mean, i), 0),
    );
    const peaks = at.map((mean) => ({
      apex: (mean * 399) / 400,
      sigma: mean / 20,
      tau: 0.05 * (mean / 20),
      present: true,
      sumPerFit: 1,
    }));
    const measured = integratePeaks(y, peaks, surroundings(peaks));
    expect(measured[0].rule).toBe("summation");
    expect(Math.abs(measured[0].area / 100 - 1)).toBeLessThan(1e-3);
    expect(Math.abs(measured[1].area / 100 - 1)).toBeLessThan(2e-3);
  });
});

describe("overlapping pairs of comparable height are fitted jointly", () => {
  it.each([
    [0.3, 1, 1.0],
    [0.3, 5, 1.0],
    [0.3, 5, 1.25],
    [0.8, 5, 1.25],
  ] as const)(
    "τ/σ %d, 1 : %d, Rs %d: the minor within 0.5 % (study: 0.1 ± 0.3)",
    (tail, ratio, resolution) => {
      const truths = pairOf(tail, ratio, resolution);
      const [major, minor] = measureAll(truths);
      expect([major.rule, minor.rule]).toEqual(["joint fit", "joint fit"]);
      expect(Math.abs(minor.area / truths[1].area - 1)).toBeLessThan(5e-3);
      expect(Math.abs(major.area / truths[0].area - 1)).toBeLessThan(5e-3);
    },
  );

  it("where a perpendicular would be 3 % off, the error of the fit stays within its u (k = 3) in 20 noisy records", () => {
    const truths = pairOf(0.3, 5, 1.0);
    for (let seed = 1; seed <= 20; seed++) {
      const minor = measureAll(truths, drawNoise(seed, NOISE))[1];
      expect(Math.abs(minor.area - truths[1].area)).toBeLessThan(
        3 * Math.hypot(minor.uNoise, minor.uIntegration),
      );
    }
  });
});

const stated = (peak: MeasuredPeak) => Math.hypot(peak.uNoise, peak.uIntegration);

describe("a small peak behind a giant is fitted as a rider", () => {
  it.each([
    [0.3, 20, 1.45],
    [0.3, 20, 2],
    [0.3, 100, 2],
    [0.8, 20, 1.5],
    [0.8, 100, 2],
  ] as const)(
    "τ/σ %d, 1 : %d, Rs %d (6 σ and more): within 3 % (study: median 0 to 3 %)",
    (tail, ratio, resolution) => {
      const truths = pairOf(tail, ratio, resolution);
      const [, minor] = measureAll(truths);
      expect(minor.rule).toBe("rider fit");
      expect(Math.abs(minor.area / truths[1].area - 1)).toBeLessThan(0.03);
      expect(Math.abs(minor.area - truths[1].area)).toBeLessThan(stated(minor));
    },
  );

  it.each([
    [0.3, 20, 1.25],
    [0.3, 1000, 1.5],
    [0.8, 1000, 2],
  ] as const)(
    "τ/σ %d, 1 : %d, Rs %d: nearer or smaller still, the error stays within 2 u",
    (tail, ratio, resolution) => {
      const truths = pairOf(tail, ratio, resolution);
      const [, minor] = measureAll(truths);
      expect(minor.rule).toBe("rider fit");
      expect(Math.abs(minor.area - truths[1].area)).toBeLessThan(2 * stated(minor));
    },
  );
});

describe("a small peak before a giant", () => {
  it.each([
    [0.8, 20],
    [0.8, 100],
  ] as const)("τ/σ %d, 1 : %d, seven σ before it: within 0.5 %", (tail, ratio) => {
    const truths = pairOf(tail, ratio, 1.5, true);
    const [minor] = measureAll(truths);
    expect(Math.abs(minor.area / truths[0].area - 1)).toBeLessThan(5e-3);
  });

  it.each([
    [0.3, 20, 1.25],
    [0.8, 20, 1.25],
    [0.8, 100, 1],
  ] as const)(
    "τ/σ %d, 1 : %d, Rs %d: nearer than six σ, the error stays within 3 u",
    (tail, ratio, resolution) => {
      const truths = pairOf(tail, ratio, resolution, true);
      const [minor] = measureAll(truths);
      expect(Math.abs(minor.area - truths[0].area)).toBeLessThan(3 * stated(minor));
    },
  );
});

describe.each([1, 2, 3])("an ion that is not there, seed %i", (seed) => {
  const absent = { apex: 1500.4, sigma: SIGMA, tau: 0.3 * SIGMA, present: false, sumPerFit: 1 };

  it("is measured at its place over a fixed window, both signs, with the scatter it states", () => {
    const areas: MeasuredPeak[] = [];
    for (let k = 0; k < 40; k++) {
      const y = drawNoise(1000 * seed + k, NOISE);
      areas.push(integratePeaks(y, [absent], surroundings([absent]))[0]);
    }
    expect(areas.every((a) => a.rule === "fixed window")).toBe(true);
    expect(areas.some((a) => a.area < 0)).toBe(true);
    // The baseline is given here, so the scatter is that of the window alone: √n times the noise for n samples.
    const window = areas[0].last - areas[0].first + 1;
    const scatter = Math.sqrt(areas.reduce((sum, a) => sum + a.area ** 2, 0) / 40);
    expect(Math.abs(scatter / (NOISE * Math.sqrt(window)) - 1)).toBeLessThan(0.4);
    for (const a of areas) expect(a.uNoise).toBeGreaterThan(0.9 * NOISE * Math.sqrt(window));
  });

  it("the window is the same sample for sample whatever the noise", () => {
    const windows = [1, 2, 3].map((k) => {
      const [a] = integratePeaks(drawNoise(10 * seed + k, NOISE), [absent], surroundings([absent]));
      return [a.first, a.last];
    });
    expect(windows[1]).toEqual(windows[0]);
    expect(windows[2]).toEqual(windows[0]);
  });
});

it("no peaks, no areas", () => expect(integratePeaks(new Float64Array(N), [], surroundings([]))).toEqual([]));
