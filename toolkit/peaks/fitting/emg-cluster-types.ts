/** Start of one peak of a cluster; times in one unit, σ > 0, τ of either sign or 0. */
export interface PeakStart {
  readonly mu: number;
  readonly sigma: number;
  readonly tau: number;
  /** Overload of an HVL peak, > 0 with the apex early. @default 0 */
  readonly q?: number;
  /** Skew of a skew-normal peak. @default 0 */
  readonly alpha?: number;
}

/** How firmly the outer parameters are held to their starts: standard deviations of the penalties. */
export interface ShapePriors {
  /** In units of σ. */
  readonly mu: number;
  readonly lnSigma: number;
  readonly lnTau: number;
}

export interface ClusterOptions {
  /** One common factor on all σ and one on all τ, instead of two of each peak's own. @default true */
  readonly sharedShape?: boolean;
  /** Nothing holds the parameters when absent. */
  readonly priors?: ShapePriors;
  /** Standard deviation of a reading, by which the penalties weigh against the data. @default 1 */
  readonly noise?: number;
  /** Constant (0) and straight (1) background besides; −1 for none. @default -1 */
  readonly backgroundDegree?: -1 | 0 | 1;
  /** @default 60 */
  readonly maxIterations?: number;
  /** How far a centre may go from its start, in σ of the start. @default 1 */
  readonly maximumShift?: number;
  /** Outer parameters held fixed, so that only areas and background are fitted. @default false */
  readonly fixedShape?: boolean;
  /** Peaks whose place is known and not to be moved (an absent ion measured at its expected time). */
  readonly held?: readonly boolean[];
  /** Peaks whose area may come out negative (the same: zero must stay reachable from both sides). */
  readonly signed?: readonly boolean[];
}

export interface FittedPeak extends PeakStart {
  readonly area: number;
}

export interface ClusterFit {
  readonly peaks: readonly FittedPeak[];
  /** Constant and slope (about the middle of the window), as far as fitted. */
  readonly background: readonly number[];
  readonly residualSumOfSquares: number;
  readonly dof: number;
  readonly iterations: number;
  /** How often the peaks were worked out. */
  readonly evaluations: number;
  readonly converged: boolean;
  readonly reason: string;
  /** Which peaks ended with their centre or shape at a bound. */
  readonly atBound: readonly boolean[];
  /** Covariance per unit variance of a reading: areas, then background, then outer parameters. */
  readonly unitCovariance: Float64Array;
  readonly parameterCount: number;
  /** Weights hᵢ of the readings in area k: δA = Σ hᵢ δyᵢ near the solution. */
  areaWeights(k: number): Float64Array;
  /** Fitted curve of peak k on the window's time axis. */
  component(k: number): Float64Array;
}
