import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { requireChromatogram } from "../../signal/require-chromatogram.js";
import { effectiveFraction } from "./fit-diagnostics.js";
import { type FitPeaksOptions, type FittedPeaks, fitPeaks } from "./fit-peaks.js";
import type { FitStart } from "./fit-starts.js";

export interface PeakCountOptions extends Omit<FitPeaksOptions, "peaks"> {
  /** Where the peaks that are there for certain start. @default the peaks that `findPeaks` finds */
  readonly peaks?: readonly FitStart[];
  /** Peaks tried beyond the certain ones. @default 2 */
  readonly mostAdded?: number;
  /**
   * n_eff/n of the noise, from the autocovariance of blanks. @default from the residuals of the richest fit, which
   * slow noise and misfit both lower
   */
  readonly effectiveFraction?: number;
}

/** One number of peaks that was tried. */
export interface PeakCountCandidate {
  readonly peaks: number;
  readonly bic: number;
  readonly rss: number;
  readonly nEffective: number;
  readonly accepted: boolean;
  readonly reason: string;
}

export interface PeakCountChoice {
  readonly kind: "peak-count";
  readonly chosen: FittedPeaks;
  readonly candidates: readonly PeakCountCandidate[];
  toString(): string;
}

/** One more peak must lower the criterion by this much, hold this many u, and stand this many σ apart. */
const LEAST_DROP = 6;
const LEAST_AREA = 3;
const LEAST_DISTANCE = 0.5;
/** Where a further peak is tried beside each that is there, in σ. */
const BESIDE = [-3, -2, -1.2, 1.2, 2, 3];

/**
 * How many peaks a stretch holds: one more at a time, as long as each pays for its parameters.
 *
 *     BIC = n_eff·ln(RSS/n_eff) + k·ln n_eff,  n_eff = n/(1 + 2Σρ)
 *
 * n readings, ρ their autocorrelations, k parameters. A further peak is accepted when BIC falls by more than 6, its area
 * is above 3 u (u widened by √(n/n_eff)), and it stands more than 0.5 σ from its neighbours. All peaks share one σ
 * and τ unless `sharedShape: false`. Never splits what one shape explains: a peak that the shape does not describe is
 * no two peaks, so look at the chosen fit's warnings.
 *
 * @throws IonbookError as `fitPeaks`; `bad-option` for an effectiveFraction outside (0, 1]
 * @source G. Schwarz, Ann. Statist. 6 (1978) 461 (from memory); limits: common practice, no source
 */
export function choosePeakCount(chromatogram: Chromatogram, options: PeakCountOptions = {}): PeakCountChoice {
  requireChromatogram(chromatogram, "choosePeakCount");
  const { mostAdded = 2, effectiveFraction: given, peaks, ...rest } = options;
  if (given !== undefined && !(given > 0 && given <= 1)) {
    throw new IonbookError(
      "bad-option",
      `effectiveFraction ${given} is no share: give a number above 0, up to 1`,
    );
  }
  const shared = { sharedShape: true, ...rest };
  const fits = [fitPeaks(chromatogram, { ...shared, ...(peaks === undefined ? {} : { peaks }) })];
  for (let k = 0; k < mostAdded; k++) {
    const more = withOneMore(chromatogram, fits[k], shared);
    if (more === undefined) break;
    fits.push(more);
  }
  return choiceOf(fits, given);
}

