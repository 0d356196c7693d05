import { createRandom, type Random } from "../../../toolkit/numeric/random.js";
import { peakFigures, peakResolution } from "../../../toolkit/peaks/figures/peak-figures.js";
import { emg } from "../../../toolkit/peaks/shape/emg.js";
import { centreFromApex } from "../../../toolkit/peaks/shape/integration-window.js";
import type { PeakShape, PeakTrace } from "../../../toolkit/peaks/shape/peak-shape.js";
import { estimateBaseline } from "../../../toolkit/signal/baseline.js";
import { makeChromatogram } from "../../../toolkit/signal/make-chromatogram.js";
import type { Row } from "../scenes/rows.js";
import { quantile } from "../scenes/statistics.js";
import { drawBetween, type RowSize, SEEDS } from "./size.js";

/** 5 Hz, min. */
const INTERVAL = 1 / 300;
const LENGTH = 3000;
/** Pairs of peaks of each seed. */
const PAIRS: Readonly<Record<RowSize, number>> = { small: 4, full: 100 };

/**
 * Figures of peaks as recorded (drift and level unknown, white noise, S/N from 200 to 2000) against the closed form of
 * the exponentially modified Gaussians they were drawn from; every size of tail from none to τ = σ.
 */
export function figuresRows(size: RowSize): readonly Row[] {
  const errors: Record<
    "plates, half height" | "plates, Foley–Dorsey" | "asymmetry" | "resolution",
    number[]
  > = {
    "plates, half height": [],
    "plates, Foley–Dorsey": [],
    asymmetry: [],
    resolution: [],
  };
  for (const seed of SEEDS) {
    const random = createRandom(seed);
    for (let turn = 0; turn < PAIRS[size]; turn++) {
      const [first, second] = drawPair(random);
      const found = record(first, second, random).map((trace) => peakFigures(trace));
      const true_ = [first, second].map((shape) => peakFigures(shape));
      for (const [i, figures] of found.entries()) {
        errors["plates, half height"].push(figures.plateNumber / true_[i].plateNumber - 1);
        errors["plates, Foley–Dorsey"].push(
          figures.plateNumberFoleyDorsey / true_[i].plateNumberFoleyDorsey - 1,
        );
        errors.asymmetry.push(figures.asymmetry / true_[i].asymmetry - 1);
      }
      errors.resolution.push(peakResolution(found[0], found[1]) / peakResolution(true_[0], true_[1]) - 1);
    }
  }
  return Object.entries(errors).map(([name, values]) => {
    const sizes = values.map((error) => 100 * Math.abs(error));
    const p95 = quantile(sizes, 0.95);
    return {
      name: `figures: ${name}, S/N 200 to 2000`,
      n: values.length,
      value: `median ${quantile(sizes, 0.5).toFixed(2)} %, 95 % within ${p95.toFixed(2)} %`,
      accept: "1 %",
      // A figure that is missing is NaN and fails.
      pass: values.every(Number.isFinite) && p95 <= 1,
    };
  });
}

function drawPair(random: Random): readonly [PeakShape, PeakShape] {
  const sigma = drawBetween(random, 0.06, 0.12);
  const tau = sigma * drawBetween(random, 0, 1);
  const shape = (retentionTime: number, area: number): PeakShape => ({ retentionTime, sigma, tau, area });
  const width = peakFigures(shape(5, 1)).widthAtHalfHeight;
  const apart = (drawBetween(random, 3, 4.5) * 2 * width) / 1.18;
  return [shape(4.2, drawBetween(random, 1, 2)), shape(4.2 + apart, drawBetween(random, 1, 2))];
}

/** The pair on a drifting line with noise, its baseline taken off, cut in the middle between the two. */
function record(first: PeakShape, second: PeakShape, random: Random): readonly [PeakTrace, PeakTrace] {
  const lower = Math.min(...[first, second].map((shape) => peakFigures(shape).height));
  const noise = lower / (200 * 10 ** random.uniform());
  const slope = lower * drawBetween(random, -0.02, 0.02);
  const time = Float64Array.from({ length: LENGTH }, (_, i) => i * INTERVAL);
  const signal = time.map(
    (t) => valueAt(first, t) + valueAt(second, t) + slope * t + noise * random.normal(),
  );
  const { values } = estimateBaseline(makeChromatogram({ id: "pair", time, signal }), { from: 0 });
  const net = signal.map((y, i) => y - values[i]);
  const middle = Math.round((0.5 * (first.retentionTime + second.retentionTime + second.tau)) / INTERVAL);
  const from = Math.round((first.retentionTime - 12 * first.sigma) / INTERVAL);
  const to = Math.round((second.retentionTime + 12 * (second.sigma + second.tau)) / INTERVAL);
  return [
    { time: time.subarray(from, middle), signal: net.subarray(from, middle) },
    { time: time.subarray(middle, to), signal: net.subarray(middle, to) },
  ];
}

function valueAt({ retentionTime, sigma, tau, area }: PeakShape, t: number): number {
  return (area as number) * emg(t, centreFromApex(retentionTime, { sigma, tau }), sigma, tau);
}
