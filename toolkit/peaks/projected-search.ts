import { choleskyFactor, choleskySolve } from "../numeric/cholesky.js";

/** A least-squares problem whose linear part has been eliminated: what the search asks for. */
export interface ProjectedProblem {
  /** Number of parameters, which start at 0. */
  readonly size: number;
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** The parameters after a step that is short: equal to their sum with it to first order, and within the bounds. */
  move(parameters: Float64Array, step: Float64Array): Float64Array;
  /** The sum of squares with penalties at these parameters. */
  evaluate(parameters: Float64Array): number;
  /** Normal matrix (size × size) and downhill slope at the parameters evaluated last. */
  linearise(normal: Float64Array, slope: Float64Array): void;
  /** Sums of squares below this are rounding. */
  readonly rounding: number;
  /** Number of readings. */
  readonly readings: number;
}

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
  const normal = new Float64Array(size * size);
  const slope = new Float64Array(size);
  let parameters = new Float64Array(size);
  let cost = problem.evaluate(parameters);
  let evaluations = 1;
  const end = (converged: boolean, reason: string, iterations: number): SearchEnd => ({
    parameters,
    cost,
    iterations,
    evaluations,
    converged,
    reason,
  });
  if (size === 0) return end(true, "areas solved directly", 0);
  let reach = FIRST_REACH;
  let idle = 0;
  for (let iteration = 1; iteration <= maxIterations; iteration++) {
    if (idle === IDLE_STEPS) return end(true, "further steps change nothing within the noise", iteration);
    if (cost <= problem.rounding) return end(true, "the record is followed to rounding", iteration);
    problem.linearise(normal, slope);
    const free = freeParameters(problem, parameters, normal, slope);
    if (free.length === 0) return end(true, "every parameter stands at a bound", iteration);
    const picture = { normal, slope, size, free, room: roomAround(problem, parameters) };
    const full = dampedStep(picture, 0);
    const short = stepWithin(picture, full, SHORT_REACH);
    if (Math.max(promise(full, normal, slope), promise(short, normal, slope)) <= ARRIVED * cost)
      return end(true, "sum of squares settled", iteration);
    for (;;) {
      const step = stepWithin(picture, full, reach);
      const next = problem.move(parameters, step);
      const nextCost = problem.evaluate(next);
      evaluations++;
      const gain = (cost - nextCost) / promise(step, normal, slope);
      if (gain < 0.25 || !(nextCost < cost)) reach = 0.35 * Math.min(reach, longest(step));
      else if (gain > 0.75) reach = Math.min(Math.max(reach, 2.5 * longest(step)), LONGEST_REACH);
      if (gain > LEAST_GAIN && nextCost < cost) {
        idle = cost - nextCost < (UNSEEN * cost) / problem.readings ? idle + 1 : 0;
        parameters = next;
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

function longest(step: Float64Array): number {
  let most = 0;
  for (const value of step) most = Math.max(most, Math.abs(value));
  return most;
}

interface Picture {
  readonly normal: Float64Array;
  readonly slope: Float64Array;
  readonly size: number;
  readonly free: readonly number[];
  /** How far each parameter may go down and up. */
  readonly room: { readonly low: Float64Array; readonly high: Float64Array };
}

function roomAround({ low, high }: ProjectedProblem, parameters: Float64Array): Picture["room"] {
  return {
    low: low.map((value, p) => value - parameters[p]),
    high: high.map((value, p) => value - parameters[p]),
  };
}

/** The step damped until it is as long as the reach, to 15 %; the whole step where that is short enough. */
function stepWithin(picture: Picture, full: Float64Array, reach: number): Float64Array {
  if (longest(full) <= reach) return full;
  const { normal, size, free } = picture;
  let low = 0;
  let high = 0;
  for (const p of free) high = Math.max(high, normal[p * size + p]);
  for (const p of free) high = Math.max(high, Math.abs(picture.slope[p]) / reach);
  let damping = 1e-4 * high;
  let step = full;
  for (let round = 0; round < 12; round++) {
    step = dampedStep(picture, damping);
    const excess = longest(step) / reach;
    if (excess <= 1.15 && excess >= 0.85) break;
    if (excess > 1) low = damping;
    else high = damping;
    const guess = damping * excess ** 1.5;
    damping = guess > low && guess < high ? guess : low > 0 ? Math.sqrt(low * high) : 1e-3 * high;
  }
  return step;
}

function freeParameters(
  { size, low, high }: ProjectedProblem,
  parameters: Float64Array,
  normal: Float64Array,
  slope: Float64Array,
): number[] {
  const free: number[] = [];
  for (let p = 0; p < size; p++) {
    const held = (parameters[p] <= low[p] && slope[p] <= 0) || (parameters[p] >= high[p] && slope[p] >= 0);
    if (!held && normal[p * size + p] > 0) free.push(p);
  }
  return free;
}

/**
 * A δ within the bounds that lowers δᵀ(N + λ·I)δ − 2 slope·δ as far as no bound is in the way: towards the minimum of what is
 * free until a bound is met, which is then held.
 */
function dampedStep(picture: Picture, damping: number): Float64Array {
  const { normal, slope, size, room } = picture;
  const step = new Float64Array(size);
  const free = [...picture.free];
  for (let round = 0; round < 3 * size && free.length > 0; round++) {
    const uphill = Float64Array.from(slope, (value, p) => {
      let sum = value - damping * step[p];
      for (let c = 0; c < size; c++) sum -= normal[p * size + c] * step[c];
      return sum;
    });
    const towards = solveScaled(
      normal,
      size,
      free,
      Float64Array.from(free, (p) => uphill[p]),
      damping,
    );
    let share = 1;
    let blocking = -1;
    free.forEach((p, r) => {
      const limit = ((towards[r] < 0 ? room.low[p] : room.high[p]) - step[p]) / towards[r];
      if (limit < share) [share, blocking] = [limit, r];
    });
    free.forEach((p, r) => {
      step[p] += share * towards[r];
    });
    if (blocking < 0) break;
    const p = free[blocking];
    step[p] = towards[blocking] < 0 ? room.low[p] : room.high[p];
    free.splice(blocking, 1);
  }
  return step;
}

/** The part of (N + λ·I)⁻¹·right that belongs to some of the parameters, scaled to unit diagonal on the way. */
function solveScaled(
  normal: Float64Array,
  size: number,
  which: readonly number[],
  right: Float64Array,
  damping: number,
): Float64Array {
  const m = which.length;
  const scale = which.map((p) => 1 / Math.sqrt(normal[p * size + p] + damping));
  const matrix = new Float64Array(m * m);
  for (let r = 0; r < m; r++) {
    const row = which[r] * size;
    for (let c = 0; c < r; c++) matrix[r * m + c] = normal[row + which[c]] * scale[r] * scale[c];
    right[r] *= scale[r];
  }
  for (let raise = 1e-14; ; raise *= 100) {
    for (let r = 0; r < m; r++) matrix[r * m + r] = 1 + raise;
    try {
      return choleskySolve(choleskyFactor(matrix, m), right, m).map((value, r) => value * scale[r]);
    } catch (error) {
      if (raise > 1e-2) throw error;
    }
  }
}

/** The fall of the sum of squares that the linear picture promises: 2 slope·δ − δᵀNδ. */
function promise(step: Float64Array, normal: Float64Array, slope: Float64Array): number {
  const n = step.length;
  let sum = 0;
  for (let r = 0; r < n; r++) {
    let row = 0;
    for (let c = 0; c < n; c++) row += normal[r * n + c] * step[c];
    sum += step[r] * (2 * slope[r] - row);
  }
  return sum;
}