function choiceOf(fits: readonly FittedPeaks[], given: number | undefined): PeakCountChoice {
  const fraction = given ?? effectiveFraction(fits[fits.length - 1].residuals);
  let chosen = fits[0];
  let open = true;
  const candidates = fits.map((fit, k): PeakCountCandidate => {
    const judged = { peaks: fit.peaks.length, ...criterion(fit, fraction) };
    if (k === 0) return { ...judged, accepted: true, reason: "the peaks that are there for certain" };
    const refusal = open ? refusalOf(chosen, fit, fraction) : "a smaller number was refused already";
    open = refusal === undefined;
    if (!open) return { ...judged, accepted: false, reason: refusal ?? "" };
    const drop = criterion(chosen, fraction).bic - judged.bic;
    chosen = fit;
    return { ...judged, accepted: true, reason: `BIC falls by ${drop.toFixed(1)}` };
  });
  return {
    kind: "peak-count",
    chosen,
    candidates,
    toString() {
      const lines = candidates.map(
        ({ peaks, bic, accepted, reason }) =>
          `  ${peaks}: BIC ${bic.toFixed(1)}, ${accepted ? "accepted" : "refused"}, ${reason}`,
      );
      return [`${chosen.peaks.length} peaks in ${chosen.chromatogram.id}`, ...lines].join("\n");
    },
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(this);
    },
  } as PeakCountChoice;
}

function criterion(fit: FittedPeaks, fraction: number) {
  const nEffective = fraction * fit.time.length;
  const rss = fit.residualSumOfSquares;
  const bic =
    nEffective * Math.log(Math.max(rss, Number.MIN_VALUE) / nEffective) +
    fit.parameters.length * Math.log(nEffective);
  return { bic, rss, nEffective };
}

/** Why the richer fit is not believed; undefined where it is. */
function refusalOf(simpler: FittedPeaks, richer: FittedPeaks, fraction: number): string | undefined {
  const drop = criterion(simpler, fraction).bic - criterion(richer, fraction).bic;
  if (!(drop > LEAST_DROP))
    return `BIC changes by ${(-drop).toFixed(1)}, and must fall by more than ${LEAST_DROP}`;
  for (const [k, { area, mu, sigma }] of richer.peaks.entries()) {
    const u = area.u / Math.sqrt(fraction);
    if (!(area.value > LEAST_AREA * u))
      return `the area of peak ${k + 1} is only ${(area.value / u).toFixed(1)} u`;
    const before = richer.peaks[k - 1];
    const apart = before === undefined ? Infinity : Math.abs(mu - before.mu) / sigma;
    if (!(apart > LEAST_DISTANCE)) return `peaks ${k} and ${k + 1} stand only ${apart.toFixed(2)} σ apart`;
  }
  return undefined;
}

/** The best fit with one more peak, tried where the residual is highest and beside each peak; undefined for none. */
function withOneMore(
  of: Chromatogram,
  fit: FittedPeaks,
  options: Omit<FitPeaksOptions, "peaks">,
): FittedPeaks | undefined {
  const starts = fit.peaks.map(({ retentionTime, sigma, tau, q, alpha }) => ({
    retentionTime,
    sigma,
    ...(fit.shape === "emg" || fit.shape === "hvl" ? { tau } : {}),
    ...(q === undefined ? {} : { q }),
    ...(alpha === undefined ? {} : { alpha }),
  }));
  let best: FittedPeaks | undefined;
  for (const retentionTime of placesToTry(fit)) {
    const peaks = [...starts, { ...starts[0], retentionTime }];
    const more = fitPeaks(of, { ...options, peaks, from: fit.from, to: fit.to });
    if (more.peaks.some(({ area }) => area.value === 0)) continue;
    if (best === undefined || more.residualSumOfSquares < best.residualSumOfSquares) best = more;
  }
  return best;
}

function placesToTry({ peaks, time, residuals }: FittedPeaks): readonly number[] {
  const narrowest = Math.min(...peaks.map(({ sigma }) => sigma));
  const interval = (time[time.length - 1] - time[0]) / (time.length - 1);
  const width = Math.max(Math.round(narrowest / interval), 1);
  let [sum, most, top] = [0, 0, -1];
  for (let i = 0; i < residuals.length; i++) {
    sum += residuals[i] - (i >= width ? residuals[i - width] : 0);
    if (i >= width && sum > most) [most, top] = [sum, i - (width >> 1)];
  }
  const beside = peaks.flatMap(({ retentionTime, sigma }) =>
    BESIDE.map((step) => retentionTime + step * sigma),
  );
  const all = top < 0 ? beside : [time[top], ...beside];
  return all.filter((t) => t > time[0] && t < time[time.length - 1]);
}
