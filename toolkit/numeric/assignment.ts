import { IonbookError } from "../errors.js";

/**
 * The assignment of rows to columns with the smallest sum of costs: column of each row. O(n³), Hungarian method by shortest
 * augmenting paths.
 *
 * @param costs n rows of n finite costs
 * @throws IonbookError "bad-costs" where the table is not square or not finite
 * @source H.W. Kuhn, Nav. Res. Logist. Q. 2 (1955) 83; R. Jonker and A. Volgenant, Computing 38 (1987) 325 (derived form)
 */
export function smallestAssignment(costs: readonly ArrayLike<number>[]): readonly number[] {
  const n = costs.length;
  for (const row of costs) {
    if (row.length !== n || !Array.prototype.every.call(row, Number.isFinite)) {
      throw new IonbookError("bad-costs", `An assignment needs ${n} finite costs in each of ${n} rows`);
    }
  }
  // Row and column n stand for "not yet assigned"; potentials keep all reduced costs at or above zero.
  const rowPotential = new Float64Array(n + 1);
  const columnPotential = new Float64Array(n + 1);
  const rowOf = new Int32Array(n + 1).fill(n);
  for (let row = 0; row < n; row++) augment(costs, row, rowOf, rowPotential, columnPotential);
  const columnOf = new Array<number>(n).fill(0);
  for (let column = 0; column < n; column++) columnOf[rowOf[column]] = column;
  return columnOf;
}

/** Brings one more row in along the cheapest chain of exchanges. */
function augment(
  costs: readonly ArrayLike<number>[],
  row: number,
  rowOf: Int32Array,
  rowPotential: Float64Array,
  columnPotential: Float64Array,
): void {
  const n = costs.length;
  const least = new Float64Array(n + 1).fill(Number.POSITIVE_INFINITY);
  const from = new Int32Array(n + 1).fill(n);
  const used = new Uint8Array(n + 1);
  rowOf[n] = row;
  let column = n;
  do {
    used[column] = 1;
    const here = rowOf[column];
    let [delta, next] = [Number.POSITIVE_INFINITY, n];
    for (let j = 0; j < n; j++) {
      if (used[j]) continue;
      const reduced = costs[here][j] - rowPotential[here] - columnPotential[j];
      if (reduced < least[j]) {
        least[j] = reduced;
        from[j] = column;
      }
      if (least[j] < delta) [delta, next] = [least[j], j];
    }
    for (let j = 0; j <= n; j++) {
      if (used[j]) {
        rowPotential[rowOf[j]] += delta;
        columnPotential[j] -= delta;
      } else least[j] -= delta;
    }
    column = next;
  } while (rowOf[column] !== n);
  while (column !== n) {
    const before = from[column];
    rowOf[column] = rowOf[before];
    column = before;
  }
  rowOf[n] = n;
}
