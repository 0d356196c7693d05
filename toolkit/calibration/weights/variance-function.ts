import { IonbookError } from "../../errors.js";

/** How the scatter of readings grows with the response: v = s₀² + (θy)². */
export interface VarianceFunction {
  /** Standard deviation at zero response, in the response's unit. */
  readonly s0: number;
  /** Relative standard deviation far above it. */
  readonly theta: number;
  /** Sum of the degrees of freedom of the replicate variances it rests on. */
  readonly dof: number;
}

/** The scatter of the replicates of one level. */
export interface LevelScatter {
  /** Fitted or mean response of the level. */
  readonly response: number;
  readonly variance: number;
  readonly dof: number;
}

/** log θ²y_max²/s₀² is sought between these; at the ends one of the two terms is nothing. */
const FROM = -9;
const TO = 18;
const GRID = 18;
const TURNS = 18;
/** How far ln ρ may lie beyond the values at which both terms agree at an end level. */
const MARGIN = 4;
const POWER = 0.75;
const GOLDEN = (3 - Math.sqrt(5)) / 2;

/**
 * Variance function v = s₀² + (θy)² of the replicates' variances by maximum likelihood, s₀, θ ≥ 0:
 *
 *     −2 log L = Σ νⱼ[ln vⱼ + sⱼ²/vⱼ]  →  min
 *
 * sⱼ² variance of level j with νⱼ degrees of freedom, yⱼ its response. Normal readings; two levels or more whose
 * responses differ.
 *
 * @throws IonbookError "no-replicates", "no-scatter"
 * @source gamma likelihood of sample variances (derived); form of v: D. M. Rocke and S. Lorenzato, Technometrics 37
 *   (1995) 176 (from memory)
 */
export function fitVarianceFunction(levels: readonly LevelScatter[]): VarianceFunction {
  if (levels.length < 2) {
    throw new IonbookError(
      "no-replicates",
      `A variance function needs replicates on at least two levels, there are ${levels.length}: inject levels again, or choose "1/x^2"`,
    );
  }
  if (!levels.some(({ variance }) => variance > 0)) {
    throw new IonbookError(
      "no-scatter",
      "All replicates agree to the last digit: there is no scatter to follow",
    );
  }
  const top = Math.max(...levels.map(({ response }) => Math.abs(response)));
  const squares = Float64Array.from(levels, ({ response }) => (response / top) ** 2);
  const at = lowestOf((log) => profile(levels, squares, Math.exp(log)).twiceMinusLog);
  const ratio = at <= FROM + 1e-3 ? 0 : Math.exp(at);
  const { scale, dof } = profile(levels, squares, ratio);
  // Beyond the other end the constant term is a rounding of nothing.
  return { s0: at >= TO - 1e-3 ? 0 : Math.sqrt(scale), theta: Math.sqrt(scale * ratio) / top, dof };
}

/** v of a response. */
export function varianceAt({ s0, theta }: VarianceFunction, response: number): number {
  return s0 * s0 + (theta * response) ** 2;
}

/**
 * What −2 log L says of the replicates under a variance of the form scale·shape(y), scale at its best value: the
 * smaller, the likelier.
 */
export function twiceMinusLogLikelihood(
  levels: readonly LevelScatter[],
  shape: (response: number) => number,
): number {
  const shapes = Float64Array.from(levels, ({ response }) => shape(response));
  return profileOf(levels, shapes).twiceMinusLog;
}

function profile(levels: readonly LevelScatter[], squares: Float64Array, ratio: number) {
  return profileOf(
    levels,
    squares.map((square) => 1 + ratio * square),
  );
}

function profileOf(levels: readonly LevelScatter[], shapes: Float64Array) {
  let dof = 0;
  let sum = 0;
  let logs = 0;
  for (let j = 0; j < levels.length; j++) {
    const { variance, dof: own } = levels[j];
    dof += own;
    sum += (own * variance) / shapes[j];
    logs += own * Math.log(shapes[j]);
  }
  const scale = sum / dof;
  return { scale, dof, twiceMinusLog: dof * (Math.log(scale) + 1) + logs };
}

/** The lowest point of a smooth function that may have more than one valley: a grid, then golden sections. */
function lowestOf(f: (log: number) => number): number {
  const step = (TO - FROM) / GRID;
  let best = FROM;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i <= GRID; i++) {
    const value = f(FROM + i * step);
    if (value < least) [best, least] = [FROM + i * step, value];
  }
  let [low, high] = [Math.max(FROM, best - step), Math.min(TO, best + step)];
  let a = low + GOLDEN * (high - low);
  let b = high - GOLDEN * (high - low);
  let [fa, fb] = [f(a), f(b)];
  for (let turn = 0; turn < TURNS; turn++) {
    if (fa <= fb) {
      [high, b, fb] = [b, a, fa];
      a = low + GOLDEN * (high - low);
      fa = f(a);
    } else {
      [low, a, fa] = [a, b, fb];
      b = high - GOLDEN * (high - low);
      fb = f(b);
    }
  }
  const middle = 0.5 * (low + high);
  return f(middle) < least ? middle : best;
}

/**
 * The variance function to expect for the next reading, v̄ = s̄₀² + (θ̄y)²: the mean of v over all ratios θ/s₀, each with
 * the likelihood that the replicates give it. The likeliest function has s₀ = 0 in nearly half of all calibrations and
 * promises too much at the low end; the mean does not.
 *
 *     s̄₀² = ⟨σ_ρ^2p⟩^1/p,  θ̄² = ⟨(ρσ²_ρ)^p⟩^1/p,  ⟨·⟩ = ∫ L(ρ) · d ln ρ / ∫ L(ρ) d ln ρ   ρ = (θ/s₀)²,  σ²_ρ = Σνⱼ sⱼ²/(1 + ρyⱼ²)/Σνⱼ
 *
 * p = 3/4, between the mean variance and the square of the mean deviation, is what makes the intervals of a simulation
 * true at the ends and in the middle of the range alike (tests/score). ln ρ even between the ratios at which one of the two terms is nothing at all levels.
 *
 * @source posterior mean under a flat prior of ln ρ (derived)
 */
export function expectedVarianceFunction(levels: readonly LevelScatter[]): VarianceFunction {
  const sizes = levels.map(({ response }) => Math.abs(response)).filter((size) => size > 0);
  const top = Math.max(...sizes);
  const squares = Float64Array.from(levels, ({ response }) => (response / top) ** 2);
  const from = -MARGIN;
  const to = 2 * Math.log(top / Math.min(...sizes)) + MARGIN;
  const steps = 24;
  const all = Array.from({ length: steps + 1 }, (_, i) => {
    const ratio = Math.exp(from + ((to - from) * i) / steps);
    return { ratio, ...profile(levels, squares, ratio) };
  });
  const least = Math.min(...all.map(({ twiceMinusLog }) => twiceMinusLog));
  let [total, constant, relative] = [0, 0, 0];
  for (const { ratio, scale, twiceMinusLog } of all) {
    const weight = Math.exp(0.5 * (least - twiceMinusLog));
    total += weight;
    constant += weight * scale ** POWER;
    relative += weight * (scale * ratio) ** POWER;
  }
  const root = (sum: number) => (sum / total) ** (0.5 / POWER);
  return { s0: root(constant), theta: root(relative) / top, dof: all[0].dof };
}
