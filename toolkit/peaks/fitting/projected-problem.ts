/** A least-squares problem whose linear part has been eliminated: what the search asks for. */
export interface ProjectedProblem {
  /** Number of parameters, which start at 0. */
  readonly size: number;
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Writes the parameters after a step into `next`: their sum with it to first order, and within the bounds. */
  move(parameters: Float64Array, step: Float64Array, next: Float64Array): void;
  /** The sum of squares with penalties at these parameters. */
  evaluate(parameters: Float64Array): number;
  /** Normal matrix (size × size) and downhill slope at the parameters evaluated last. */
  linearise(normal: Float64Array, slope: Float64Array): void;
  /** Sums of squares below this are rounding. */
  readonly rounding: number;
  /** Number of readings. */
  readonly readings: number;
}
