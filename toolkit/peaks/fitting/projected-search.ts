import { BoundedSteps, longest } from "./bounded-steps.js";
import type { ProjectedProblem } from "./projected-problem.js";

export interface SearchEnd {
  readonly parameters: Float64Array;
  readonly cost: number;
  readonly iterations: number;
  readonly evaluations: number;
  readonly converged: boolean;
  readonly reason: string;
}

/** No parameter (μ in σ, ln σ, ln τ, q, α) moves further than this in the first step. */
const FIRST_REACH = 0.5;
const LONGEST_REACH = 4;
/** Steps shorter than this move nothing that could be seen. */
const SHORTEST_REACH = 1e-9;
/** Bounds can turn a whole step uphill; one as short as this still goes down where there is a down. */
const SHORT_REACH = 0.02;
/** An undamped step that promises less than this part of the sum of squares has arrived. */
const ARRIVED = 1e-9;
/** Steps that lower the sum of squares by less than this share of a reading's variance: parameters move by under 1/30 u. */
const UNSEEN = 1e-3;
const IDLE_STEPS = 3;
/** A step is taken when it gains at least this part of its promise. */
const LEAST_GAIN = 1e-4;

/**
 * Gauss–Newton steps on the projected problem, damped as far as no parameter moves further than the present reach,
 * which follows the ratio of each step's gain to its promise; parameters stop at their bounds, and one that the fit
 * pushes outwards there, or that moves nothing (a peak without area), is left out of the step.
 *
 * @source K. Levenberg 1944; choice of the damping by a trusted region: J. J. Moré 1978 (both from memory)
 */
export function searchProjected(problem: ProjectedProblem, maxIterations: number): SearchEnd {
  const { size } = problem;
  const steps = new BoundedSteps(problem);
  const { full, step } = steps;
  let parameters = new Float64Array(size);
  let next = new Float64Array(size);
  let cost = problem.evaluate(parameters);
  let evaluations = 1;
  const end = (converged: boolean, reason: string, iterations: number): SearchEnd => {
    steps.release();
    return { parameters, cost, iterations, evaluations, converged, reason };
  };
  if (size === 0) return end(true, "areas solved directly", 0);
  let reach = FIRST_REACH;
  let idle = 0;
  for (let iteration = 1; iteration <= maxIterations; iteration++) {
    if (idle === IDLE_STEPS) return end(true, "further steps change nothing within the noise", iteration);
    if (cost <= problem.rounding) return end(true, "the record is followed to rounding", iteration);
    if (steps.lookAround(parameters) === 0) return end(true, "every parameter stands at a bound", iteration);
    steps.damped(0, full);
    if (steps.promise(full) <= ARRIVED * cost) {
      steps.within(SHORT_REACH, full, step);
      if (steps.promise(step) <= ARRIVED * cost) return end(true, "sum of squares settled", iteration);
    }
    for (;;) {
      steps.within(reach, full, step);
      problem.move(parameters, step, next);
      const nextCost = problem.evaluate(next);
      evaluations++;
      const gain = (cost - nextCost) / steps.promise(step);
      if (gain < 0.25 || !(nextCost < cost)) reach = 0.35 * Math.min(reach, longest(step));
      else if (gain > 0.75) reach = Math.min(Math.max(reach, 2.5 * longest(step)), LONGEST_REACH);
      if (gain > LEAST_GAIN && nextCost < cost) {
        idle = cost - nextCost < (UNSEEN * cost) / problem.readings ? idle + 1 : 0;
        [parameters, next] = [next, parameters];
        cost = nextCost;
        break;
      }
      if (reach < SHORTEST_REACH) {
        problem.evaluate(parameters);
        return end(true, "no step lowers the sum of squares", iteration);
      }
    }
  }
  return end(false, `not settled after ${maxIterations} steps`, maxIterations);
}
