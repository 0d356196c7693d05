import { IonbookError } from "../../errors.js";
import { carveFrom } from "../../numeric/carve.js";
import { workArrays } from "../../numeric/work-arrays.js";

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
/** Ratios over which the expected function is a mean. */
const STEPS = 24;
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
  return likeliestFunction(scatterTable(levels));
}

/** The scatter of all levels, column by column. */
export interface ScatterTable {
  readonly responses: Float64Array;
  readonly variances: Float64Array;
  readonly dofs: Float64Array;
}

export function scatterTable(levels: readonly LevelScatter[]): ScatterTable {
  return {
    responses: carveFrom(levels, ({ response }) => response),
    variances: carveFrom(levels, ({ variance }) => variance),
    dofs: carveFrom(levels, ({ dof }) => dof),
  };
}

/** What `fitVarianceFunction` returns, of levels known to scatter. */
export function likeliestFunction(table: ScatterTable): VarianceFunction {
  const top = largestSize(table.responses);
  const squares = squaresOf(table.responses, top);
  const at = lowestOf((log) => twiceMinusLog(table, squares, Math.exp(log)));
  const ratio = at <= FROM + 1e-3 ? 0 : Math.exp(at);
  const { scale, dof } = scaleOf(table, squares, ratio);
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
  const table = scatterTable(levels);
  return twiceMinusLog(
    table,
    table.responses.map((response) => shape(response)),
    undefined,
  );
}

const squaresArray = workArrays();

function squaresOf(responses: Float64Array, top: number): Float64Array {
  const squares = squaresArray(responses.length);
  for (let j = 0; j < squares.length; j++) squares[j] = (responses[j] / top) ** 2;
  return squares;
}

function largestSize(responses: Float64Array): number {
  let largest = 0;
  for (let j = 0; j < responses.length; j++) largest = Math.max(largest, Math.abs(responses[j]));
  return largest;
}

/** −2 log L at the best scale, of the shapes 1 + ratio·square, or of the shapes as they are given. */
function twiceMinusLog(
  { variances, dofs }: ScatterTable,
  squares: Float64Array,
  ratio: number | undefined,
): number {
  let dof = 0;
  let sum = 0;
  let logs = 0;
  for (let j = 0; j < dofs.length; j++) {
    const shape = ratio === undefined ? squares[j] : 1 + ratio * squares[j];
    dof += dofs[j];
    sum += (dofs[j] * variances[j]) / shape;
    logs += dofs[j] * Math.log(shape);
  }
  return dof * (Math.log(sum / dof) + 1) + logs;
}

/** The best scale of the shapes 1 + ratio·square. */
function scaleOf({ variances, dofs }: ScatterTable, squares: Float64Array, ratio: number) {
  let dof = 0;
  let sum = 0;
  for (let j = 0; j < dofs.length; j++) {
    dof += dofs[j];
    sum += (dofs[j] * variances[j]) / (1 + ratio * squares[j]);
  }
  return { scale: sum / dof, dof };
}

/** The lowest point of a smooth function that may have more than one valley: a grid, then golden sections. */
function lowestOf(f: (log: number) => number): number {
  const step = (TO - FROM) / GRID;
  let best = FROM;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i <= GRID; i++) {
    const value = f(FROM + i * step);
    if (value < least) {
      best = FROM + i * step;
      least = value;
    }
  }
  let low = Math.max(FROM, best - step);
  let high = Math.min(TO, best + step);
  let a = low + GOLDEN * (high - low);
  let b = high - GOLDEN * (high - low);
  let fa = f(a);
  let fb = f(b);
  for (let turn = 0; turn < TURNS; turn++) {
    if (fa <= fb) {
      high = b;
      b = a;
      fb = fa;
      a = low + GOLDEN * (high - low);
      fa = f(a);
    } else {
      low = a;
      a = b;
      fa = fb;
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
export function expectedVarianceFunction(table: ScatterTable): VarianceFunction {
  const top = largestSize(table.responses);
  const squares = squaresOf(table.responses, top);
  const from = -MARGIN;
  const to = 2 * Math.log(top / smallestSize(table.responses)) + MARGIN;
  const ratioAt = (i: number) => Math.exp(from + ((to - from) * i) / STEPS);
  const logs = logsArray(STEPS + 1);
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i <= STEPS; i++) {
    logs[i] = twiceMinusLog(table, squares, ratioAt(i));
    least = Math.min(least, logs[i]);
  }
  let total = 0;
  let constant = 0;
  let relative = 0;
  let dof = 0;
  for (let i = 0; i <= STEPS; i++) {
    const ratio = ratioAt(i);
    const found = scaleOf(table, squares, ratio);
    const weight = Math.exp(0.5 * (least - logs[i]));
    dof = found.dof;
    total += weight;
    constant += weight * found.scale ** POWER;
    relative += weight * (found.scale * ratio) ** POWER;
  }
  const root = (sum: number) => (sum / total) ** (0.5 / POWER);
  return { s0: root(constant), theta: root(relative) / top, dof };
}

const logsArray = workArrays();

function smallestSize(responses: Float64Array): number {
  let smallest = Number.POSITIVE_INFINITY;
  for (let j = 0; j < responses.length; j++) {
    const size = Math.abs(responses[j]);
    if (size > 0) smallest = Math.min(smallest, size);
  }
  return smallest;
}
