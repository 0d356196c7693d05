// INVENTED signals and what the rooms below would say of them, for developing and testing pictures. Peaks of a plain
// shape on a drifting line; sentences and figures are made up where no function makes them yet.

import { createRandom } from "../../toolkit/numeric/random.js";
import { emg } from "../../toolkit/peaks/emg.js";
import { fitPeaks } from "../../toolkit/peaks/fit-peaks.js";
import { type PeakFigures, peakFigures } from "../../toolkit/peaks/peak-figures.js";
import type { ShownFit } from "../../toolkit/show/trace/read-fit.js";
import type {
  ShownDip,
  ShownIntegratedPeak,
  ShownIntegration,
} from "../../toolkit/show/trace/read-integration.js";
import type { ShownAutocovariance } from "../../toolkit/show/view/autocovariance-view.js";
import type { ShownBaseline } from "../../toolkit/show/view/baseline-view.js";
import type { ShownBlankSubtraction } from "../../toolkit/show/view/blank-subtraction-view.js";
import type { ShownJointFit } from "../../toolkit/show/view/joint-fit-view.js";
import type { ShownPeakCount } from "../../toolkit/show/view/peak-count-view.js";
import type { ShownPharmacopoeialNoise } from "../../toolkit/show/view/pharmacopoeial-noise-view.js";
import { estimateBaseline } from "../../toolkit/signal/baseline.js";
import type { Chromatogram } from "../../toolkit/signal/chromatogram.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { estimateNoise, type Noise } from "../../toolkit/signal/noise.js";
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

/** Two peaks in one window, fitted, with the curves that belong to the fit. */
export function inventedFit(apart = 0.3, seed = 1): ShownFit {
  const peaks = [
    { mu: 7.0, sigma: 0.08, tau: 0.05, area: 0.5 },
    { mu: 7.0 + apart, sigma: 0.08, tau: 0.05, area: 0.2 },
  ];
  const record = inventedSignal("A017", peaks, { seed, rise: 0.01 });
  const fit = fitPeaks(record, {
    peaks: [{ retentionTime: 7.03 }, { retentionTime: 7.04 + apart }],
    from: 6,
    to: 8.5,
  });
  const first = record.time.findIndex((t) => t >= fit.from - 1e-9);
  const last = record.time.findIndex((t) => t >= fit.to - 1e-9);
  const time = record.time.slice(first, last + 1);
  const signal = record.signal.slice(first, last + 1);
  const middle = (fit.from + fit.to) / 2;
  const [level, slope] = fit.background;
  const backgroundCurve = time.map((t) => level + slope * (t - middle));
  const components = fit.peaks.map(({ mu, sigma, tau, area }) =>
    time.map((t) => area.value * emg(t, mu, sigma, tau)),
  );
  const residuals = signal.map(
    (y, index) => y - backgroundCurve[index] - components.reduce((sum, each) => sum + each[index], 0),
  );
  let [steps, squares, largest] = [0, 0, 0];
  for (let index = 0; index < residuals.length; index += 1) {
    if (index > 0) steps += (residuals[index] - residuals[index - 1]) ** 2;
    squares += residuals[index] ** 2;
    if (Math.abs(residuals[index]) > Math.abs(residuals[largest])) largest = index;
  }
  const diagnostics = {
    durbinWatson: steps / squares,
    effectiveFraction: 0.6,
    largestResidual: residuals[largest],
    largestResidualShare: residuals[largest] / signal[largest],
    warnings: ["the two peaks are closer than two widths: their areas lean on the shape"],
  };
  return {
    ...fit,
    chromatogram: record,
    shape: "emg",
    time,
    signal,
    backgroundCurve,
    components,
    diagnostics,
  };
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
  const dips: readonly ShownDip[] = [
    { retentionTime: 5.9, depth: 0.03, start: 5.72, end: 6.08, signalToNoise: 34 },
  ];
  return { kind: "integration", chromatogram, baseline, noise, peaks, dips, toString: () => "integration" };
}

