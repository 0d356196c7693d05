import fc from "fast-check";
import { expect } from "vitest";
import { isIonbookError } from "../../toolkit/errors.js";
import { findDips } from "../../toolkit/peaks/detection/find-dips.js";
import { findPeaks } from "../../toolkit/peaks/detection/find-peaks.js";
import { peakFigures } from "../../toolkit/peaks/figures/peak-figures.js";
import { fitPeaks } from "../../toolkit/peaks/fitting/fit-peaks.js";
import { integrateChromatogram } from "../../toolkit/peaks/integration/integrate-chromatogram.js";
import { noiseAutocovariance } from "../../toolkit/signal/autocovariance.js";
import { type BaselineMethod, estimateBaseline } from "../../toolkit/signal/baseline.js";
import type { Chromatogram } from "../../toolkit/signal/chromatogram.js";
import { estimateNoise } from "../../toolkit/signal/noise.js";
import { inventedNoise, NOISE_KINDS } from "../signal/invented-noise.js";
import { everyNumberOf } from "./every-number.js";

const N = 600;
const STEP = 1 / 60;
const gaussian = (t: number, at: number, sigma: number) => Math.exp(-0.5 * ((t - at) / sigma) ** 2);

/** 10 min at 1 Hz: three peaks of 6 s and noise. */
export function ordinary(seed: number) {
  const noise = inventedNoise(N, 1, NOISE_KINDS[1], seed);
  const time = Float64Array.from({ length: N }, (_, i) => i * STEP);
  const signal = time.map(
    (t, i) =>
      1 + 2 * gaussian(t, 3, 0.1) + 0.1 * gaussian(t, 5, 0.1) + gaussian(t, 7.4, 0.12) + 0.002 * noise[i],
  );
  return { time, signal };
}

/** A record as it may come from elsewhere, unchecked. */
function raw(time: Float64Array, signal: Float64Array): Chromatogram {
  return { kind: "chromatogram", id: "hostile", time, signal, signalUnit: "µS/cm", notes: [] };
}

interface Draw {
  readonly seed: number;
  readonly at: number;
  readonly size: number;
}

export const HOSTILE: Readonly<Record<string, (draw: Draw) => Chromatogram>> = {
  "a constant": ({ seed, size }) => raw(ordinary(seed).time, new Float64Array(N).fill(size)),
  "one point": () => raw(Float64Array.of(1), Float64Array.of(2)),
  "no point": () => raw(new Float64Array(0), new Float64Array(0)),
  "two points": ({ size }) => raw(Float64Array.of(1, 2), Float64Array.of(2, size)),
  "NaN in the middle": ({ seed, at }) => changed(seed, (y) => y.fill(Number.NaN, at, at + 3)),
  "Infinity in the middle": ({ seed, at }) =>
    changed(seed, (y) => y.fill(at % 2 ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY, at, at + 1)),
  "a gap in the middle": ({ seed, at, size }) => {
    const { time, signal } = ordinary(seed);
    return raw(
      time.map((t, i) => (i < at ? t : t + size)),
      signal,
    );
  },
  "a saturated top": ({ seed, at }) =>
    changed(seed, (y) => {
      const top = 1.2 + at / N;
      map(y, (v) => Math.min(v, top));
    }),
  "reversed time": ({ seed }) => raw(ordinary(seed).time.reverse(), ordinary(seed).signal),
  "one giant alone": ({ seed, at, size }) =>
    raw(
      ordinary(seed).time,
      ordinary(seed).time.map((t) => 1000 * size * gaussian(t, at * STEP, 0.2)),
    ),
  "a giant beyond the end": ({ seed, at, size }) =>
    raw(
      ordinary(seed).time,
      ordinary(seed).time.map((t) => 1000 * size * gaussian(t, at % 2 ? 0 : 10, 0.2)),
    ),
  "negative signal only": ({ seed, size }) => changed(seed, (y) => map(y, (v) => -v - size)),
  "uneven sampling": ({ seed, at }) => {
    const { time, signal } = ordinary(seed);
    return raw(
      time.map((t, i) => t + 0.4 * STEP * Math.sin(i * at)),
      signal,
    );
  },
  "one time twice": ({ seed, at }) => {
    const { time, signal } = ordinary(seed);
    time[at] = time[at - 1];
    return raw(time, signal);
  },
  "fewer readings than times": ({ seed }) =>
    raw(ordinary(seed).time, ordinary(seed).signal.subarray(0, N - 7)),
  "values of 1e300": ({ seed }) => changed(seed, (y) => map(y, (v) => 1e300 * v)),
  "values of 1e-300": ({ seed }) => changed(seed, (y) => map(y, (v) => 1e-300 * v)),
  "one value of 1e300": ({ seed, at }) => changed(seed, (y) => y.fill(1e300, at, at + 1)),
  "ends of double precision": ({ seed }) =>
    changed(seed, (y) => map(y, (_, i) => (i % 2 ? Number.MAX_VALUE : -Number.MAX_VALUE))),
  "alternating zeros and ones": ({ seed }) => changed(seed, (y) => map(y, (_, i) => i % 2)),
  "a single spike": ({ seed, at, size }) => {
    const y = new Float64Array(N);
    y[at] = size;
    return raw(ordinary(seed).time, y);
  },
  "a step": ({ seed, at, size }) => changed(seed, (y) => y.fill(size, at)),
};

