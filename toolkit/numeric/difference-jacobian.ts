import { IonbookError } from "../errors.js";

/** The smallest and largest value a parameter may take. */
export type Bound = readonly [low: number, high: number];

/** Model values at all points, divided by the points' standard deviations, written into `out`. */
export type CurveValues = (parameters: Float64Array, out: Float64Array) => void;

/** Step over natural scale: balances h² and h⁴ truncation against rounding 2⁻⁵²/h. */
const COARSE_STEP = 6e-6;
const FINE_STEP = 2e-3;

/** A curve whose spread is a smaller part of its level than this is taken as flat. */
const FLAT = 1e-9;

/** Offsets in steps and their weights, for a derivative at offset 0. */
type Stencil = readonly (readonly [offset: number, weight: number])[];
const CENTRAL: Stencil = [
  [1, 1 / 2],
  [-1, -1 / 2],
];
const CENTRAL_FINE: Stencil = [
  [1, 3 / 4],
  [-1, -3 / 4],
  [2, -3 / 20],
  [-2, 3 / 20],
  [3, 1 / 60],
  [-3, -1 / 60],
];
const FORWARD: Stencil = [
  [0, -3 / 2],
  [1, 2],
  [2, -1 / 2],
];
const FORWARD_FINE: Stencil = [
  [0, -25 / 12],
  [1, 4],
  [2, -3],
  [3, 4 / 3],
  [4, -1 / 4],
];

/**
 * Derivatives of the model by each parameter from finite differences. Steps follow a parameter's *natural scale*,
 * the change that moves the curve by about its own spread (a peak's centre: its width, not its time), learnt from
 * the derivatives found before.
 */
export class DifferenceJacobian {
  private readonly scale: Float64Array;
  private readonly trial: Float64Array;
  private readonly shifted: Float64Array;

  constructor(
    private readonly values: CurveValues,
    private readonly points: number,
    private readonly start: Float64Array,
    private readonly bounds: readonly Bound[] | undefined,
  ) {
    this.scale = start.map((value) => Math.abs(value) || 1);
    this.trial = new Float64Array(start.length);
    this.shifted = new Float64Array(points);
  }

  /**
   * Writes ∂values/∂parameters into `out`, row-major points × parameters.
   * @param atParameters the values at `parameters`, known to the caller
   * @param fine four-point differences, error about 1e-12; otherwise two-point, about 1e-10
   */
  fill(parameters: Float64Array, atParameters: Float64Array, out: Float64Array, fine: boolean): void {
    const spread = spreadOf(atParameters);
    for (let j = 0; j < parameters.length; j++) {
      const size = Math.max(Math.abs(parameters[j]), 1e-3 * Math.abs(this.start[j])) || 1;
      this.fillColumn(parameters, j, Math.min(this.scale[j], size), out, fine);
      const length = columnLength(out, this.points, parameters.length, j);
      this.scale[j] = length > 0 && spread > 0 ? Math.min(size, spread / length) : size;
    }
  }

  private fillColumn(
    parameters: Float64Array,
    j: number,
    scale: number,
    out: Float64Array,
    fine: boolean,
  ): void {
    const { trial, shifted, points } = this;
    const n = parameters.length;
    const { stencil, step } = this.stencilFor(parameters[j], j, scale, fine);
    trial.set(parameters);
    for (let i = 0; i < points; i++) out[i * n + j] = 0;
    for (const [offset, weight] of stencil) {
      trial[j] = parameters[j] + offset * step;
      this.values(trial, shifted);
      const factor = weight / step;
      for (let i = 0; i < points; i++) out[i * n + j] += factor * shifted[i];
    }
    for (let i = 0; i < points; i++) {
      if (!Number.isFinite(out[i * n + j])) {
        throw new IonbookError(
          "model-not-finite",
          `The model is not a finite number near parameter ${j + 1} = ${parameters[j]} at point ${i + 1}: set bounds that keep it defined`,
        );
      }
    }
  }

  /** Central where the bounds leave room on both sides, else one-sided, away from the nearer bound. */
  private stencilFor(
    value: number,
    j: number,
    scale: number,
    fine: boolean,
  ): { stencil: Stencil; step: number } {
    const wanted = scale * (fine ? FINE_STEP : COARSE_STEP);
    // A step that the sum value + step represents exactly.
    const step = value + wanted - value || wanted;
    const [low, high] = this.bounds?.[j] ?? [-Infinity, Infinity];
    const reach = (fine ? 3 : 1) * step;
    if (value - reach >= low && value + reach <= high)
      return { stencil: fine ? CENTRAL_FINE : CENTRAL, step };
    return { stencil: fine ? FORWARD_FINE : FORWARD, step: value - low < high - value ? step : -step };
  }
}

/** ‖f − mean f‖, or ‖f‖ for a curve that is flat but for rounding. */
function spreadOf(values: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i];
  const mean = sum / values.length;
  let squares = 0;
  for (let i = 0; i < values.length; i++) squares += (values[i] - mean) ** 2;
  const spread = Math.sqrt(squares);
  const level = Math.abs(mean) * Math.sqrt(values.length);
  return spread > FLAT * level ? spread : level;
}

function columnLength(matrix: Float64Array, rows: number, columns: number, j: number): number {
  let squares = 0;
  for (let i = 0; i < rows; i++) squares += matrix[i * columns + j] ** 2;
  return Math.sqrt(squares);
}
