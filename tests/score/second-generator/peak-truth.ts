import type { TruePeak } from "../truth.js";

/** A peak's own contribution to a record, µS/cm, and where it lies in it. */
export interface Contribution {
  readonly own: Float64Array;
  /** Index in the record of the contribution's first sample. */
  readonly first: number;
  /** The whole noise-free record. */
  readonly total: Float64Array;
  /** Sampling interval, s. */
  readonly interval: number;
}

/** What a peak adds to the record, described; undefined where it adds nothing that could be described. */
export function describePeak(
  peak: Pick<TruePeak, "injection" | "name" | "kind">,
  { own, first, total, interval }: Contribution,
): TruePeak | undefined {
  let top = 0;
  let area = 0;
  for (let i = 0; i < own.length; i++) {
    area += own[i];
    if (own[i] > own[top]) top = i;
  }
  if (!(own[top] > 0) || top === 0 || top === own.length - 1) return undefined;
  const height = own[top];
  const bend = own[top - 1] - 2 * own[top] + own[top + 1];
  const apex = top + (bend < 0 ? (own[top - 1] - own[top + 1]) / (2 * bend) : 0);
  let left = top;
  while (left > 0 && own[left] > height / 2) left--;
  let right = top;
  while (right < own.length - 1 && own[right] > height / 2) right++;
  const toMinutes = interval / 60;
  return {
    ...peak,
    retentionTime: (first + apex) * toMinutes,
    area: area * toMinutes,
    height,
    widthHalf: (right - left - 1) * toMinutes,
    visible: hasOwnMaximum(total, first + top, (right - left) / 3),
  };
}

/** Least depth of the valley on either side of a maximum that counts as seen, µS/cm. */
const VALLEY = 4e-3;

/** True when the record has a maximum within `reach` samples of `at` that stands above valleys on both sides. */
function hasOwnMaximum(total: Float64Array, at: number, reach: number): boolean {
  const from = Math.max(1, Math.round(at - reach));
  const to = Math.min(total.length - 2, Math.round(at + reach));
  for (let i = from; i <= to; i++) {
    if (total[i] < total[i - 1] || total[i] <= total[i + 1]) continue;
    if (descent(total, i, -1, 6 * reach) > VALLEY && descent(total, i, 1, 6 * reach) > VALLEY) return true;
  }
  return false;
}

/** How far the record falls from a maximum in one direction before it rises above the maximum or `span` ends. */
function descent(total: Float64Array, top: number, direction: number, span: number): number {
  let lowest = total[top];
  for (let n = 1; n <= span; n++) {
    const i = top + direction * n;
    if (i < 0 || i >= total.length || total[i] > total[top]) break;
    if (total[i] < lowest) lowest = total[i];
  }
  return total[top] - lowest;
}
