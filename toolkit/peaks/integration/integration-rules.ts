/** A geometric rule by name. */
export type IntegrationRule = "summation" | "perpendicular drop" | "valley to valley" | "tangent skim";

export const INTEGRATION_RULES: readonly IntegrationRule[] = [
  "summation",
  "perpendicular drop",
  "valley to valley",
  "tangent skim",
];

/** What a rule needs to know of a peak; indices into the corrected record. */
export interface RulePeak {
  readonly apex: number;
  /** Limits: a valley shared with a neighbour, or where the peak's own window ends. */
  readonly first: number;
  readonly last: number;
  /** Neighbours that share a valley, as indices into the same list. */
  readonly left: number | undefined;
  readonly right: number | undefined;
}

/** Area by a rule, and how it depends on the record: Σ hᵢ yᵢ over the samples from `first` on. */
export interface RuledArea {
  readonly area: number;
  readonly first: number;
  readonly weights: Float64Array;
}

/**
 * Area of peak k by a geometric rule, signal × samples.
 *
 * "summation" and "perpendicular drop" count what stands over the baseline between the limits (they differ in name
 * only: a drop parts two peaks at their valley). "valley to valley" counts what stands over the straight line between
 * the limits. "tangent skim" counts, of a peak on the flank of a higher one, what stands over the line from their valley
 * that touches the record beyond the smaller apex, and leaves the rest to the higher one; a peak that rides on
 * nothing is summed.
 *
 * Undefined where a peak has no valley to a neighbour it leans on: there these rules do not exist.
 *
 * @param y baseline-corrected
 * @param smooth the same, smoothed: where lines start and end
 * @source common practice, no source
 */
export function areaByRule(
  y: Float64Array,
  smooth: Float64Array,
  peaks: readonly RulePeak[],
  k: number,
  rule: IntegrationRule,
): RuledArea | undefined {
  const own = peaks[k];
  if (!(own.first < own.apex && own.apex < own.last)) return undefined;
  if (rule === "summation" || rule === "perpendicular drop") return dropped(y, own);
  if (rule === "valley to valley") return overLine(y, smooth, own.first, own.last, own.first, own.last);
  const skim = skimmed(y, smooth, peaks, k);
  if (skim) return skim;
  // What is skimmed off its riders leaves the rest of their drop to the higher peak.
  let total = dropped(y, own);
  for (const j of [own.left, own.right]) {
    if (j === undefined) continue;
    const rider = hostOf(smooth, peaks, j) === k ? skimmed(y, smooth, peaks, j) : undefined;
    if (rider) total = difference(sumOf(total, dropped(y, peaks[j])), rider);
  }
  return total;
}

function dropped(y: Float64Array, { first, last }: RulePeak): RuledArea {
  let area = 0;
  for (let i = first; i <= last; i++) area += y[i];
  return { area, first, weights: new Float64Array(last - first + 1).fill(1) };
}

/** The higher neighbour on whose flank a peak stands. */
function hostOf(smooth: Float64Array, peaks: readonly RulePeak[], k: number): number | undefined {
  const own = smooth[Math.round(peaks[k].apex)];
  const height = (j: number | undefined) =>
    j === undefined ? Number.NEGATIVE_INFINITY : smooth[Math.round(peaks[j].apex)];
  const { left, right } = peaks[k];
  const host = height(left) >= height(right) ? left : right;
  return height(host) > own ? host : undefined;
}

function skimmed(
  y: Float64Array,
  smooth: Float64Array,
  peaks: readonly RulePeak[],
  k: number,
): RuledArea | undefined {
  const own = peaks[k];
  const host = hostOf(smooth, peaks, k);
  if (host === undefined) return undefined;
  const apex = Math.round(own.apex);
  const behind = host === own.left;
  const valley = behind ? own.first : own.last;
  const end = behind ? own.last : own.first;
  const step = behind ? 1 : -1;
  // The line from the valley that lies lowest: it touches the record beyond the apex.
  let touch = end;
  let lowest = Number.POSITIVE_INFINITY;
  for (let i = apex; behind ? i <= end : i >= end; i += step) {
    const slope = (smooth[i] - smooth[valley]) / Math.abs(i - valley);
    if (slope < lowest) [lowest, touch] = [slope, i];
  }
  const [first, last] = behind ? [valley, touch] : [touch, valley];
  return overLine(y, smooth, first, last, own.first, own.last);
}

/** Sum between first and last over the straight line between them, within the span that the weights cover. */
function overLine(
  y: Float64Array,
  smooth: Float64Array,
  first: number,
  last: number,
  from: number,
  to: number,
): RuledArea {
  const n = last - first + 1;
  const weights = new Float64Array(to - from + 1);
  let area = 0;
  for (let i = first; i <= last; i++) {
    const part = n > 1 ? (i - first) / (n - 1) : 0;
    area += y[i] - (1 - part) * smooth[first] - part * smooth[last];
    weights[i - from] = 1;
  }
  anchor(weights, first - from, n / 2);
  anchor(weights, last - from, n / 2);
  return { area, first: from, weights };
}

/** Samples over which the end of a line is taken to be smoothed. */
const END = 2;

function anchor(weights: Float64Array, at: number, size: number): void {
  const from = Math.max(0, at - END);
  const to = Math.min(weights.length - 1, at + END);
  for (let i = from; i <= to; i++) weights[i] -= size / (to - from + 1);
}

const sumOf = (a: RuledArea, b: RuledArea): RuledArea => combined(a, b, 1);
const difference = (a: RuledArea, b: RuledArea): RuledArea => combined(a, b, -1);

function combined(a: RuledArea, b: RuledArea, sign: 1 | -1): RuledArea {
  const first = Math.min(a.first, b.first);
  const end = Math.max(a.first + a.weights.length, b.first + b.weights.length);
  const weights = new Float64Array(end - first);
  a.weights.forEach((h, i) => {
    weights[a.first - first + i] += h;
  });
  b.weights.forEach((h, i) => {
    weights[b.first - first + i] += sign * h;
  });
  return { area: a.area + sign * b.area, first, weights };
}
