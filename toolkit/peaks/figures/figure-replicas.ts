import { IonbookError } from "../../errors.js";
import { createRandom, type Random } from "../../numeric/random.js";
import { mean, standardDeviation } from "../../numeric/summary.js";
import { type MeasuredValue, measured } from "../../uncertainty/measured.js";
import { emg } from "../shape/emg.js";
import { centreFromApex } from "../shape/integration-window.js";
import type { PeakShape } from "../shape/peak-shape.js";
import { measureTrace } from "./measure-trace.js";
import { figuresOf } from "./peak-figures.js";

/** Figures that replicas give an uncertainty. */
export type ReplicatedFigure =
  | "retentionTime"
  | "height"
  | "widthAtHalfHeight"
  | "widthAtTenthHeight"
  | "baseWidth"
  | "plateNumber"
  | "plateNumberTangent"
  | "plateNumberFoleyDorsey"
  | "asymmetry"
  | "tailing";

const REPLICATED: readonly ReplicatedFigure[] = [
  "retentionTime",
  "height",
  "widthAtHalfHeight",
  "widthAtTenthHeight",
  "baseWidth",
  "plateNumber",
  "plateNumberTangent",
  "plateNumberFoleyDorsey",
  "asymmetry",
  "tailing",
];

export interface FigureReplicaOptions {
  /** Sampling interval, min. */
  readonly interval: number;
  /** Signals of blanks without peaks, baseline taken off, sampled like the record: slices of them are laid on the peak. */
  readonly blanks?: readonly ArrayLike<number>[];
  /** White noise instead of blanks, standard deviation in the signal's unit. */
  readonly noise?: number;
  /** @default 200 */
  readonly replicas?: number;
  /** @default 1 */
  readonly seed?: number;
}

/** Peaks are drawn this many σ before, and as many plus so many τ behind. */
const REACH_SIGMA = 6;
const REACH_TAU = 8;

/**
 * Figures of a fitted peak with standard uncertainties, from replicas: the fitted curve with slices of the blanks (or
 * white noise) on it, each measured again like a record. A figure that fewer than nine of ten replicas show is left out.
 *
 * u is the standard deviation over the replicas; for white noise it lies above the least that is possible,
 * u(t) ≥ 1.06 σ/(s√(σf)) and u(W½)/W½ ≥ 1.06/(s√(σf)), s = H/noise, f samples per min. Cost: replicas times samples.
 *
 * @throws IonbookError `no-noise` without blanks or noise, `short-stretch` for blanks shorter than the peak, `no-area`
 * @source parametric bootstrap; lower bounds of C. R. Rao and H. Cramér for a Gaussian (derived)
 */
export function figureUncertainties(
  peak: PeakShape,
  options: FigureReplicaOptions,
): Readonly<Partial<Record<ReplicatedFigure, MeasuredValue>>> {
  const { interval, replicas = 200, seed = 1 } = options;
  const { time, curve } = drawn(peak, interval);
  const random = createRandom(seed);
  const noisy = noiseMaker(options, curve.length, random);
  const found = new Map(REPLICATED.map((name) => [name, [] as number[]]));
  for (let turn = 0; turn < replicas; turn++) {
    const figures = figuresOf(measureTrace({ time, signal: noisy(curve) }));
    for (const name of REPLICATED) if (Number.isFinite(figures[name])) found.get(name)?.push(figures[name]);
  }
  const out: Partial<Record<ReplicatedFigure, MeasuredValue>> = {};
  for (const [name, values] of found) {
    if (values.length < 0.9 * replicas || values.length < 3) continue;
    out[name] = measured(
      mean(values),
      name === "retentionTime" || name.toLowerCase().includes("width") ? "min" : "1",
      { u: standardDeviation(values) },
      { source: `noise on ${name}`, dof: values.length - 1 },
    );
  }
  return out;
}

function drawn({ retentionTime, sigma, tau, area }: PeakShape, interval: number) {
  const whole = typeof area === "number" ? area : (area?.value ?? 0);
  if (!(whole > 0)) {
    throw new IonbookError("no-area", "the peak has no area to lay noise on: give the peak of a fit");
  }
  const before = REACH_SIGMA * sigma + REACH_TAU * Math.max(-tau, 0);
  const behind = REACH_SIGMA * sigma + REACH_TAU * Math.max(tau, 0);
  const mu = centreFromApex(retentionTime, { sigma, tau });
  const first = Math.floor((retentionTime - before) / interval);
  const length = Math.ceil((before + behind) / interval) + 1;
  const time = Float64Array.from({ length }, (_, i) => (first + i) * interval);
  return { time, curve: time.map((t) => whole * emg(t, mu, sigma, tau)) };
}

function noiseMaker(
  { blanks = [], noise }: FigureReplicaOptions,
  length: number,
  random: Random,
): (curve: Float64Array) => Float64Array {
  const long = blanks.filter((blank) => blank.length >= length);
  if (long.length > 0) {
    return (curve) => {
      const blank = long[Math.floor(random.uniform() * long.length)];
      const from = Math.floor(random.uniform() * (blank.length - length + 1));
      return curve.map((y, i) => y + blank[from + i]);
    };
  }
  if (blanks.length > 0) {
    throw new IonbookError(
      "short-stretch",
      `the blanks hold fewer than the ${length} samples of the peak: give longer ones`,
    );
  }
  if (noise !== undefined && noise > 0) return (curve) => curve.map((y) => y + noise * random.normal());
  throw new IonbookError(
    "no-noise",
    "replicas need blanks, or the standard deviation of white noise: give one",
  );
}
