import { arpls, stiffnessFor } from "./arpls.js";
import { whiteNoise } from "./noise.js";
import type { IndexStretch } from "./reweighted.js";
import { gaussianSmooth } from "./smooth.js";

/**
 * Standard deviation of the widest clear peak of a record, in samples, measured at half height over a first
 * rough baseline; `fallback` where no peak stands ten times above the noise.
 *
 * A peak counts when its height is at least 1 % of the highest one, both half-height crossings exist, and no
 * higher point lies between them.
 *
 * @param y evenly sampled signal, any unit
 * @param fallback standard deviation in samples assumed for the first rough baseline and for empty records
 * @param excluded stretches in which no peak is looked for: dips
 */
export function widestPeak(
  y: Float64Array,
  fallback: number,
  excluded: readonly IndexStretch[] = [],
): number {
  const widths = clearPeakWidths(y, fallback, excluded);
  return widths.length === 0 ? fallback : widths[widths.length - 1];
}

/** The median instead of the widest: what a typical peak of the record is like. Else as `widestPeak`. */
export function medianPeakWidth(y: Float64Array, fallback: number): number {
  const widths = clearPeakWidths(y, fallback, []);
  return widths.length === 0 ? fallback : widths[widths.length >> 1];
}

/** Standard deviations of the clear peaks, samples, ascending. */
function clearPeakWidths(y: Float64Array, fallback: number, excluded: readonly IndexStretch[]): Float64Array {
  const rough = arpls(y, stiffnessFor(1.5 * fallback, 1), { excluded });
  const x = new Float64Array(y.length);
  for (let i = 0; i < y.length; i++) x[i] = y[i] - rough.values[i];
  for (const [first, last] of excluded) x.fill(0, first, last + 1);
  const smooth = gaussianSmooth(x, Math.max(1, fallback / 6));
  let top = 0;
  for (const value of smooth) if (value > top) top = value;
  const least = Math.max(10 * whiteNoise(y), 0.01 * top);
  const widths: number[] = [];
  for (let i = 1; i < smooth.length - 1; i++) {
    if (smooth[i] < least || smooth[i] < smooth[i - 1] || smooth[i] <= smooth[i + 1]) continue;
    const width = widthAtHalf(smooth, i);
    if (width !== undefined && width > 0) widths.push(width / 2.3548);
  }
  return Float64Array.from(widths).sort();
}

/** Full width at half height of the peak at `apex`, in samples; undefined where `halfWidths` are. */
export function widthAtHalf(y: Float64Array, apex: number): number | undefined {
  const halves = halfWidths(y, apex);
  return halves === undefined ? undefined : halves.left + halves.right;
}

/**
 * From the apex to half its height on both sides, in samples, by linear interpolation on both flanks; undefined where a
 * flank meets a higher point or the end of the record first.
 */
export function halfWidths(y: Float64Array, apex: number): { left: number; right: number } | undefined {
  const half = y[apex] / 2;
  let left = apex;
  while (left > 0 && y[left] > half) if (y[--left] > y[apex]) return undefined;
  let right = apex;
  while (right < y.length - 1 && y[right] > half) if (y[++right] > y[apex]) return undefined;
  if (y[left] > half || y[right] > half) return undefined;
  const crossLeft = left + (half - y[left]) / (y[left + 1] - y[left]);
  const crossRight = right - (half - y[right]) / (y[right - 1] - y[right]);
  return { left: apex - crossLeft, right: crossRight - apex };
}
