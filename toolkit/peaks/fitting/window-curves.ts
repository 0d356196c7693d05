/** A fit along the times of its window. */
export interface WindowCurves {
  /** min */
  readonly time: Float64Array;
  /** Readings. */
  readonly signal: Float64Array;
  readonly fitted: Float64Array;
  /** Readings − fit. */
  readonly residuals: Float64Array;
  /** Height of each peak over the background. */
  readonly components: readonly Float64Array[];
  readonly backgroundCurve: Float64Array;
}