export function inventedBaseline(): ShownBaseline {
  const chromatogram = inventedSignal("A023", ANIONS);
  const peakWidth = 0.1;
  const baseline = estimateBaseline(chromatogram, { from: 2, peakWidth });
  return { ...baseline, chromatogram, stiffness: { peakWidth, multiple: 2, interval: STEP } };
}

export function inventedBlankSubtraction(accepted = true): ShownBlankSubtraction {
  const original = inventedSignal("A031", ANIONS.slice(3), { rise: 0.6 });
  const course = inventedSignal("B002", [], { rise: 0.6, seed: 2 }).signal;
  const difference = original.signal.map((value, index) => value - course[index]);
  return {
    kind: "blank-subtraction",
    chromatogram: accepted
      ? makeChromatogram({ id: "A031", time: original.time, signal: difference })
      : original,
    original,
    course,
    shift: 0.03,
    gain: 1.012,
    offset: -0.0021,
    rmsBefore: 0.21,
    rmsAfter: accepted ? 0.0012 : 0.24,
    accepted,
    reason: accepted
      ? "the stray between the peaks falls to a hundredth"
      : "the stray between the peaks does not fall",
    toString: () => "blank subtraction",
  };
}

export function inventedNoise(minutes = 20): Noise {
  const chromatogram = inventedSignal("B001", [], { minutes: minutes + 2, rise: 0 });
  const noise = estimateNoise(chromatogram, { from: 1, to: minutes + 1 });
  return { ...noise, shortTerm: 0.0052 };
}

export function inventedAutocovariance(): ShownAutocovariance {
  const values = Float64Array.from(
    { length: 300 },
    (_, lag) => (lag === 0 ? WHITE ** 2 : 0) + 3.6e-7 * 0.98 ** lag * Math.cos(lag / 60),
  );
  let sum = 0;
  for (let lag = 1; lag < values.length; lag += 1) sum += values[lag] / values[0];
  return {
    kind: "autocovariance",
    interval: STEP,
    values,
    unit: "(µS/cm)²",
    effectiveFraction: 1 / (1 + 2 * sum),
    records: 3,
    from: 1,
    to: 15,
    toString: () => "autocovariance",
  };
}

export function inventedPharmacopoeialNoise(): ShownPharmacopoeialNoise {
  return {
    kind: "pharmacopoeial-noise",
    h: 0.0051,
    rms: 0.00092,
    from: 6.6,
    to: 7.4,
    samples: 241,
    interval: STEP,
    toString: () => "h",
  };
}

export function inventedPeakCount(): ShownPeakCount {
  const chosen = inventedFit(0.25);
  const nEffective = 450;
  return {
    kind: "peak-count",
    chosen,
    candidates: [
      {
        peaks: 1,
        bic: -2310.4,
        rss: 0.91,
        nEffective,
        accepted: false,
        reason: "two peaks lower BIC by 1204",
      },
      { peaks: 2, bic: -3514.8, rss: 0.00069, nEffective, accepted: true, reason: "lowest BIC that passes" },
      {
        peaks: 3,
        bic: -3511.2,
        rss: 0.00068,
        nEffective,
        accepted: false,
        reason: "BIC falls by less than 6",
      },
    ],
    toString: () => "2 peaks",
  };
}

export function inventedJointFit(): ShownJointFit {
  return {
    kind: "joint-fit",
    fits: [0.3, 0.3, 0.3, 0.3].map((apart, index) => {
      const fit = inventedFit(apart, 1 + (index % 3));
      return { ...fit, chromatogram: { ...fit.chromatogram, id: `A01${index + 1}` } };
    }),
    shared: { tauOverSigma: [0.62, 0.61], relativeRetention: [1, 1.0427] },
    converged: true,
    reason: "sum of squares settled",
    toString: () => "joint fit",
  };
}

/** Figures of a tailing peak, τ = σ, where the definitions of plates part. */
export function inventedFigures(): PeakFigures {
  return peakFigures({ retentionTime: 7, sigma: 0.08, tau: 0.08 }, { holdUpTime: 1.6 });
}
