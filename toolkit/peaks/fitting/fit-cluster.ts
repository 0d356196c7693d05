import { invertSymmetric } from "../../numeric/symmetric-system.js";
import type { PeakKernel } from "../shape/peak-kernel.js";
import { ClusterProblem } from "./cluster-problem.js";
import { dot } from "./column-dots.js";
import { columnsFor, giveColumnsBack } from "./column-shelf.js";
import type { ClusterFit, ClusterOptions, PeakStart } from "./emg-cluster-types.js";
import { type SearchEnd, searchProjected } from "./projected-search.js";

/**
 * Least-squares fit of overlapping peaks of one shape by variable projection.
 *
 * Areas (≥ 0) and background are linear and solved exactly at every step; the outer parameters (μ, ln σ and further
 * ones of the shape, own or shared) move by Levenberg–Marquardt steps on the projected problem (Kaufman's form: the Schur
 * complement of the joint normal matrix). Penalties enter as pseudo-observations. One evaluation costs O(points within
 * reach of each peak).
 *
 * @param time ascending, any unit
 * @param y baseline-corrected signal
 * @source Golub and Pereyra 1973; Kaufman 1975 (both from memory)
 */
export function fitCluster(
  time: Float64Array,
  y: Float64Array,
  starts: readonly PeakStart[],
  kernel: PeakKernel,
  options: ClusterOptions = {},
): ClusterFit {
  const problem = new ClusterProblem(time, y, starts, kernel, options);
  const end = searchProjected(problem, options.maxIterations ?? 60);
  const fit = withLaterAnswers(plainFit(problem, end), remember(problem, time, kernel));
  giveColumnsBack(problem.columns);
  return fit;
}

type LaterAnswers = Pick<ClusterFit, "unitCovariance" | "areaWeights" | "component">;

function plainFit(
  problem: ClusterProblem,
  { iterations, evaluations, converged, reason }: SearchEnd,
): Omit<ClusterFit, keyof LaterAnswers> {
  const { peaks, linear, coefficients, residual, n } = problem.columns;
  const numbers = Array.from({ length: peaks }, (_, k) => k);
  const parameterCount = linear + problem.size;
  return {
    peaks: numbers.map((k) => problem.peakOf(k)),
    background: Array.from(coefficients.subarray(peaks)),
    residualSumOfSquares: dot(residual, residual, 0, n - 1),
    dof: Math.max(n - parameterCount, 1),
    iterations,
    evaluations,
    converged,
    reason,
    atBound: numbers.map((k) => problem.atBound(k)),
    parameterCount,
  };
}

/** What later answers are worked out from: nothing of the problem itself, which a fit that is kept would keep as well. */
interface Remembered {
  readonly time: Float64Array;
  readonly kernel: PeakKernel;
  /** [μ, σ, …] of each peak. */
  readonly shapes: readonly Float64Array[];
  /** Joint normal matrix of areas, background and outer parameters. */
  readonly matrix: Float64Array;
  /** The parameter each column belongs to, and what makes the column the derivative by it. */
  readonly targets: Int32Array;
  readonly factors: Float64Array;
}

function remember(problem: ClusterProblem, time: Float64Array, kernel: PeakKernel): Remembered {
  const { targets, columns } = problem;
  return {
    time,
    kernel,
    shapes: Array.from({ length: columns.peaks }, (_, k) => problem.parametersOf(k)),
    matrix: problem.joint().matrix,
    targets,
    factors: Float64Array.from(targets, (_, c) => problem.columnFactor(c)),
  };
}

/** Most fits are asked for areas alone: the inverse and the columns are worked out for those that are asked for more. */
function withLaterAnswers(fit: Omit<ClusterFit, keyof LaterAnswers>, remembered: Remembered): ClusterFit {
  const { time, kernel, shapes, matrix, targets, factors } = remembered;
  const { peaks, background, parameterCount: size } = fit;
  let inverted: Float64Array | undefined;
  const inverse = () => {
    inverted ??= invertSymmetric(matrix, size);
    return inverted;
  };
  const sumOf = (placed: readonly Float64Array[], factorOf: (column: number) => number) => {
    const layout = { n: time.length, kernel, peaks: placed.length, backgroundDegree: background.length - 1 };
    const columns = columnsFor(layout, { time, y: time });
    placed.forEach((parameters, k) => {
      columns.place(k, parameters);
    });
    const out = new Float64Array(time.length);
    for (let c = 0; c < columns.size; c++) if (factorOf(c) !== 0) columns.addTo(out, c, factorOf(c));
    giveColumnsBack(columns);
    return out;
  };
  return {
    ...fit,
    get unitCovariance() {
      return inverse();
    },
    areaWeights(k) {
      const row = inverse().subarray(k * size, (k + 1) * size);
      return sumOf(shapes, (c) => (targets[c] < 0 ? 0 : row[targets[c]] * factors[c]));
    },
    component(k) {
      return sumOf([shapes[k]], (c) => (c === 0 ? peaks[k].area : 0));
    },
  };
}
