// INVENTED signals, peaks of a plain shape on a drifting line, and what the toolkit makes of them, for testing pictures.
// One integration is made up as well: its peaks have names, one is refused, and their shapes are known exactly.

import { createRandom } from "../../toolkit/numeric/random.js";
import type { FoundDip } from "../../toolkit/peaks/detection/find-dips.js";
import { type PeakFigures, peakFigures } from "../../toolkit/peaks/figures/peak-figures.js";
import { choosePeakCount, type PeakCountChoice } from "../../toolkit/peaks/fitting/choose-peak-count.js";
import { fitInjections, type JointFit } from "../../toolkit/peaks/fitting/fit-injections.js";
import { type FittedPeaks, fitPeaks } from "../../toolkit/peaks/fitting/fit-peaks.js";
import {
  type Integration,
  integrateChromatogram,
} from "../../toolkit/peaks/integration/integrate-chromatogram.js";
import { emg } from "../../toolkit/peaks/shape/emg.js";
import type { FittedShapeName } from "../../toolkit/peaks/shape/shape-kernels.js";
import type { ShownIntegratedPeak, ShownIntegration } from "../../toolkit/show/trace/read-integration.js";
import { type Autocovariance, noiseAutocovariance } from "../../toolkit/signal/autocovariance.js";
import { type Baseline, type BaselineOptions, estimateBaseline } from "../../toolkit/signal/baseline.js";
import type { Chromatogram } from "../../toolkit/signal/chromatogram.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { estimateNoise, type Noise } from "../../toolkit/signal/noise.js";
import { type PharmacopoeialNoise, pharmacopoeialNoise } from "../../toolkit/signal/pharmacopoeial-noise.js";
import { type BlankSubtraction, subtractBlank } from "../../toolkit/signal/subtract-blank.js";
import { fromSources } from "../../toolkit/uncertainty/measured.js";

export interface InventedEmg {
  readonly name?: string;
  readonly mu: number;
  readonly sigma: number;
  readonly tau: number;
  readonly area: number;
}

/** Samples of 5 Hz. */
const STEP = 1 / 300;
export const WHITE = 0.0008;

/** Line, wander and noise without peaks. */
function course(t: number, rise: number): number {
  return 0.9 + 0.004 * Math.sin(t / 1.7) + rise / (1 + Math.exp(-(t - 9) / 0.8));
}

export function inventedSignal(
  id: string,
  peaks: readonly InventedEmg[],
  options: {
    readonly minutes?: number;
    readonly rise?: number;
    readonly seed?: number;
    readonly dip?: number;
  } = {},
): Chromatogram {
  const { minutes = 15, rise = 0.05, seed = 1, dip } = options;
  const random = createRandom(seed);
  const time = Float64Array.from({ length: Math.round(minutes / STEP) }, (_, index) => index * STEP);
  let slow = 0;
  const signal = time.map((t) => {
    slow = 0.98 * slow + 0.00012 * random.normal();
    const dent = dip === undefined ? 0 : -0.03 * Math.exp(-0.5 * ((t - dip) / 0.06) ** 2);
    const sum = peaks.reduce((total, { mu, sigma, tau, area }) => total + area * emg(t, mu, sigma, tau), 0);
    return course(t, rise) + dent + sum + slow + WHITE * random.normal();
  });
  return makeChromatogram({ id, time, signal, channel: "anion" });
}

export const ANIONS: readonly InventedEmg[] = [
  { name: "fluoride", mu: 2.6, sigma: 0.04, tau: 0.02, area: 0.02 },
  { name: "chloride", mu: 4.0, sigma: 0.05, tau: 0.04, area: 9 },
  { name: "nitrite", mu: 4.62, sigma: 0.06, tau: 0.03, area: 0.012 },
  { name: "bromide", mu: 7.0, sigma: 0.07, tau: 0.03, area: 0.03 },
  { name: "nitrate", mu: 7.32, sigma: 0.07, tau: 0.03, area: 0.06 },
  { mu: 9.4, sigma: 0.08, tau: 0.03, area: 0.006 },
  { name: "sulfate", mu: 11.2, sigma: 0.09, tau: 0.03, area: 0.4 },
];

/** Two peaks in one window. */
function pairRecord(apart: number, seed: number, id = "A017"): Chromatogram {
  const peaks = [
    { mu: 7.0, sigma: 0.08, tau: 0.05, area: 0.5 },
    { mu: 7.0 + apart, sigma: 0.08, tau: 0.05, area: 0.2 },
  ];
  return inventedSignal(id, peaks, { seed, rise: 0.01, minutes: 10 });
}

const PAIR_WINDOW = { from: 6, to: 8.5 };

export function pairFit(shape: FittedShapeName = "emg"): FittedPeaks {
  const peaks = [{ retentionTime: 7.03 }, { retentionTime: 7.34 }];
  return fitPeaks(pairRecord(0.3, 1), { peaks, shape, ...PAIR_WINDOW });
}

