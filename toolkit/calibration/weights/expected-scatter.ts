import { carve } from "../../numeric/carve.js";
import { chiSquaredUpperTail, studentQuantile } from "../../numeric/distributions.js";
import { type ScatterTable, scaleOf, unlikeliness } from "./variance-function.js";

/** What the replicates let one expect of the scatter of the next reading. */
export interface ExpectedScatter {
  /** Variance of a reading of this response. */
  variance(response: number): number;
  /** Degrees of freedom of that variance, a whole number. */
  dof(response: number): number;
  /**
   * p of the replicates' variances under this form, Bartlett's test with the fitted v in place of one pooled variance:
   * χ² = Σ νⱼ ln(vⱼ/sⱼ²)/C of k − 2 degrees of freedom, C = 1 + (Σ 1/νⱼ − 1/Σνⱼ)/[3(k − 2)]. Undefined for two levels and
   * where a level's replicates agree to the last digit.
   */
  formP(): number | undefined;
}

/** How far ln r may lie beyond scatter that does not grow at all, or grows in proportion. */
const BEYOND = 2;
/** Wider than three decades and a half the lowest level says nothing of the highest. */
const WIDEST = 16;
const GRID = 16;
const FINEST = 1e-7;

/**
 * Variance of the next reading, and its degrees of freedom, from a variance that rises linearly with y² between its
 * values at the ends of the range, as v = s₀² + (θy)² does:
 *
 *     v(y) = σ²·[1 + (r − 1)·z],   z = (y² − y_low²)/(y_high² − y_low²)
 *     −2 log L = Σ νⱼ[ln vⱼ + sⱼ²/vⱼ]  →  min over σ² and r
 *     1/ν(y) = 1/ν₀ + [d(y) − d̄]²/Σ νⱼ(dⱼ − d̄)²,   d = ∂ln v/∂ln r = r·z/[1 + (r − 1)·z],  d̄ = Σ νⱼdⱼ/Σ νⱼ
 *
 * sⱼ² variance of level j with νⱼ degrees of freedom, ν₀ those of the curve's residuals, which carry the scale. Nearly the
 * freest v is wanted here: with s₀, θ ≥ 0, even scatter and scatter in proportion lie on the edge of what is allowed, so that
 * the best values err to one side only and promise too much at one end and too little in the middle. r may therefore
 * pass both edges, by e² and no more, which holds v above zero where a level's replicates happen to agree. ν(y) is
 * Satterthwaite's: at an end of the range hardly more than that level's own, between the ends that of a sum of two variances. It is cut to
 * a whole number, as a table of t is entered, and v lowered so that the cut leaves the 95 % interval as it is.
 *
 * Below the lowest response v is that of the lowest; above the highest it does not fall.
 *
 * @param dof ν₀
 * @source gamma likelihood of sample variances and its information (derived); ν = 2v²/Var(v): F. E. Satterthwaite,
 *   Biometrics Bulletin 2 (1946) 110 (from memory)
 */
export function expectedScatter(table: ScatterTable, dof: number): ExpectedScatter {
  const range = rangeOf(table.responses);
  const parts = carve(table.responses.length);
  for (let j = 0; j < parts.length; j++) parts[j] = partOf(range, table.responses[j]);
  const ratio = likeliestRatio(
    table,
    parts,
    -BEYOND,
    Math.min(Math.log(range.high / range.low), WIDEST) + BEYOND,
  );
  const scale = scaleOf(table, parts, ratio - 1);
  const { mean, spread } = leaningOf(table, parts, ratio);
  const at = (response: number): { readonly variance: number; readonly dof: number } => {
    const part = partOf(range, response);
    const off = leaning(ratio, Math.min(part, 1)) - mean;
    const own = off === 0 ? dof : 1 / (1 / dof + off ** 2 / spread);
    const growth = Math.max(1 + (ratio - 1) * part, part > 1 ? ratio : 0);
    const whole = Math.max(1, Math.floor(Math.min(dof, own)));
    return { variance: scale * growth * cutTo(whole, own) ** 2, dof: whole };
  };
  return {
    variance: (response) => at(response).variance,
    dof: (response) => at(response).dof,
    formP: () => formP(table, (j) => scale * (1 + (ratio - 1) * parts[j])),
  };
}

function formP(
  { squares, dofs, dof }: ScatterTable,
  varianceOf: (level: number) => number,
): number | undefined {
  const free = dofs.length - 2;
  if (free < 1) return undefined;
  let statistic = 0;
  let inverse = -1 / dof;
  for (let j = 0; j < dofs.length; j++) {
    if (!(squares[j] > 0)) return undefined;
    statistic += dofs[j] * Math.log((varianceOf(j) * dofs[j]) / squares[j]);
    inverse += 1 / dofs[j];
  }
  return chiSquaredUpperTail(Math.max(0, statistic / (1 + inverse / (3 * free))), free);
}

/** Smallest and largest y². */
interface Range {
  readonly low: number;
  readonly high: number;
}

function rangeOf(responses: Float64Array): Range {
  let low = Number.POSITIVE_INFINITY;
  let high = 0;
  for (let j = 0; j < responses.length; j++) {
    const square = responses[j] ** 2;
    low = Math.min(low, square);
    high = Math.max(high, square);
  }
  return { low, high };
}

/** z, not below 0. */
function partOf({ low, high }: Range, response: number): number {
  return high > low ? Math.max(0, (response ** 2 - low) / (high - low)) : 0;
}

/** d */
function leaning(ratio: number, part: number): number {
  return (ratio * part) / (1 + (ratio - 1) * part);
}

/** d̄ and Σ νⱼ(dⱼ − d̄)² */
function leaningOf({ dofs, dof }: ScatterTable, parts: Float64Array, ratio: number) {
  let mean = 0;
  for (let j = 0; j < parts.length; j++) mean += (dofs[j] / dof) * leaning(ratio, parts[j]);
  let spread = 0;
  for (let j = 0; j < parts.length; j++) spread += dofs[j] * (leaning(ratio, parts[j]) - mean) ** 2;
  return { mean, spread };
}

/** r between two ln r: a grid, then the better neighbour at half the step, again and again. */
function likeliestRatio(table: ScatterTable, parts: Float64Array, from: number, to: number): number {
  const at = (log: number) => unlikeliness(table, parts, Math.exp(log) - 1);
  let step = (to - from) / GRID;
  let best = from;
  let least = at(from);
  for (let i = 1; i <= GRID; i++) {
    const value = at(from + i * step);
    if (!(value < least)) continue;
    least = value;
    best = from + i * step;
  }
  for (step /= 2; step > FINEST; step /= 2) {
    for (const log of [best - step, best + step]) {
      if (log < from || log > to) continue;
      const value = at(log);
      if (!(value < least)) continue;
      least = value;
      best = log;
      break;
    }
  }
  return Math.exp(best);
}

/** t of ν over t of the whole number below it, at 95 %; ln t between two whole numbers linear in 1/ν. */
function cutTo(whole: number, dof: number): number {
  if (!(dof > whole) || dof >= whole + 1) return 1;
  const part = ((dof - whole) * (whole + 1)) / dof;
  return (studentQuantile(0.975, whole + 1) / studentQuantile(0.975, whole)) ** part;
}
