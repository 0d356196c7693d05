import { solveSymmetric } from "../../numeric/symmetric-system.js";

/** A least-squares problem in few parameters that fills residuals and derivatives of the model on request. */
export interface SmallProblem {
  readonly points: number;
  readonly start: Float64Array;
  readonly bounds: readonly (readonly [low: number, high: number])[];
  /** (y − model)·√w into `residuals`, ∂model/∂p·√w into `jacobian` (points × parameters). */
  evaluate(parameters: Float64Array, residuals: Float64Array, jacobian: Float64Array): void;
}

const MOST_STEPS = 30;
const MOST_TRIES = 8;
/** A step that lowers the sum of squares by less than this part is the last one. */
const SETTLED = 1e-5;

/**
 * Damped Gauss–Newton on the normal equations, steps cut at the bounds: for a handful of parameters and good starts,
 * always ends, and gives the start back where nothing is better.
 *
 * @source K. Levenberg 1944, D. W. Marquardt 1963 (from memory)
 */
export function dampedFit(problem: SmallProblem): Float64Array {
  const { points: n, bounds } = problem;
  const p = problem.start.length;
  let parameters = problem.start.slice();
  let residuals = new Float64Array(n);
  let jacobian = new Float64Array(n * p);
  let trialResiduals = new Float64Array(n);
  let trialJacobian = new Float64Array(n * p);
  problem.evaluate(parameters, residuals, jacobian);
  let squares = sumOfSquares(residuals);
  let damping = 1e-3;
  for (let step = 0; step < MOST_STEPS && Number.isFinite(squares); step++) {
    const { gram, right } = normalEquations(jacobian, residuals, p);
    let fall = 0;
    for (let attempt = 0; attempt < MOST_TRIES && fall === 0; attempt++) {
      const damped = gram.slice();
      for (let k = 0; k < p; k++) damped[k * p + k] *= 1 + damping;
      const delta = solveSymmetric(damped, right, p);
      const trial = parameters.map((v, k) => Math.min(Math.max(v + delta[k], bounds[k][0]), bounds[k][1]));
      problem.evaluate(trial, trialResiduals, trialJacobian);
      const sum = sumOfSquares(trialResiduals);
      if (sum < squares) {
        fall = squares - sum;
        squares = sum;
        parameters = trial;
        [residuals, trialResiduals] = [trialResiduals, residuals];
        [jacobian, trialJacobian] = [trialJacobian, jacobian];
        damping = Math.max(damping / 8, 1e-9);
      } else damping *= 8;
    }
    if (fall <= SETTLED * squares) break;
  }
  return parameters;
}

function normalEquations(jacobian: Float64Array, residuals: Float64Array, p: number) {
  const gram = new Float64Array(p * p);
  const right = new Float64Array(p);
  for (let i = 0, at = 0; i < residuals.length; i++, at += p) {
    for (let r = 0; r < p; r++) {
      const v = jacobian[at + r];
      if (v === 0) continue;
      right[r] += v * residuals[i];
      for (let c = 0; c <= r; c++) gram[r * p + c] += v * jacobian[at + c];
    }
  }
  for (let r = 0; r < p; r++) for (let c = 0; c < r; c++) gram[c * p + r] = gram[r * p + c];
  return { gram, right };
}

function sumOfSquares(values: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i] * values[i];
  return sum;
}
