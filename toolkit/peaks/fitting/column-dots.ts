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
 */
export function dotBlock(
  rows: readonly Float64Array[],
  others: readonly Float64Array[],
  from: number,
  to: number,
  out: Float64Array,
  size: number,
  first: number,
): void {
  const lastRow = rows.length - 1;
  const last = others.length - 1;
  for (let r = 0; r <= lastRow; r += 2) {
    const r1 = Math.min(r + 1, lastRow);
    const at = first + r * size;
    const at1 = first + r1 * size;
    for (let c = 0; c <= last; c += 4) {
      const c1 = Math.min(c + 1, last);
      const c2 = Math.min(c + 2, last);
      const c3 = Math.min(c + 3, last);
      eightDots(rows[r], rows[r1], others[c], others[c1], others[c2], others[c3], from, to, sums);
      out[at + c] = sums[0];
      out[at + c1] = sums[1];
      out[at + c2] = sums[2];
      out[at + c3] = sums[3];
      out[at1 + c] = sums[4];
      out[at1 + c1] = sums[5];
      out[at1 + c2] = sums[6];
      out[at1 + c3] = sums[7];
    }
  }
}

/** Where the sums of one block are handed over. */
const sums = new Float64Array(8);

function eightDots(
  a0: Float64Array,
  a1: Float64Array,
  b0: Float64Array,
  b1: Float64Array,
  b2: Float64Array,
  b3: Float64Array,
  from: number,
  to: number,
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
  for (let i = from; i <= to; i++) {
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
  out[0] = s00;
  out[1] = s01;
  out[2] = s02;
  out[3] = s03;
  out[4] = s10;
  out[5] = s11;
  out[6] = s12;
  out[7] = s13;
}
