import { IonbookError } from "../errors.js";

/**
 * Peaks that fit side by side at a resolution of 1 between hold-up time and last peak, isocratic:
 *
 *     n = 1 + (√N/4)·ln(t_last/t₀)
 *
 * N plates (the same for all), t_last and t₀ in one unit.
 *
 * @throws IonbookError "bad-plates", "bad-hold-up-time"
 * @source width growing with retention, σ = t/√N (derived)
 */
export function peakCapacityIsocratic(plates: number, lastTime: number, holdUpTime: number): number {
  if (!(plates > 0))
    throw new IonbookError("bad-plates", `The plate number is ${plates}: it must be above 0`);
  if (!(holdUpTime > 0 && lastTime >= holdUpTime)) {
    throw new IonbookError(
      "bad-hold-up-time",
      `A hold-up time of ${holdUpTime} with the last peak at ${lastTime}: give one above 0 and not behind the peak`,
    );
  }
  return 1 + (Math.sqrt(plates) / 4) * Math.log(lastTime / holdUpTime);
}

/**
 * Peaks that fit side by side at a resolution of 1 in one gradient: n = 1 + t_g/(4σ̄).
 *
 * @param gradientTime t_g, min
 * @param sigmas standard deviations of the peaks, min; their mean counts
 * @throws IonbookError "bad-width"
 * @source base width 4σ of a Gaussian (derived)
 */
export function peakCapacityGradient(gradientTime: number, sigmas: readonly number[]): number {
  requireWidths(sigmas);
  return 1 + gradientTime / ((4 * sigmas.reduce((sum, sigma) => sum + sigma, 0)) / sigmas.length);
}

/**
 * Peaks that fit side by side at a resolution of 1 under any programme: n = 1 + ∫dt/(4σ(t)) from the first peak to the
 * last, σ straight between the peaks.
 *
 * @param peaks retention time and standard deviation, min, in any order; two or more
 * @throws IonbookError "bad-width", "too-few-peaks"
 * @source integral of 1/σ over straight stretches, Δt·ln(σ₂/σ₁)/(σ₂ − σ₁) (derived)
 */
export function peakCapacitySegments(
  peaks: readonly { readonly retentionTime: number; readonly sigma: number }[],
): number {
  requireWidths(peaks.map(({ sigma }) => sigma));
  if (peaks.length < 2) {
    throw new IonbookError(
      "too-few-peaks",
      "A peak capacity over a window needs the two peaks that bound it",
    );
  }
  const sorted = [...peaks].sort((a, b) => a.retentionTime - b.retentionTime);
  let sum = 0;
  for (let i = 1; i < sorted.length; i++) {
    const [a, b] = [sorted[i - 1], sorted[i]];
    const growth = (b.sigma - a.sigma) / a.sigma;
    // ln(1 + x)/x, which is 1 for equal widths.
    const mean = growth === 0 ? 1 : Math.log1p(growth) / growth;
    sum += ((b.retentionTime - a.retentionTime) / (4 * a.sigma)) * mean;
  }
  return 1 + sum;
}

function requireWidths(sigmas: readonly number[]): void {
  if (sigmas.length > 0 && sigmas.every((sigma) => sigma > 0 && Number.isFinite(sigma))) return;
  throw new IonbookError("bad-width", "Every peak needs a standard deviation above 0: give at least one");
}
