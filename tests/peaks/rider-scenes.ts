// Invented records of one small peak on the flank of a giant, of known area. Only the first form is a sum of
// exponentials, the form the method itself assumes; the others are not. Sizes (σ 5 s at 5 Hz, height/noise 30,
// σ and τ known to 3 and 6 %, major alone at ± 3 % of the amount): the laboratory's handbook on peaks, §6.
import { createRandom, type Random } from "../../toolkit/numeric/random.js";
import { normalCdf } from "../../toolkit/numeric/special-functions.js";
import { emg, emgApexShift } from "../../toolkit/peaks/shape/emg.js";

export const SIGMA = 25;
const TAU = 0.4 * SIGMA;
const INTERVAL = 0.2;
const LENGTH = 1800;
const CENTRE = 750;
const SIGNAL_TO_NOISE = 30;

/** What the giant is made of. */
export type GiantForm =
  /** Overload of degree q, an exponential, and 1.3 % in slow exponentials of 2.5, 6 and 15 σ. */
  | "slow exponentials"
  | "overloaded, slow exponentials"
  /** 1.3 % in a tail that falls as (1 + t/2σ)^−2.5. */
  | "power law"
  /** A log-normal peak with 1.3 % in a log-normal tail: no exponential and no Gaussian in it. */
  | "log-normal"
  /** 0.4 % of the area leads the peak as an exponential of 1.5 σ. */
  | "leading edge";

/** Total standard deviation of the 1/f noise over that of the white noise. */
export type PinkShare = 0 | 1 | 3;

export interface RiderScene {
  readonly y: Float64Array;
  /** Apex and σ of the giant, samples. */
  readonly giant: { readonly apex: number; readonly sigma: number; readonly height: number };
  /** What the standards and the detector say of the rider: its shape within 3 and 6 %, its apex within 0.1 σ. */
  readonly rider: { readonly apex: number; readonly sigma: number; readonly tau: number };
  readonly area: number;
  readonly height: number;
  /** Signal of the giant under the rider's apex over the rider's height. */
  readonly burden: number;
  readonly white: number;
  /** Autocovariance of the noise by lag. */
  readonly covariance: Float64Array;
  /** Another injection: the major alone. */
  readonly alone: { readonly values: Float64Array; readonly apex: number };
}

export function riderScene(
  seed: string,
  form: GiantForm,
  ratio: number,
  gap: number,
  pink: PinkShare,
): RiderScene {
  const random = createRandom(seed);
  const pure = giantSignal(form, ratio, CENTRE, 1);
  const apex = largest(pure);
  const top = apex + gap * SIGMA;
  const small = Float64Array.from(pure, (_, i) => emg(i, top - emgApexShift(0.4) * SIGMA, SIGMA, TAU));
  const height = small[largest(small)];
  const white = height / SIGNAL_TO_NOISE;
  const noise = drawNoise(random, LENGTH, white, pink * white);
  const amount = 1 + 0.03 * random.normal();
  const other = giantSignal(form, ratio, CENTRE + 2 * random.normal(), amount);
  const otherNoise = drawNoise(random, LENGTH, white, pink * white);
  const values = other.map((value, i) => value + otherNoise[i]);
  return {
    y: pure.map((value, i) => value + small[i] + noise[i]),
    giant: { apex, sigma: SIGMA, height: pure[apex] },
    rider: {
      apex: top + 0.1 * SIGMA * random.normal(),
      sigma: SIGMA * (1 + 0.03 * random.normal()),
      tau: TAU * (1 + 0.06 * random.normal()),
    },
    area: 1,
    height,
    burden: pure[Math.round(top)] / height,
    white,
    covariance: covarianceOf(LENGTH, white, pink * white),
    alone: { values, apex: largest(values) },
  };
}

function giantSignal(form: GiantForm, ratio: number, mu: number, amount: number): Float64Array {
  const area = ratio * amount;
  if (form === "log-normal") {
    const core = lagged(logNormal(mu, SIGMA, 0.12), 0.2 * SIGMA);
    return mixed(core, [[0.013, spread(core, (t) => logNormalKernel(t / (4 * SIGMA)))]], area);
  }
  const q = (form === "overloaded, slow exponentials" ? 4 : 0.5) * amount;
  const core = lagged(overloaded(mu, SIGMA, q), TAU);
  if (form === "power law")
    return mixed(core, [[0.013, spread(core, (t) => (1 + t / (2 * SIGMA)) ** -2.5)]], area);
  const parts: [number, Float64Array][] = [
    [0.007, lagged(core, 2.5 * SIGMA)],
    [0.004, lagged(core, 6 * SIGMA)],
    [0.002, lagged(core, 15 * SIGMA)],
  ];
  if (form === "leading edge") parts.push([0.004, lagged(core.slice().reverse(), 1.5 * SIGMA).reverse()]);
  return mixed(core, parts, area);
}

