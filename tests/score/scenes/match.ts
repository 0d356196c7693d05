import type { TruePeak } from "./scene.js";

/** Tops this many σ apart still are the same peak (handbook SIMULATOR §6). */
const SAME = 1.5;
/** What a pair left out costs beside the square of its distance: more than any pair that is allowed. */
const LEFT_OUT = 2 * SAME ** 2;

/**
 * The best one-to-one assignment of true and found peaks within 1.5 σ: as many pairs as can be, then the least sum of
 * squared distances in σ. For each true peak the index of its found one.
 *
 * On a line the best assignment keeps the order, so a table over both lists in order finds it.
 */
export function assignPeaks(
  truth: readonly Pick<TruePeak, "apex" | "sigma">[],
  found: readonly number[],
): readonly (number | undefined)[] {
  const rows = truth.map((_, i) => i).sort((a, b) => truth[a].apex - truth[b].apex);
  const columns = found.map((_, j) => j).sort((a, b) => found[a] - found[b]);
  const width = columns.length + 1;
  const cost = new Float64Array((rows.length + 1) * width);
  const pair = (i: number, j: number) => {
    const { apex, sigma } = truth[rows[i]];
    const distance = Math.abs(found[columns[j]] - apex) / sigma;
    return distance <= SAME ? distance ** 2 : Number.POSITIVE_INFINITY;
  };
  for (let i = 0; i <= rows.length; i++) {
    for (let j = 0; j < width; j++) {
      if (i === 0 || j === 0) cost[i * width + j] = LEFT_OUT * (i + j);
      else {
        cost[i * width + j] = Math.min(
          cost[(i - 1) * width + j] + LEFT_OUT,
          cost[i * width + j - 1] + LEFT_OUT,
          cost[(i - 1) * width + j - 1] + pair(i - 1, j - 1),
        );
      }
    }
  }
  const out: (number | undefined)[] = truth.map(() => undefined);
  for (let i = rows.length, j = columns.length; i > 0 && j > 0; ) {
    const here = cost[i * width + j];
    if (here === cost[(i - 1) * width + j - 1] + pair(i - 1, j - 1)) out[rows[--i]] = columns[--j];
    else if (here === cost[(i - 1) * width + j] + LEFT_OUT) i--;
    else j--;
  }
  return out;
}
