/** Σ a·b from `from` to `to`, both included. */
export function dot(a: Float64Array, b: Float64Array, from: number, to: number): number {
  let [s0, s1, s2, s3] = [0, 0, 0, 0];
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
 * All products of the columns `rows` with the columns `others` over one stretch, into `out` at
 * `(firstRow + r)·size + firstColumn + c`. Two rows and four columns at a time: each reading that is loaded serves
 * several sums.
 */
export function dotBlock(
  rows: readonly Float64Array[],
  others: readonly Float64Array[],
  stretch: readonly [from: number, to: number],
  out: Float64Array,
  place: { readonly size: number; readonly firstRow: number; readonly firstColumn: number },
): void {
  const { size, firstRow, firstColumn } = place;
  for (let r = 0; r < rows.length; r += 2) {
    const r1 = Math.min(r + 1, rows.length - 1);
    for (let c = 0; c < others.length; c += 4) {
      const last = others.length - 1;
      const [c1, c2, c3] = [Math.min(c + 1, last), Math.min(c + 2, last), Math.min(c + 3, last)];
      eightDots(
        [rows[r], rows[r1], others[c], others[c1], others[c2], others[c3]],
        stretch,
        out,
        (firstRow + r) * size + firstColumn + c,
        (firstRow + r1) * size + firstColumn + c,
        [c1 - c, c2 - c, c3 - c],
      );
    }
  }
}

function eightDots(
  [a0, a1, b0, b1, b2, b3]: readonly Float64Array[],
  [from, to]: readonly [from: number, to: number],
  out: Float64Array,
  at0: number,
  at1: number,
  [d1, d2, d3]: readonly [number, number, number],
): void {
  let [s00, s01, s02, s03, s10, s11, s12, s13] = [0, 0, 0, 0, 0, 0, 0, 0];
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
  out[at0] = s00;
  out[at0 + d1] = s01;
  out[at0 + d2] = s02;
  out[at0 + d3] = s03;
  out[at1] = s10;
  out[at1 + d1] = s11;
  out[at1 + d2] = s12;
  out[at1 + d3] = s13;
}
