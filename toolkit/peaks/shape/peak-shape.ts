import type { MeasuredValue } from "../../uncertainty/measured.js";

/** A fitted peak as far as its figures need it; times in min. */
export interface PeakShape {
  /** Apex. */
  readonly retentionTime: number;
  readonly sigma: number;
  /** Negative for a front; 0 for a Gaussian. */
  readonly tau: number;
  readonly area?: MeasuredValue | number;
}

/** A record of one peak, its baseline taken off; time in min. */
export interface PeakTrace {
  readonly time: ArrayLike<number>;
  readonly signal: ArrayLike<number>;
}

/** Where a peak crosses a share of its height, or its tangents the base, min; NaN where the record does not show it. */
export interface Crossings {
  readonly front: number;
  readonly back: number;
  /** Why one of them is not shown. */
  readonly reason?: string;
}

/** A peak that can be measured, whatever it is made of. */
export interface MeasurablePeak {
  readonly retentionTime: number;
  /** NaN for a shape without a stated area. */
  readonly height: number;
  readonly moments: PeakMoments;
  /** Why the moments mean nothing; undefined where they do. */
  readonly truncated?: string;
  /** What a reader of the figures should know. */
  readonly warnings: readonly string[];
  crossings(share: number): Crossings;
  /** Where the tangents of the two inflections cross the base. */
  tangents(): Crossings;
}

/** Statistical moments of a peak. */
export interface PeakMoments {
  /** Signal's unit times min; NaN for a shape without a stated area. */
  readonly area: number;
  /** min */
  readonly mean: number;
  /** min² */
  readonly variance: number;
  readonly skewness: number;
  readonly excessKurtosis: number;
}
