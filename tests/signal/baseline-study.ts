// The study of baseline methods that the product's choice of arPLS with λ = (2σf)⁴ rests on, made again with our own
// parts: invented records of 30 min at 5 Hz with 14 peaks on a known baseline. All invented; sizes are those of a quiet
// suppressed system (common practice, no source).
import { createRandom, type Random } from "../../toolkit/numeric/random.js";
import { emg } from "../../toolkit/peaks/shape/emg.js";
import { estimateBaseline } from "../../toolkit/signal/baseline.js";
import type { Chromatogram } from "../../toolkit/signal/chromatogram.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";
import { subtractBlank } from "../../toolkit/signal/subtract-blank.js";
import { applyLag, exponentialLag } from "../../toolkit/simulation/exponential-lag.js";
import { addNoise } from "../../toolkit/simulation/noise.js";

export const SCENES = [
  "isocratic",
  "gradient",
  "gradient + blank",
  "majors",
  "majors, gradient",
  "void dip",
  "dip inside",
] as const;
export type SceneName = (typeof SCENES)[number];
export const METHODS = ["arPLS", "masked", "airPLS", "AsLS", "SNIP"] as const;
export type StudiedMethod = (typeof METHODS)[number] | "oracle";
type PeakClass = "trace" | "beside" | "medium" | "major";

const STEP = 0.2;
const N = 9000;
const HOLD_UP = 100;
/** s; nothing is evaluated before it, except where the void itself is to be found. */
const START = 130;
const PLACES = [190, 235, 300, 365, 430, 520, 610, 720, 800, 890, 1010, 1130, 1270, 1450];

interface Peak {
  readonly area: number;
  readonly at: number;
  readonly sigma: number;
  readonly tau: number;
  readonly overload: number;
  readonly kind: PeakClass;
}

interface Scene {
  readonly record: Chromatogram;
  readonly blank: Chromatogram | undefined;
  /** Baseline and peaks as they truly are, µS/cm; a dip belongs to neither. */
  readonly peaks: readonly Peak[];
  readonly signal: Float64Array;
  readonly baseline: Float64Array;
  /** Standard deviation of the widest peak, s. */
  readonly widest: number;
}

const uniform = (random: Random, from: number, to: number) => from + (to - from) * random.uniform();
const hasGradient = (name: SceneName) => name.includes("gradient");
const hasMajors = (name: SceneName) => name.startsWith("majors");
const hasDip = (name: SceneName) => name.includes("dip");

function makeScene(name: SceneName, seed: string): Scene {
  const random = createRandom(seed);
  const peaks = drawPeaks(name, random);
  const baseline = new Float64Array(N).fill(0.35);
  for (let i = 0; i < N; i++) baseline[i] += (0.004 * i * STEP) / 600;
  addWander(baseline, 0.006, random);
  if (hasGradient(name)) addGradient(baseline, uniform(random, 0.01, 0.03));
  const signal = new Float64Array(N);
  for (const peak of peaks) addPeak(signal, peak);
  const y = baseline.map((value, i) => value + signal[i]);
  if (hasDip(name)) {
    const at = name === "void dip" ? HOLD_UP : 660;
    for (let i = 0; i < N; i++) y[i] -= 300 * emg(i * STEP, at, 4, 6);
  }
  addNoise(y, STEP, LEVELS, streams(random));
  return {
    record: recordOf(seed, y),
    blank: name === "gradient + blank" ? blankOf(baseline, random) : undefined,
    peaks,
    signal,
    baseline,
    widest: Math.max(...peaks.map(({ sigma }) => sigma)),
  };
}

const LEVELS = { white: 5e-4, pink: 5e-4, pulsation: 2e-4 };

function streams(random: Random) {
  const next = () => createRandom(random.uint32());
  return { white: next(), pink: next(), pulsation: next() };
}

function recordOf(id: string, signal: Float64Array): Chromatogram {
  return makeChromatogram({ id, time: signal.map((_, i) => (i * STEP) / 60), signal });
}

/** Another injection of the same programme: 1.5 s late, 2 % weaker, with noise and wander of its own. */
function blankOf(baseline: Float64Array, random: Random): Chromatogram {
  const late = 1.5 / STEP;
  const y = baseline.map((_, i) => {
    const k = Math.max(i - late, 0);
    const whole = Math.floor(k);
    const value = baseline[whole] + (k - whole) * (baseline[Math.min(whole + 1, N - 1)] - baseline[whole]);
    return 0.98 * (value - 0.35) + 0.35;
  });
  addWander(y, 0.003, random);
  addNoise(y, STEP, LEVELS, streams(random));
  return recordOf("blank", y);
}

function drawPeaks(name: SceneName, random: Random): readonly Peak[] {
  return PLACES.map((place, i) => {
    const at = place + uniform(random, -8, 8);
    const sigma = hasGradient(name) || hasMajors(name) ? 3.2 + 0.0016 * at : 3 + 0.0062 * at;
    const tau = sigma * uniform(random, 0.15, 0.6);
    const trace = random.uniform() < 2 / 3;
    const low = 10 ** uniform(random, Math.log10(8e-3), Math.log10(4e-2));
    const high = 10 ** uniform(random, -1, 0.7);
    const plain = { at, sigma, tau, overload: 0, area: (trace ? low : high) * 2.7 * sigma };
    if (!hasMajors(name)) return { ...plain, kind: trace ? "trace" : "medium" };
    const [giant, large] = [uniform(random, 600, 1200), uniform(random, 60, 200)];
    const beside = uniform(random, 0.01, 0.04);
    if (i === 4)
      return { ...plain, area: giant * 2.7 * sigma, overload: uniform(random, 4, 10), kind: "major" };
    if (i === 9)
      return { ...plain, area: large * 2.7 * sigma, overload: uniform(random, 0.5, 2), kind: "major" };
    if ([3, 5, 8, 10].includes(i)) return { ...plain, area: beside * 2.7 * sigma, kind: "beside" };
    return { ...plain, kind: trace ? "trace" : "medium" };
  });
}

