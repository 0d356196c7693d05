import { workArrays } from "./work-arrays.js";

/**
 * QR factors of a tall matrix A (m rows, n ≤ m columns) whose columns were first scaled to length 1:
 * A = Q·R·diag(lengths). Q is kept as n Householder vectors.
 */
export interface QrFactors {
  readonly rows: number;
  readonly columns: number;
  /** Column-major m × n: on and below the diagonal the Householder vectors, above it R. */
  readonly packed: Float64Array;
  /** Diagonal of R, up to its sign the distance of each unit column from the span of those before it. */
  readonly diagonal: Float64Array;
  /** Euclidean lengths of the columns of A (1 for a column of zeros). */
  readonly lengths: Float64Array;
}

/**
 * Factors `matrix` by Householder reflections, O(m·n²).
 *
 * @param matrix row-major, rows × columns, rows ≥ columns
 * @param packed where the factors are put; default an array of their own
 * @source G. H. Golub, C. F. Van Loan, Matrix Computations, 4th ed. 2013, §5.2
 */
export function factorQr(
  matrix: ArrayLike<number>,
  rows: number,
  columns: number,
  packed: Float64Array = new Float64Array(rows * columns),
): QrFactors {
  for (let j = 0; j < columns; j++) {
    for (let i = 0; i < rows; i++) packed[j * rows + i] = matrix[i * columns + j];
  }
  return factorColumns(packed, rows, columns);
}

/**
 * The same of a matrix that lies column by column, in place.
 * @param lengths, diagonal where these are put; default arrays of their own
 */
export function factorColumns(
  packed: Float64Array,
  rows: number,
  columns: number,
  lengths: Float64Array = new Float64Array(columns),
  diagonal: Float64Array = new Float64Array(columns),
): QrFactors {
  for (let j = 0; j < columns; j++) {
    const length = vectorLength(packed, j * rows, (j + 1) * rows) || 1;
    lengths[j] = length;
    const inverse = 1 / length;
    for (let i = j * rows; i < (j + 1) * rows; i++) packed[i] *= inverse;
  }
  for (let j = 0; j < columns; j++) {
    diagonal[j] = makeReflection(packed, j * rows + j, (j + 1) * rows);
    for (let k = j + 1; k < columns; k++) reflect(packed, j * rows + j, (j + 1) * rows, packed, k * rows + j);
  }
  return { rows, columns, packed, diagonal, lengths };
}

/** Qᵀ·v in place of v: its first n entries face R, the rest is the residual. */
export function applyQTransposed(qr: QrFactors, vector: Float64Array): void {
  const { rows, columns, packed } = qr;
  for (let j = 0; j < columns; j++) reflect(packed, j * rows + j, (j + 1) * rows, vector, j);
}

/**
 * The x with R·diag(lengths)·x = the first n entries of `qtb`.
 * @param x where it is put; default an array of its own
 */
export function solveUpper(
  qr: QrFactors,
  qtb: ArrayLike<number>,
  x: Float64Array = new Float64Array(qr.columns),
): Float64Array {
  const { rows, columns, packed, diagonal, lengths } = qr;
  for (let i = columns - 1; i >= 0; i--) {
    let sum = qtb[i];
    for (let k = i + 1; k < columns; k++) sum -= packed[k * rows + i] * x[k];
    x[i] = sum / diagonal[i];
  }
  for (let i = 0; i < columns; i++) x[i] /= lengths[i];
  return x;
}

/** The w with (R·diag(lengths))ᵀ·w = v. */
export function solveUpperTransposed(qr: QrFactors, v: ArrayLike<number>): Float64Array {
  const { rows, columns, packed, diagonal, lengths } = qr;
  const w = new Float64Array(columns);
  for (let i = 0; i < columns; i++) {
    let sum = v[i] / lengths[i];
    for (let k = 0; k < i; k++) sum -= packed[i * rows + k] * w[k];
    w[i] = sum / diagonal[i];
  }
  return w;
}

/**
 * (AᵀA)⁻¹, row-major n × n, as R⁻¹·R⁻ᵀ: its condition is never squared on the way.
 * @param inverse where it is put; default an array of its own
 */
export function inverseGram(
  qr: QrFactors,
  inverse: Float64Array = new Float64Array(qr.columns * qr.columns),
): Float64Array {
  const n = qr.columns;
  const rInverse = invertUpper(qr);
  for (let i = 0; i < n; i++) {
    for (let j = i; j < n; j++) {
      let sum = 0;
      for (let k = j; k < n; k++) sum += rInverse[i * n + k] * rInverse[j * n + k];
      inverse[i * n + j] = sum / (qr.lengths[i] * qr.lengths[j]);
      inverse[j * n + i] = inverse[i * n + j];
    }
  }
  return inverse;
}

const inverseOf = workArrays();

function invertUpper(qr: QrFactors): Float64Array {
  const { rows, columns: n, packed, diagonal } = qr;
  const inverse = inverseOf(n * n);
  for (let j = 0; j < n; j++) {
    inverse[j * n + j] = 1 / diagonal[j];
    for (let i = j - 1; i >= 0; i--) {
      let sum = 0;
      for (let k = i + 1; k <= j; k++) sum -= packed[k * rows + i] * inverse[k * n + j];
      inverse[i * n + j] = sum / diagonal[i];
    }
  }
  return inverse;
}

/** Squares between these and their sums neither overflow nor vanish. */
const SMALLEST_SQUARE = 1e-280;
const LARGEST_SQUARE = 1e280;

function vectorLength(data: Float64Array, from: number, to: number): number {
  let plain = 0;
  for (let i = from; i < to; i++) plain += data[i] * data[i];
  if (plain > SMALLEST_SQUARE && plain < LARGEST_SQUARE) return Math.sqrt(plain);
  let largest = 0;
  for (let i = from; i < to; i++) largest = Math.max(largest, Math.abs(data[i]));
  if (largest === 0 || !Number.isFinite(largest)) return largest;
  let sum = 0;
  for (let i = from; i < to; i++) sum += (data[i] / largest) ** 2;
  return largest * Math.sqrt(sum);
}

/**
 * Turns the vector v in `data[from, to)` into the Householder vector that maps v to (r, 0, …, 0), scaled so that
 * its reflection is I − v·vᵀ/v₀, and returns r. A vector of zeros stays (no reflection).
 */
function makeReflection(data: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i < to; i++) sum += data[i] * data[i];
  if (sum === 0) return 0;
  // r takes the sign opposite to v₀, so that v₀ − r does not cancel.
  const r = data[from] > 0 ? -Math.sqrt(sum) : Math.sqrt(sum);
  const inverse = -1 / r;
  for (let i = from; i < to; i++) data[i] *= inverse;
  data[from] += 1;
  return r;
}

/** Applies the reflection in `data[from, to)` to as many entries of `target` starting at `at`. */
function reflect(data: Float64Array, from: number, to: number, target: Float64Array, at: number): void {
  const pivot = data[from];
  if (pivot === 0) return;
  let sum = 0;
  for (let i = from, k = at; i < to; i++, k++) sum += data[i] * target[k];
  const factor = sum / pivot;
  for (let i = from, k = at; i < to; i++, k++) target[k] -= factor * data[i];
}