/** A record with a giant, riders, an overlapped pair, an unknown, a dip, and one peak that is refused. */
export function inventedIntegration(): ShownIntegration {
  const chromatogram = inventedSignal("A023", ANIONS, { dip: 5.9 });
  const baseline = { values: chromatogram.time.map((t) => (t < 2 ? Number.NaN : course(t, 0.05))) };
  const noise = estimateNoise(chromatogram, { from: 12.5, to: 14.5 });
  const { time } = chromatogram;
  const peaks = ANIONS.map((peak): ShownIntegratedPeak => {
    const { mu, sigma, tau, area } = peak;
    const [start, end] = [mu - 5 * sigma, mu + 5 * sigma + 6 * tau];
    const first = time.findIndex((t) => t >= start);
    const values = time
      .slice(first, time.findIndex((t) => t >= end) + 1)
      .map((t) => area * emg(t, mu, sigma, tau));
    const refused = peak.name === "fluoride";
    const rider = peak.name === "nitrite";
    const pair = peak.name === "bromide" || peak.name === "nitrate";
    const height = Math.max(...values);
    const rule = refused || rider ? "rider over decays" : pair ? "joint fit" : "summation";
    return {
      ...(peak.name === undefined ? {} : { name: peak.name }),
      retentionTime: mu + 0.6 * tau,
      height,
      start,
      end,
      signalToNoise: height / noise.rms,
      shoulderOf: undefined,
      area: fromSources(area, "µS/cm·min", [
        { source: "noise: A023", contribution: 0.0002 },
        { source: "baseline choice: A023", contribution: 0.001 * area + 0.0001 },
      ]),
      rule,
      because: rider
        ? "the major beside it is 400 times higher and its decay lies under the peak"
        : pair
          ? "the valley lies at 31 % of the lower height"
          : "valleys and limits lie below 2 % of the height",
      alternatives: [
        { rule: "perpendicular drop", area: 0.97 * area, difference: -0.03 * area },
        { rule: "tangent skim", area: 0.81 * area, difference: -0.19 * area },
      ],
      quantifiable: !refused,
      ...(refused
        ? {
            refusal: {
              reason: "two backgrounds that fit the flank equally well differ by 46 %",
              advice: "inject the major alone, or dilute",
              estimatedError: 0.46,
            },
          }
        : {}),
      component: { first, values },
    };
  });
  const dips: readonly FoundDip[] = [
    { retentionTime: 5.9, depth: 0.03, start: 5.72, end: 6.08, signalToNoise: 34 },
  ];
  const residuals = chromatogram.signal.map((y, i) => y - baseline.values[i]);
  for (const { rule, component } of peaks)
    if (rule !== "summation")
      component.values.forEach((value, i) => {
        residuals[component.first + i] -= value;
      });
  return {
    kind: "integration",
    chromatogram,
    baseline,
    noise,
    peaks,
    dips,
    residuals,
    toString: () => "integration",
  };
}

/** What the toolkit makes of that record: nothing of it is made up. */
export function realIntegration(): Integration {
  return integrateChromatogram(inventedSignal("A023", ANIONS, { dip: 5.9 }), { from: 2 });
}

export function realBaseline(options: BaselineOptions = {}): Baseline {
  return estimateBaseline(inventedSignal("A023", ANIONS), { from: 2, peakWidth: 0.1, ...options });
}

export function realBlankSubtraction(): BlankSubtraction {
  const original = inventedSignal("A031", ANIONS.slice(3), { rise: 0.6 });
  return subtractBlank(original, inventedSignal("B002", [], { rise: 0.6, seed: 2 }));
}

export function realNoise(minutes = 20): Noise {
  const chromatogram = inventedSignal("B001", [], { minutes: minutes + 2, rise: 0 });
  return estimateNoise(chromatogram, { from: 1, to: minutes + 1 });
}

export function realAutocovariance(rise = 0): Autocovariance {
  const blanks = [1, 2].map((seed) => inventedSignal(`B00${seed}`, [], { minutes: 12, rise, seed }));
  return noiseAutocovariance(blanks, { from: 1 });
}

export function realPharmacopoeialNoise(): PharmacopoeialNoise {
  const blank = inventedSignal("B001", [], { rise: 0 });
  return pharmacopoeialNoise(blank, { retentionTime: 7, widthAtHalfHeight: 0.16 });
}

export function realPeakCount(): PeakCountChoice {
  return choosePeakCount(pairRecord(0.25, 1), { peaks: [{ retentionTime: 7.03 }], ...PAIR_WINDOW });
}

export function realJointFit(): JointFit {
  const records = [1, 2, 3, 4].map((run) => pairRecord(0.3, 1 + (run % 3), `A01${run}`));
  return fitInjections(records, {
    peaks: [{ retentionTime: 7.03 }, { retentionTime: 7.34 }],
    ...PAIR_WINDOW,
  });
}

/** Figures of a tailing peak, τ = σ, where the definitions of plates part. */
export function inventedFigures(): PeakFigures {
  return peakFigures({ retentionTime: 7, sigma: 0.08, tau: 0.08 }, { holdUpTime: 1.6 });
}
