// Alignment and rejection of a blank gradient. The records are invented; the effect to be reached is that of the
// laboratory's handbook on baselines, §4: a peak of 26 nS/cm on the corner of a ramp, +32 % without a blank, within 4 % with it.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { estimateBaseline } from "../../toolkit/signal/baseline.js";
import type { Chromatogram } from "../../toolkit/signal/chromatogram.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { subtractBlank } from "../../toolkit/signal/subtract-blank.js";

const INTERVAL = 0.2 / 60;
const SIGMA = 0.09;
const CORNER = 18.4;
const TRUE_AREA = 0.026 * SIGMA * Math.sqrt(2 * Math.PI);

interface Day {
  readonly seed: number;
  /** min */
  readonly delay?: number;
  readonly gain?: number;
  readonly peak?: boolean;
  /** Height of a broad system peak, µS/cm. */
  readonly system?: number;
  /** Deviation of the wander, µS/cm. */
  readonly wander?: number;
}

/** A ramp of 0.6 µS/cm that ends in a corner smoothed by 20 s, wander, white noise of 0.5 nS/cm. */
function record({ seed, delay = 0, gain = 1, peak = false, system = 0, wander = 0.003 }: Day): Chromatogram {
  const random = createRandom(seed);
  const time = Float64Array.from({ length: 7500 }, (_, i) => i * INTERVAL);
  const wave = 2 * Math.PI * random.uniform();
  const signal = time.map((t) => {
    const ramp = gain * 0.6 * cornered((t - delay - 8) / 10.4);
    const drift = wander * Math.sin(t / 1.7 + wave) + 0.0004 * t;
    const corner = peak ? 0.026 * Math.exp(-0.5 * ((t - CORNER) / SIGMA) ** 2) : 0;
    const major = peak ? 4 * Math.exp(-0.5 * ((t - 12) / SIGMA) ** 2) : 0;
    const carbonate = system * Math.exp(-0.5 * ((t - 15.5) / 0.5) ** 2);
    return ramp + drift + corner + major + carbonate + 0.0005 * random.normal();
  });
  return makeChromatogram({ id: `day ${seed}`, time, signal });
}

/** 0 before the ramp, 1 after it, both corners rounded by an exponential of 20 s. */
function cornered(x: number): number {
  const lag = 1 / 3 / 10.4;
  const rise = (u: number) => (u <= 0 ? 0 : u - lag * (1 - Math.exp(-u / lag)));
  return rise(x) - rise(x - 1);
}

function areaError(corrected: Chromatogram): number {
  const { values } = estimateBaseline(corrected, { peakWidth: SIGMA, from: 1 });
  let area = 0;
  corrected.time.forEach((t, i) => {
    if (Math.abs(t - CORNER) < 5 * SIGMA) area += (corrected.signal[i] - values[i]) * INTERVAL;
  });
  return area / TRUE_AREA - 1;
}

const options = { peakWidth: SIGMA };

describe("a blank gradient is taken off", () => {
  it.each([1, 2, 3])("and a trace on the corner of the ramp comes out within 4 % (seed %i)", (seed) => {
    const sample = record({ seed, peak: true });
    const blanks = [record({ seed: seed + 10 }), record({ seed: seed + 20 })];
    const result = subtractBlank(sample, blanks, options);
    expect(result.accepted).toBe(true);
    expect(Math.abs(areaError(sample))).toBeGreaterThan(0.2);
    expect(Math.abs(areaError(result.chromatogram))).toBeLessThan(0.04);
    expect(result.rmsAfter).toBeLessThan(0.1 * result.rmsBefore);
  });

  it("moved and scaled as the programme ran that day", () => {
    const sample = record({ seed: 1, delay: 3 / 60, gain: 1.04, peak: true });
    const result = subtractBlank(sample, record({ seed: 11 }), options);
    expect(60 * result.shift).toBeGreaterThan(2);
    expect(60 * result.shift).toBeLessThan(4);
    expect(result.gain).toBeCloseTo(1.04, 2);
    expect(Math.abs(areaError(result.chromatogram))).toBeLessThan(0.04);
  });

  it("no shift and no gain are read from a wander ten times the noise", () => {
    for (const seed of [1, 2, 3]) {
      const blanks = [record({ seed: seed + 10, wander: 0.005 }), record({ seed: seed + 20, wander: 0.005 })];
      const result = subtractBlank(record({ seed, wander: 0.005, peak: true }), blanks, options);
      expect(Math.abs(60 * result.shift)).toBeLessThan(1);
      expect(Math.abs(result.gain - 1)).toBeLessThan(0.02);
    }
  });

  it.each([0.08, 0.12])("whatever the height of a system peak (%f µS/cm, in the blank 0.1)", (system) => {
    const blank = record({ seed: 11, system: 0.1 });
    const result = subtractBlank(record({ seed: 1, system, peak: true }), blank, options);
    expect(Math.abs(60 * result.shift)).toBeLessThan(1);
    expect(Math.abs(result.gain - 1)).toBeLessThan(0.02);
  });

  it("neither further than 5 s nor by more than 10 %", () => {
    const sample = record({ seed: 1, delay: 30 / 60, gain: 1.3 });
    const result = subtractBlank(sample, record({ seed: 11 }), options);
    expect(60 * result.shift).toBeLessThanOrEqual(5 + 1e-9);
    expect(result.gain).toBeLessThanOrEqual(1.1 + 1e-9);
    expect(result.reason).toContain("the gain (1.100)");
    expect(result.reason).toContain("see whether the blank ran the same programme");
    const near = subtractBlank(record({ seed: 1, delay: 3 / 60, gain: 1.04 }), record({ seed: 11 }), options);
    expect(near.reason).not.toContain("bound");
  });

  it("without bringing its fast noise in", () => {
    const sample = record({ seed: 1 });
    const { chromatogram } = subtractBlank(sample, record({ seed: 11 }), options);
    const fast = ({ signal }: Chromatogram) =>
      Math.sqrt(signal.slice(2).reduce((sum, y, i) => sum + (y - 2 * signal[i + 1] + signal[i]) ** 2, 0));
    expect(fast(chromatogram) / fast(sample)).toBeLessThan(1.02);
  });
});

describe("a blank is refused or doubted", () => {
  it("where it is of another programme: the record comes back as it was, and why", () => {
    const sample = record({ seed: 1, gain: 0 });
    const result = subtractBlank(sample, record({ seed: 11 }), options);
    expect(result.accepted).toBe(false);
    expect(result.chromatogram).toBe(sample);
    expect(result.reason).toContain("would not lower the spread");
  });

  it("where it holds a peak itself, with the time", () => {
    const result = subtractBlank(record({ seed: 1 }), record({ seed: 11, peak: true }), options);
    expect(result.blankPeaks.some((t) => Math.abs(t - 12) < 0.05)).toBe(true);
    expect(result.reason).toContain("12.00");
    const clean = subtractBlank(record({ seed: 1, peak: true }), record({ seed: 11, gain: 0 }), options);
    expect(clean.blankPeaks).toEqual([]);
  });

  it("where it is in another unit, or there is none", () => {
    const sample = record({ seed: 1 });
    const { id, time, signal } = record({ seed: 11 });
    const other = makeChromatogram({ id, time, signal, signalUnit: "mV" });
    expect(() => subtractBlank(sample, other)).toThrow(expect.objectContaining({ code: "unit-mismatch" }));
    expect(() => subtractBlank(sample, [])).toThrow(expect.objectContaining({ code: "missing-blank" }));
  });
});
