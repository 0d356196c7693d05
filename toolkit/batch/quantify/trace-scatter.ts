import { chiSquaredQuantile } from "../../numeric/distributions.js";
import type { EvaluatedChannel } from "./evaluate-channel.js";

/** Below this the blanks do not tell their scatter from their noise. */
const FEWEST_BLANKS = 5;
const SIGNIFICANCE = 0.99;

/**
 * Standard deviation of what vials, water and the injection before bring into an ion's area, in the area's unit, beyond
 * the noise of reading it; 0 where the blanks do not show it: √(s² − ū²) where s²/ū² exceeds χ²(0.99, n − 1)/(n − 1),
 * with s of the areas of n ≥ 5 blanks and ū² their mean noise variance. It comes into every injection, not only blanks.
 *
 * @source variance test: common statistics, e.g. NIST/SEMATECH e-Handbook 7.2.3 (from memory)
 */
export function traceScatter(channel: EvaluatedChannel, j: number): number {
  const peaks = channel.runs.flatMap((run) => {
    const peak = run.injection.kind === "blank" ? run.peaks.find((p) => p.ion === j) : undefined;
    return peak && Number.isFinite(peak.area) && Number.isFinite(peak.uNoise) ? [peak] : [];
  });
  const n = peaks.length;
  if (n < FEWEST_BLANKS) return 0;
  const mean = peaks.reduce((sum, { area }) => sum + area, 0) / n;
  const variance = peaks.reduce((sum, { area }) => sum + (area - mean) ** 2, 0) / (n - 1);
  const noise = peaks.reduce((sum, { uNoise }) => sum + uNoise ** 2, 0) / n;
  const most = (noise * chiSquaredQuantile(SIGNIFICANCE, n - 1)) / (n - 1);
  return variance > most ? Math.sqrt(variance - noise) : 0;
}
