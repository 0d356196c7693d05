import { emgKernel } from "../shape/emg-grid.js";
import type { ClusterFit, ClusterOptions, PeakStart } from "./emg-cluster-types.js";
import { fitCluster } from "./fit-cluster.js";

export type { ClusterFit, ClusterOptions, FittedPeak, PeakStart, ShapePriors } from "./emg-cluster-types.js";

/** `fitCluster` of exponentially modified Gaussians. */
export function fitEmgCluster(
  time: Float64Array,
  y: Float64Array,
  starts: readonly PeakStart[],
  options: ClusterOptions = {},
): ClusterFit {
  return fitCluster(time, y, starts, emgKernel, options);
}
