import { invertSymmetric } from "../../numeric/symmetric-system.js";
import type { PeakKernel } from "../shape/peak-kernel.js";
import { ClusterColumns } from "./cluster-columns.js";
import { ClusterProblem } from "./cluster-problem.js";
import { dot } from "./column-dots.js";
import type { ClusterFit, ClusterOptions, PeakStart } from "./emg-cluster-types.js";
import { searchProjected } from "./projected-search.js";

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
  const fit = describe(problem, { time, starts, kernel }, end);
  problem.columns.release();
  return fit;
}

interface Fitted {
  readonly time: Float64Array;
  readonly starts: readonly PeakStart[];
  readonly kernel: PeakKernel;
}

function describe(
  problem: ClusterProblem,
  { time, starts, kernel }: Fitted,
  { iterations, evaluations, converged, reason }: ReturnType<typeof searchProjected>,
): ClusterFit {
  const { columns } = problem;
  const { matrix, size } = problem.joint();
  let inverted: Float64Array | undefined;
  // Most fits are asked for areas alone: the inverse is worked out for those that are asked for more.
  const inverse = () => {
    inverted ??= invertSymmetric(matrix, size);
    return inverted;
  };
  const residualSumOfSquares = dot(columns.residual, columns.residual, 0, columns.n - 1);
  const shapes = starts.map((_, k) => problem.parametersOf(k));
  const areas = columns.coefficients.slice(0, starts.length);
  const { targets } = problem;
  const factors = new Float64Array(targets.length);
  for (let c = 0; c < factors.length; c++) factors[c] = problem.columnFactor(c);
  const background = Array.from(columns.coefficients.subarray(columns.peaks));
  // The columns are written again when they are asked for, so that a fit that is kept does not keep them.
  const again = (peaks: readonly Float64Array[]) => {
    const backgroundDegree = background.length - 1;
    const written = new ClusterColumns({ time, y: time, kernel, peaks: peaks.length, backgroundDegree });
    peaks.forEach((parameters, k) => {
      written.place(k, parameters);
    });
    return written;
  };
  return {
    peaks: shapes.map((own, k) => {
      const named: Record<string, number> = {};
      kernel.further.forEach(({ name }, f) => {
        named[name] = own[2 + f];
      });
      return { tau: 0, mu: own[0], sigma: own[1], ...named, area: areas[k] };
    }),
    background,
    residualSumOfSquares,
    dof: Math.max(columns.n - size, 1),
    iterations,
    evaluations,
    converged,
    reason,
    atBound: starts.map((_, k) => problem.atBound(k)),
    get unitCovariance() {
      return inverse();
    },
    parameterCount: size,
    areaWeights(k) {
      const out = new Float64Array(time.length);
      const written = again(shapes);
      targets.forEach((target, c) => {
        const factor = target < 0 ? 0 : inverse()[k * size + target] * factors[c];
        if (factor !== 0) written.addTo(out, c, factor);
      });
      written.release();
      return out;
    },
    component(k) {
      const out = new Float64Array(time.length);
      const written = again([shapes[k]]);
      written.addTo(out, 0, areas[k]);
      written.release();
      return out;
    },
  };
}
