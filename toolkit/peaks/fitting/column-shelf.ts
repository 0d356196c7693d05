import { ClusterColumns, type ClusterLayout, type ClusterWindow } from "./cluster-columns.js";

/** No more columns are kept than these, and none of more readings times peaks. */
const MOST_KEPT = 12;
const LARGEST_KEPT = 20_000;

const kept: ClusterColumns[] = [];

/**
 * Columns for a window: those that an earlier fit of one like it gave back, where there are any. A batch fits the same
 * windows again and again, and to make some fifty small arrays takes as long as two evaluations.
 */
export function columnsFor(layout: ClusterLayout, window: ClusterWindow): ClusterColumns {
  const at = kept.findIndex((each) => each.hasLayout(layout));
  const columns = at < 0 ? new ClusterColumns(layout) : kept.splice(at, 1)[0];
  columns.begin(window);
  return columns;
}

/** Gives columns back; nothing may be asked of them afterwards. */
export function giveColumnsBack(columns: ClusterColumns): void {
  if (columns.n * columns.peaks > LARGEST_KEPT) {
    columns.release();
    return;
  }
  columns.forget();
  kept.push(columns);
  if (kept.length > MOST_KEPT) kept.shift()?.release();
}
