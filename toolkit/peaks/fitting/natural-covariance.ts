import type { PeakKernel } from "../shape/peak-kernel.js";
import type { ClusterFit } from "./emg-cluster-types.js";

/** Covariance of what a fit says, in the units people use. */
export interface NaturalCovariance {
  /** What the rows and columns stand for: areas, background, μ, σ and further ones of the shape (τ in min). */
  readonly parameters: readonly string[];
  readonly covariance: readonly (readonly number[])[];
}

/**
 * Covariance of areas, background and shapes from that of a cluster fit, whose shapes are counted in start widths
 * (μ) and logarithms (σ, τ): every row and column times dp/dθ, and the whole times the residual variance.
 */
export function naturalCovariance(
  fit: ClusterFit,
  variance: number,
  how: {
    readonly kernel: PeakKernel;
    readonly sharedShape: boolean;
    /** σ at the start of each peak. */
    readonly sigmas: readonly number[];
    /** Half the window, by which the background's slope is counted. */
    readonly half: number;
  },
): NaturalCovariance {
  const { peaks } = fit;
  const shaped = how.sharedShape ? peaks.slice(0, 1) : peaks;
  const label = (name: string, k: number) => (how.sharedShape ? name : `${name} ${k + 1}`);
  const factors: readonly (readonly [name: string, factor: number])[] = [
    ...peaks.map((_, k) => [`area ${k + 1}`, 1] as const),
    ...fit.background.map((_, power) =>
      power === 0 ? (["background", 1] as const) : (["slope", 1 / how.half] as const),
    ),
    ...peaks.map((_, k) => [`mu ${k + 1}`, how.sigmas[k]] as const),
    ...shaped.map((peak, k) => [label("sigma", k), peak.sigma] as const),
    ...how.kernel.further.flatMap(({ name, additive }) =>
      shaped.map((peak, k) => [label(name, k), additive ? 1 : (peak[name] ?? 0)] as const),
    ),
  ];
  const size = fit.parameterCount;
  const unit = fit.unitCovariance;
  return {
    parameters: factors.map(([name]) => name),
    covariance: factors.map(([, a], r) =>
      factors.map(([, b], c) => variance * a * b * 0.5 * (unit[r * size + c] + unit[c * size + r])),
    ),
  };
}