function map(y: Float64Array, f: (value: number, i: number) => number): void {
  for (let i = 0; i < y.length; i++) y[i] = f(y[i], i);
}

function changed(seed: number, change: (y: Float64Array) => void): Chromatogram {
  const { time, signal } = ordinary(seed);
  change(signal);
  return raw(time, signal);
}

const BASELINES = ["arPLS", "AsLS", "airPLS", "SNIP", "anchored", "masked"] as const;
const stretches = { anchors: [[0.5, 1.5] as const, [8.5, 9.5] as const] };

export const CALLS: Readonly<Record<string, (record: Chromatogram) => unknown>> = {
  ...Object.fromEntries(
    BASELINES.map((method) => [
      `estimateBaseline ${method}`,
      (record: Chromatogram) =>
        estimateBaseline(record, {
          method: method as BaselineMethod,
          ...stretches,
          ...(method === "masked" ? { excluded: [[2.5, 3.5] as const] } : {}),
        }),
    ]),
  ),
  estimateNoise: (record) => estimateNoise(record),
  noiseAutocovariance: (record) => noiseAutocovariance(record),
  findPeaks: (record) => findPeaks(record, { from: 0 }),
  findDips: (record) => findDips(record, { from: 0 }),
  "findPeaks behind the void": (record) => findPeaks(record),
  fitPeaks: (record) => fitPeaks(record, { maxIterations: 15 }),
  integrateChromatogram: (record) => integrateChromatogram(record),
  peakFigures: (record) => peakFigures({ time: record.time, signal: record.signal }),
};

/** Draws `runs` records of a kind and makes the call on each: fails on NaN and on whatever is not an IonbookError. */
export function tryHostile(kind: string, call: string, seed: number, runs: number): void {
  const draw = fc.record({
    seed: fc.integer({ min: 1, max: 1000 }),
    at: fc.integer({ min: 2, max: N - 5 }),
    size: fc.double({ min: 0.01, max: 50, noNaN: true }),
  });
  const property = fc.property(draw, (each) => {
    let result: unknown;
    try {
      result = CALLS[call](HOSTILE[kind](each));
    } catch (error) {
      if (!isIonbookError(error)) throw error;
      expect(error.message.length).toBeGreaterThan(20);
      return;
    }
    for (const [name, value] of everyNumberOf(result)) {
      if (!Number.isFinite(value)) throw new Error(`${name} is ${value}`);
    }
  });
  fc.assert(property, { seed, numRuns: runs });
}