/** A smooth curve through random knots 300 s apart. */
function addWander(out: Float64Array, deviation: number, random: Random): void {
  const gap = 300 / STEP;
  const knots = Array.from({ length: Math.ceil(N / gap) + 4 }, () => deviation * random.normal());
  for (let i = 0; i < N; i++) {
    const k = Math.floor(i / gap);
    const x = i / gap - k;
    const [a, b, c, d] = knots.slice(k, k + 4);
    out[i] += b + 0.5 * x * (c - a + x * (2 * a - 5 * b + 4 * c - d + x * (3 * (b - c) + d - a)));
  }
}

/** 8 to 45 mM between 300 and 1500 s, later by the hold-up time and smeared by 20 s. */
function addGradient(out: Float64Array, perMillimolar: number): void {
  const rise = out.map((_, i) => {
    const share = (i * STEP - HOLD_UP - 300) / 1200;
    return perMillimolar * 37 * Math.min(Math.max(share, 0), 1);
  });
  const smeared = applyLag(exponentialLag(20, STEP), rise);
  for (let i = 0; i < N; i++) out[i] += smeared[i];
}

/** EMG, or an overloaded Gaussian (Haarhoff and Van der Linde 1966, from memory) with the same tail on a finer grid. */
function addPeak(out: Float64Array, { area, at, sigma, tau, overload }: Peak): void {
  if (overload === 0) {
    const [first, last] = [at - 9 * sigma, at + 9 * sigma + 40 * tau].map((t) => Math.round(t / STEP));
    for (let i = Math.max(first, 0); i <= Math.min(last, N - 1); i++)
      out[i] += area * emg(i * STEP, at, sigma, tau);
    return;
  }
  const FINER = 4;
  const bare = Float64Array.from({ length: N * FINER }, (_, i) => {
    const u = ((i * STEP) / FINER - at) / sigma;
    if (Math.abs(u) > 25) return 0;
    const gauss = Math.exp(-0.5 * u * u) / (sigma * Math.sqrt(2 * Math.PI));
    return gauss / (overload * (1 / Math.expm1(overload) + normalBelow(u)));
  });
  const lagged = applyLag(exponentialLag(tau, STEP / FINER), bare);
  for (let i = 0; i < N; i++) out[i] += area * lagged[FINER * i];
}

/** Φ(u) as the integral of an EMG with hardly any tail would cost too much: a rational form, error below 8e-8. */
function normalBelow(u: number): number {
  const t = 1 / (1 + 0.2316419 * Math.abs(u));
  const series =
    t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  const tail = (Math.exp(-0.5 * u * u) / Math.sqrt(2 * Math.PI)) * series;
  return u > 0 ? 1 - tail : tail;
}

const windowOf = ({ at, sigma, tau, overload, kind }: Peak) =>
  [at - 3.5 * sigma - (kind === "major" ? 0.35 * overload * sigma : 0), at + 3.5 * sigma + 5 * tau] as const;

/** What the baseline leaves between record and true peaks: its own error and the noise. */
function leftOver(scene: Scene, name: SceneName, method: StudiedMethod): Float64Array {
  const { record, blank, signal, baseline } = scene;
  if (method === "oracle") {
    const left = record.signal.map((value, i) => value - signal[i] - baseline[i]);
    return left;
  }
  const peakWidth = scene.widest / 60;
  const clean = blank === undefined ? record : subtractBlank(record, blank, { peakWidth }).chromatogram;
  const { values } = estimateBaseline(clean, {
    method,
    peakWidth,
    ...(name === "void dip" ? { holdUpTime: HOLD_UP / 60 } : { from: START / 60 }),
    ...(method === "masked"
      ? {
          excluded: scene.peaks.map(
            (peak) => windowOf(peak).map((t) => t / 60) as unknown as [number, number],
          ),
        }
      : {}),
  });
  return clean.signal.map((value, i) => value - signal[i] - values[i]);
}

/** Area errors relative to the true areas, by class. */
export type Errors = Map<PeakClass, number[]>;

/** Errors of one method over the scenes of these seeds; a peak on a dip, or before the baseline begins, is left out. */
export function study(name: SceneName, methods: readonly StudiedMethod[], seeds: readonly string[]) {
  const errors = new Map<StudiedMethod, Errors>(methods.map((method) => [method, new Map()]));
  for (const seed of seeds) {
    const scene = makeScene(name, `baseline study ${seed}`);
    for (const method of methods) {
      const left = leftOver(scene, name, method);
      for (const peak of scene.peaks) {
        const [from, to] = windowOf(peak);
        if (name === "dip inside" && to > 600 && from < 760) continue;
        let sum = 0;
        for (let i = Math.floor(from / STEP); i < Math.floor(to / STEP); i++) sum += left[i] * STEP;
        if (Number.isNaN(sum)) continue;
        const own = errors.get(method) as Errors;
        own.set(peak.kind, [...(own.get(peak.kind) ?? []), sum / peak.area]);
      }
    }
  }
  return errors;
}

export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(Math.floor(share * sorted.length), sorted.length - 1)];
}

export const medianError = (errors: readonly number[]) => quantile(errors, 0.5);
export const ninetieth = (errors: readonly number[]) => quantile(errors.map(Math.abs), 0.9);
