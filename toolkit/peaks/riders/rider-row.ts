import { solveSymmetric } from "../../numeric/symmetric-system.js";

/**
 * Row of the weighted pseudo-inverse that belongs to one column: δx = Σ hᵢ δyᵢ.
 *
 * @param columns over the samples; those that leave no trace are skipped
 * @param root square roots of the weights
 * @param known columns whose coefficient is known beforehand, and the square root of that knowledge's weight
 */
export function pseudoInverseRow(
  columns: readonly Float64Array[],
  root: Float64Array,
  which: number,
  known: readonly { readonly column: number; readonly root: number }[] = [],
): Float64Array {
  const n = root.length;
  const p = columns.length;
  const weighted = columns.map((c) => {
    const out = new Float64Array(n);
    for (let i = 0; i < n; i++) out[i] = c[i] * root[i];
    return out;
  });
  const gram = new Float64Array(p * p);
  for (let r = 0; r < p; r++)
    for (let c = 0; c <= r; c++) gram[r * p + c] = gram[c * p + r] = dot(weighted[r], weighted[c]);
  for (const { column, root: weight } of known) gram[column * p + column] += weight * weight;
  const unit = new Float64Array(p);
  unit[which] = 1;
  const g = solveSymmetric(gram, unit, p);
  const row = new Float64Array(n);
  for (let c = 0; c < p; c++) if (g[c] !== 0) for (let i = 0; i < n; i++) row[i] += g[c] * weighted[c][i];
  for (let i = 0; i < n; i++) row[i] *= root[i];
  return row;
}

export function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
