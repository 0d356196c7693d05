/** Σ a·b from `from` to `to`, both included. */
export function dot(a: Float64Array, b: Float64Array, from: number, to: number): number {
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  let i = from;
  for (; i + 3 <= to; i += 4) {
    s0 += a[i] * b[i];
    s1 += a[i + 1] * b[i + 1];
    s2 += a[i + 2] * b[i + 2];
    s3 += a[i + 3] * b[i + 3];
  }
  for (; i <= to; i++) s0 += a[i] * b[i];
  return s0 + s1 + (s2 + s3);
}

/**
 * All products of the columns `rows` with the columns `others` from `from` to `to`, both included, into `out` at
 * `first + r·size + c`. Two rows and four columns at a time: each reading that is loaded serves several sums.
 *
 * @param stride only every so-many-th reading, counted so many times
 */
export function dotBlock(
  rows: readonly Float64Array[],
  others: readonly Float64Array[],
  from: number,
  to: number,
  out: Float64Array,
  size: number,
  first: number,
  stride = 1,
): void {
  const last = others.length - 1;
  for (let r = 0; r < rows.length; r += 2) {
    const two = r + 1 < rows.length;
    const at = first + r * size;
    for (let c = 0; c <= last; c += 4) {
      const c1 = Math.min(c + 1, last);
      const c2 = Math.min(c + 2, last);
      const c3 = Math.min(c + 3, last);
      if (two)
        eightDots(
          rows[r],
          rows[r + 1],
          others[c],
          others[c1],
          others[c2],
          others[c3],
          from,
          to,
          stride,
          sums,
        );
      else fourDots(rows[r], others[c], others[c1], others[c2], others[c3], from, to, stride, sums);
      out[at + c] = sums[0];
      out[at + c1] = sums[1];
      out[at + c2] = sums[2];
      out[at + c3] = sums[3];
      if (!two) continue;
      out[at + size + c] = sums[4];
      out[at + size + c1] = sums[5];
      out[at + size + c2] = sums[6];
      out[at + size + c3] = sums[7];
    }
  }
}

/** Where the sums of one block are handed over. */
const sums = new Float64Array(9);

function fourDots(
  a: Float64Array,
  b0: Float64Array,
  b1: Float64Array,
  b2: Float64Array,
  b3: Float64Array,
  from: number,
  to: number,
  stride: number,
  out: Float64Array,
): void {
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  for (let i = from; i <= to; i += stride) {
    const x = a[i];
    s0 += x * b0[i];
    s1 += x * b1[i];
    s2 += x * b2[i];
    s3 += x * b3[i];
  }
  out[0] = stride * s0;
  out[1] = stride * s1;
  out[2] = stride * s2;
  out[3] = stride * s3;
}

function eightDots(
  a0: Float64Array,
  a1: Float64Array,
  b0: Float64Array,
  b1: Float64Array,
  b2: Float64Array,
  b3: Float64Array,
  from: number,
  to: number,
  stride: number,
  out: Float64Array,
): void {
  let s00 = 0;
  let s01 = 0;
  let s02 = 0;
  let s03 = 0;
  let s10 = 0;
  let s11 = 0;
  let s12 = 0;
  let s13 = 0;
  for (let i = from; i <= to; i += stride) {
    const x = a0[i];
    const y = a1[i];
    const p = b0[i];
    const q = b1[i];
    const v = b2[i];
    const w = b3[i];
    s00 += x * p;
    s01 += x * q;
    s02 += x * v;
    s03 += x * w;
    s10 += y * p;
    s11 += y * q;
    s12 += y * v;
    s13 += y * w;
  }
  out[0] = stride * s00;
  out[1] = stride * s01;
  out[2] = stride * s02;
  out[3] = stride * s03;
  out[4] = stride * s10;
  out[5] = stride * s11;
  out[6] = stride * s12;
  out[7] = stride * s13;
}

/**
 * All products of up to three columns `rows` with the columns `others`, as `dotBlock`, three by three: for the few long
 * sums that must be taken reading by reading.
 */
export function dotTriples(
  rows: readonly Float64Array[],
  others: readonly Float64Array[],
  from: number,
  to: number,
  out: Float64Array,
  size: number,
): void {
  const lastRow = rows.length - 1;
  const r1 = Math.min(1, lastRow);
  const last = others.length - 1;
  for (let c = 0; c <= last; c += 3) {
    const c1 = Math.min(c + 1, last);
    const c2 = Math.min(c + 2, last);
    nineDots(rows[0], rows[r1], rows[lastRow], others[c], others[c1], others[c2], from, to, sums);
    for (let r = 0; r <= lastRow; r++) {
      const at = r * size;
      const sum = r === lastRow ? 2 : r;
      out[at + c] = sums[sum];
      out[at + c1] = sums[3 + sum];
      out[at + c2] = sums[6 + sum];
    }
  }
}

/** Sums of the products of b0 with a0, a1 and a2, then of b1, then of b2. */
function nineDots(
  a0: Float64Array,
  a1: Float64Array,
  a2: Float64Array,
  b0: Float64Array,
  b1: Float64Array,
  b2: Float64Array,
  from: number,
  to: number,
  out: Float64Array,
): void {
  let s00 = 0;
  let s01 = 0;
  let s02 = 0;
  let s10 = 0;
  let s11 = 0;
  let s12 = 0;
  let s20 = 0;
  let s21 = 0;
  let s22 = 0;
  for (let i = from; i <= to; i++) {
    const x = a0[i];
    const y = a1[i];
    const z = a2[i];
    const p = b0[i];
    s00 += x * p;
    s01 += y * p;
    s02 += z * p;
    const q = b1[i];
    s10 += x * q;
    s11 += y * q;
    s12 += z * q;
    const v = b2[i];
    s20 += x * v;
    s21 += y * v;
    s22 += z * v;
  }
  out[0] = s00;
  out[1] = s01;
  out[2] = s02;
  out[3] = s10;
  out[4] = s11;
  out[5] = s12;
  out[6] = s20;
  out[7] = s21;
  out[8] = s22;
}
