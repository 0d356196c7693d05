import { IonbookError } from "../../errors.js";
import { carveFrom } from "../../numeric/carve.js";
import { workArrays } from "../../numeric/work-arrays.js";
import type { VarianceFunction } from "../response/types.js";

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
const GRID_STEP = (TO - FROM) / GRID;
const GRID_RATIOS = Float64Array.from({ length: GRID + 1 }, (_, i) => Math.exp(FROM + i * GRID_STEP));
const GOLDEN = (3 - Math.sqrt(5)) / 2;
/** So many shapes up to e^TO can be multiplied with one another. */
const MOST_FACTORS = 32;

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
  requireScatter(levels);
  return likeliestFunction(scatterTable(levels));
}

/** @throws IonbookError "no-replicates", "no-scatter" */
export function requireScatter(levels: readonly LevelScatter[]): void {
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
}

/** The scatter of all levels, column by column. */
export interface ScatterTable {
  /** Fitted or mean responses; may be written anew. */
  readonly responses: Float64Array;
  /** νⱼsⱼ² */
  readonly squares: Float64Array;
  readonly dofs: Float64Array;
  readonly dof: number;
  readonly sumOfSquares: number;
  /** The ν that all levels share, `undefined` where they differ or are too many. */
  readonly shared: number | undefined;
}

export function scatterTable(levels: readonly LevelScatter[]): ScatterTable {
  const squares = carveFrom(levels, ({ variance, dof }) => dof * variance);
  const dofs = carveFrom(levels, ({ dof }) => dof);
  let dof = 0;
  let sumOfSquares = 0;
  let alike = dofs.length <= MOST_FACTORS;
  for (let j = 0; j < dofs.length; j++) {
    dof += dofs[j];
    sumOfSquares += squares[j];
    if (dofs[j] !== dofs[0]) alike = false;
  }
  const responses = carveFrom(levels, ({ response }) => response);
  return { responses, squares, dofs, dof, sumOfSquares, shared: alike ? dofs[0] : undefined };
}

/** What `fitVarianceFunction` returns, of levels known to scatter. */
export function likeliestFunction(table: ScatterTable): VarianceFunction {
  const top = largestSize(table.responses);
  const parts = partsOf(table.responses, top);
  const at = lowestOf(table, parts);
  const ratio = at <= FROM + 1e-3 ? 0 : Math.exp(at);
  const scale = scaleOf(table, parts, ratio);
  // Beyond the other end the constant term is a rounding of nothing.
  return {
    s0: at >= TO - 1e-3 ? 0 : Math.sqrt(scale),
    theta: Math.sqrt(scale * ratio) / top,
    dof: table.dof,
  };
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
  { responses, squares, dofs, dof }: ScatterTable,
  shape: (response: number) => number,
): number {
  let sum = 0;
  let logs = 0;
  for (let j = 0; j < dofs.length; j++) {
    const own = shape(responses[j]);
    sum += squares[j] / own;
    logs += dofs[j] * Math.log(own);
  }
  return dof * (Math.log(sum / dof) + 1) + logs;
}

const partsArray = workArrays();

/** (y/y_max)² */
function partsOf(responses: Float64Array, top: number): Float64Array {
  const parts = partsArray(responses.length);
  for (let j = 0; j < parts.length; j++) parts[j] = (responses[j] / top) ** 2;
  return parts;
}

function largestSize(responses: Float64Array): number {
  let largest = 0;
  for (let j = 0; j < responses.length; j++) largest = Math.max(largest, Math.abs(responses[j]));
  return largest;
}

/**
 * What falls as the likelihood of the shapes 1 + ratio·part rises, at their best scale: −2 log L but for a constant;
 * where all k levels have the same ν, e^(−2 log L/ν) = (Σ sⱼ²/shapeⱼ)^k·Π shapeⱼ but for a factor, which needs no logarithm.
 */
export function unlikeliness(table: ScatterTable, parts: Float64Array, ratio: number): number {
  if (table.shared === undefined) return logUnlikeliness(table, parts, ratio);
  const { squares, sumOfSquares } = table;
  let sum = 0;
  let product = 1;
  for (let j = 0; j < parts.length; j++) {
    const shape = 1 + ratio * parts[j];
    sum += squares[j] / shape;
    product *= shape;
  }
  return product * wholePower(sum / sumOfSquares, parts.length);
}

function logUnlikeliness(
  { squares, dofs, dof, sumOfSquares }: ScatterTable,
  parts: Float64Array,
  ratio: number,
): number {
  let sum = 0;
  let logs = 0;
  for (let j = 0; j < parts.length; j++) {
    const shape = 1 + ratio * parts[j];
    sum += squares[j] / shape;
    logs += dofs[j] * Math.log(shape);
  }
  return dof * Math.log(sum / sumOfSquares) + logs;
}

function wholePower(base: number, exponent: number): number {
  let power = 1;
  let square = base;
  for (let left = exponent; left > 0; left >>= 1) {
    if (left & 1) power *= square;
    square *= square;
  }
  return power;
}

/** The best scale of the shapes 1 + ratio·part. */
export function scaleOf({ squares, dof }: ScatterTable, parts: Float64Array, ratio: number): number {
  let sum = 0;
  for (let j = 0; j < squares.length; j++) sum += squares[j] / (1 + ratio * parts[j]);
  return sum / dof;
}

/** ln ratio of the likeliest shapes, of which there may be more than one valley: a grid, then golden sections. */
function lowestOf(table: ScatterTable, parts: Float64Array): number {
  let best = FROM;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i <= GRID; i++) {
    const value = unlikeliness(table, parts, GRID_RATIOS[i]);
    if (value < least) {
      best = FROM + i * GRID_STEP;
      least = value;
    }
  }
  let low = Math.max(FROM, best - GRID_STEP);
  let high = Math.min(TO, best + GRID_STEP);
  let a = low + GOLDEN * (high - low);
  let b = high - GOLDEN * (high - low);
  let fa = unlikeliness(table, parts, Math.exp(a));
  let fb = unlikeliness(table, parts, Math.exp(b));
  for (let turn = 0; turn < TURNS; turn++) {
    if (fa <= fb) {
      high = b;
      b = a;
      fb = fa;
      a = low + GOLDEN * (high - low);
      fa = unlikeliness(table, parts, Math.exp(a));
    } else {
      low = a;
      a = b;
      fa = fb;
      b = high - GOLDEN * (high - low);
      fb = unlikeliness(table, parts, Math.exp(b));
    }
  }
  const middle = 0.5 * (low + high);
  return unlikeliness(table, parts, Math.exp(middle)) < least ? middle : best;
}