function mixed(
  core: Float64Array,
  parts: readonly (readonly [number, Float64Array])[],
  area: number,
): Float64Array {
  const rest = 1 - parts.reduce((sum, [share]) => sum + share, 0);
  return core.map(
    (value, i) => area * parts.reduce((sum, [share, part]) => sum + share * part[i], rest * value),
  );
}

/** Haarhoff–Van der Linde peak of unit area. */
function overloaded(mu: number, sigma: number, q: number): Float64Array {
  return Float64Array.from({ length: LENGTH }, (_, i) => {
    const u = (i - mu) / sigma;
    const phi = Math.exp(-0.5 * u * u) / (sigma * Math.sqrt(2 * Math.PI));
    return phi / q / (1 / Math.expm1(q) + normalCdf(u));
  });
}

/** Log-normal peak of unit area with the standard deviation σ, centre of its logarithm at μ. */
function logNormal(mu: number, sigma: number, shape: number): Float64Array {
  const scale = sigma / shape;
  return Float64Array.from({ length: LENGTH }, (_, i) => {
    const x = 1 + (i - mu) / scale;
    if (x <= 0) return 0;
    return Math.exp(-0.5 * (Math.log(x) / shape) ** 2) / (x * scale * shape * Math.sqrt(2 * Math.PI));
  });
}

function logNormalKernel(x: number): number {
  return x <= 0 ? 0 : Math.exp(-0.5 * Math.log(x) ** 2) / x;
}

/** One-pole filter: convolution with an exponential of constant τ. */
function lagged(x: Float64Array, tau: number): Float64Array {
  const a = Math.exp(-1 / tau);
  let state = 0;
  return x.map((value) => (state = a * state + (1 - a) * value));
}

/** Convolution with a kernel over positive times, normalised to unit sum. */
function spread(x: Float64Array, kernel: (t: number) => number): Float64Array {
  const k = Float64Array.from({ length: x.length }, (_, i) => kernel(i + 0.5));
  const sum = k.reduce((s, value) => s + value, 0);
  const out = new Float64Array(x.length);
  for (let j = 0; j < x.length; j++) {
    if (x[j] < 1e-14) continue;
    for (let i = j; i < x.length; i++) out[i] += (x[j] * k[i - j]) / sum;
  }
  return out;
}

const OCTAVES = 12;
const decayOf = (octave: number) => Math.exp((-2 * Math.PI * INTERVAL * 2 ** octave) / 3000);

/** White noise and 1/f noise made of octave-spaced first-order autoregressive processes. */
export function drawNoise(random: Random, length: number, white: number, pink: number): Float64Array {
  const out = Float64Array.from({ length }, () => white * random.normal());
  if (pink === 0) return out;
  for (let octave = 0; octave <= OCTAVES; octave++) {
    const a = decayOf(octave);
    const step = Math.sqrt(1 - a * a);
    let state = random.normal();
    for (let i = 0; i < length; i++) {
      if (i > 0) state = a * state + step * random.normal();
      out[i] += (pink / Math.sqrt(OCTAVES + 1)) * state;
    }
  }
  return out;
}

/** Autocovariances of white noise of unit variance with a share of 1/f noise: each is worked out once. */
const unitCovariances = new Map<string, Float64Array>();

export function covarianceOf(length: number, white: number, pink: number): Float64Array {
  const share = white > 0 ? Number((pink / white).toPrecision(12)) : 0;
  const key = `${length} ${share}`;
  let unit = unitCovariances.get(key);
  if (unit === undefined) {
    unit = Float64Array.from({ length }, (_, lag) => {
      let sum = 0;
      for (let octave = 0; octave <= OCTAVES; octave++) sum += decayOf(octave) ** lag;
      return (lag === 0 ? 1 : 0) + (share * share * sum) / (OCTAVES + 1);
    });
    unitCovariances.set(key, unit);
  }
  return unit.map((value) => white * white * value);
}

/** √(h Γ h′). */
export function scatterBy(covariance: Float64Array, weights: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < weights.length; i++) {
    let row = 0.5 * covariance[0] * weights[i];
    for (let j = 0; j < i; j++) row += covariance[i - j] * weights[j];
    sum += 2 * weights[i] * row;
  }
  return Math.sqrt(Math.max(sum, 0));
}

function largest(values: Float64Array): number {
  let at = 0;
  for (let i = 1; i < values.length; i++) if (values[i] > values[at]) at = i;
  return at;
}
