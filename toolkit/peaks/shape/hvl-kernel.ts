import { hvlWithGradient } from "./hvl.js";
import { indicesWithin, type PeakKernel } from "./peak-kernel.js";

/** The peak without its exponential has fallen below 1e-15 of its height here, in σ; overload carries it further. */
const REACH = 8.3;
const REACH_OF_OVERLOAD = 0.15;
/** −ln 1e-15. */
const DECADES = 34.5;
/** Longest stretch, in σ, over which the peak is taken as a parabola. */
const STRETCH = 1 / 16;
/** Below this the closed moments cancel. */
const SMALL = 0.5;

/**
 * Overloaded peaks that a mixing volume smears: HVL ⊗ exponential (τ > 0 behind, τ < 0 before), unit area.
 *
 * The exponential is a one-pole filter run over stretches of at most σ/16, within which the peak is a parabola through
 * three of its values: y(t + H) = e^(−H/τ)·y(t) + Σ wⱼ xⱼ, wⱼ from the moments of the exponential, so that it holds
 * for every τ/H. The columns are the exact derivatives of what is computed.
 *
 * @source HVL: `hvlWithGradient`; filter derived
 */
export const hvlKernel: PeakKernel = {
  further: [
    { name: "tau", additive: false },
    { name: "q", additive: true },
  ],
  write(axis, [mu, sigma, tau, q], columns, reach) {
    const side = tau < 0 ? -1 : 1;
    const length = Math.abs(tau);
    const far = (REACH + REACH_OF_OVERLOAD * Math.abs(q)) * sigma;
    const behind = far + DECADES * length;
    indicesWithin(axis, mu - (side > 0 ? far : behind), mu + (side > 0 ? behind : far), reach);
    const filter = new Filter(mu, sigma, length, side * q, far);
    const [f, byMu, bySigma, byTau, byQ] = columns;
    const count = reach[1] - reach[0] + 1;
    for (let j = 0; j < count; j++) {
      const i = side > 0 ? reach[0] + j : reach[1] - j;
      filter.advance(mu + side * (axis.time[i] - mu));
      f[i] = filter.state[0];
      byMu[i] = side * filter.state[1];
      bySigma[i] = filter.state[2];
      byQ[i] = side * filter.state[3];
      byTau[i] = filter.state[4];
    }
  },
};

class Filter {
  /** y, ∂y/∂μ, ∂y/∂ln σ, ∂y/∂q, ∂y/∂ln τ at the present time. */
  readonly state = new Float64Array(5);
  private time: number;
  private stretch = Number.NaN;
  private fade = 0;
  /** Weights of the values at the end, middle and beginning of a stretch, and their derivatives by ln τ. */
  private readonly weights = new Float64Array(6);
  private readonly here = new Float64Array(4);
  private readonly middle = new Float64Array(4);
  private readonly next = new Float64Array(4);

  constructor(
    private readonly mu: number,
    private readonly sigma: number,
    private readonly tau: number,
    private readonly q: number,
    private readonly far: number,
  ) {
    this.time = mu - far;
    hvlWithGradient(this.time, mu, sigma, q, this.here);
  }

  advance(to: number): void {
    const steps = Math.max(Math.ceil((to - this.time) / (STRETCH * this.sigma)), 1);
    const stretch = (to - this.time) / steps;
    if (!(Math.abs(stretch - this.stretch) <= 1e-9 * stretch)) this.prepare(stretch);
    for (let s = 0; s < steps; s++) this.step(this.time + stretch);
    this.time = to;
  }

  private prepare(stretch: number): void {
    this.stretch = stretch;
    const k = stretch / this.tau;
    this.fade = Math.exp(-k);
    const moments = exponentialMoments(k);
    this.setWeights(moments, 0);
    // ∂Mⱼ/∂ln τ = k·Mⱼ₊₁ − Mⱼ.
    this.setWeights(
      [0, 1, 2].map((j) => k * moments[j + 1] - moments[j]),
      3,
    );
  }

  private setWeights([m0, m1, m2]: readonly number[], at: number): void {
    this.weights[at] = m0 - 3 * m1 + 2 * m2;
    this.weights[at + 1] = 4 * (m1 - m2);
    this.weights[at + 2] = 2 * m2 - m1;
  }

  private step(end: number): void {
    const { state, weights, fade, here, middle, next, mu, sigma, q } = this;
    const k = this.stretch / this.tau;
    if (end - mu > this.far + this.stretch) {
      middle.fill(0);
      next.fill(0);
    } else {
      hvlWithGradient(end - 0.5 * this.stretch, mu, sigma, q, middle);
      hvlWithGradient(end, mu, sigma, q, next);
    }
    state[4] =
      fade * (state[4] + k * state[0]) + weights[3] * next[0] + weights[4] * middle[0] + weights[5] * here[0];
    for (let c = 0; c < 4; c++)
      state[c] = fade * state[c] + weights[0] * next[c] + weights[1] * middle[c] + weights[2] * here[c];
    here.set(next);
    this.time = end;
  }
}

/** Mⱼ = ∫₀¹ k·e^(−kp)·pʲ dp, j = 0…3. */
function exponentialMoments(k: number): readonly number[] {
  if (k < SMALL) return [0, 1, 2, 3].map((j) => momentSeries(k, j));
  const fade = Math.exp(-k);
  const out = [1 - fade];
  for (let j = 1; j <= 3; j++) out.push((j * out[j - 1]) / k - fade);
  return out;
}

/** k·Σ (−k)ⁿ/(n!·(n + j + 1)). */
function momentSeries(k: number, j: number): number {
  let [sum, power] = [0, 1];
  for (let n = 0; n < 20; n++) {
    sum += power / (n + j + 1);
    power *= -k / (n + 1);
  }
  return k * sum;
}
