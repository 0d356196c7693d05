import {
  applyQTransposed,
  factorQr,
  type QrFactors,
  solveUpper,
  solveUpperTransposed,
} from "./householder.js";

/** The problem as it looks when every curve is taken as straight at the present parameters. */
export interface LinearPicture {
  readonly qr: QrFactors;
  /** Qᵀ·r. */
  readonly facing: Float64Array;
  /** The fall of the sum of squares that the linear picture promises, ‖first n of Qᵀr‖². */
  readonly reachable: number;
}

/**
 * The step that minimises the linear picture within ‖D·δ‖ ≤ radius (to 10 %), and the damping λ that bends it there:
 * min ‖J·δ − r‖² + λ·‖D·δ‖², λ by Newton's method on 1/‖D·δ‖, which is nearly straight in λ (Hebden, Moré).
 */
export function trustedStep(
  linear: LinearPicture,
  weights: Float64Array,
  radius: number,
  firstDamping: number,
): { step: Float64Array; damping: number } {
  const undamped = solveUpper(linear.qr, linear.facing);
  if (undamped.every(Number.isFinite) && weightedLength(undamped, weights) <= 1.1 * radius)
    return { step: undamped, damping: 0 };
  let low = 0;
  let high = steepestLength(linear, weights) / radius;
  if (!(high > 0)) return { step: new Float64Array(weights.length), damping: 0 };
  let damping = firstDamping > low && firstDamping < high ? firstDamping : 1e-3 * high;
  for (let round = 0; ; round++) {
    const { step, length, fall } = dampedStep(linear, weights, damping);
    const excess = length - radius;
    if (Math.abs(excess) <= 0.1 * radius || round === 20) return { step, damping };
    if (excess > 0) low = Math.max(low, damping);
    else high = Math.min(high, damping);
    const newton = damping + ((length / radius) * excess) / fall;
    damping = newton > low && newton < high ? newton : Math.max(1e-3 * high, Math.sqrt(low * high));
  }
}

/** One damped step, its length ‖D·δ‖ and how fast that falls with the damping. */
function dampedStep(linear: LinearPicture, weights: Float64Array, damping: number) {
  const { qr, facing } = linear;
  const n = qr.columns;
  const stacked = new Float64Array(2 * n * n);
  const right = new Float64Array(2 * n);
  for (let i = 0; i < n; i++) {
    stacked[i * n + i] = qr.diagonal[i] * qr.lengths[i];
    for (let k = i + 1; k < n; k++) stacked[i * n + k] = qr.packed[k * qr.rows + i] * qr.lengths[k];
    stacked[(n + i) * n + i] = Math.sqrt(damping) * weights[i];
    right[i] = facing[i];
  }
  const small = factorQr(stacked, 2 * n, n);
  applyQTransposed(small, right);
  const step = solveUpper(small, right);
  const length = weightedLength(step, weights);
  const direction = solveUpperTransposed(
    small,
    step.map((value, k) => (weights[k] ** 2 * value) / length),
  );
  let squares = 0;
  for (let k = 0; k < n; k++) squares += direction[k] * direction[k];
  return { step, length, fall: length * squares };
}

/** ‖D⁻¹·Jᵀr‖: over the radius it bounds the damping from above. */
function steepestLength(linear: LinearPicture, weights: Float64Array): number {
  const { qr, facing } = linear;
  let squares = 0;
  for (let k = 0; k < qr.columns; k++) {
    let sum = qr.diagonal[k] * facing[k];
    for (let i = 0; i < k; i++) sum += qr.packed[k * qr.rows + i] * facing[i];
    squares += ((sum * qr.lengths[k]) / weights[k]) ** 2;
  }
  return Math.sqrt(squares);
}

export function weightedLength(step: Float64Array, weights: Float64Array): number {
  let squares = 0;
  for (let k = 0; k < step.length; k++) squares += (weights[k] * step[k]) ** 2;
  return Math.sqrt(squares);
}
