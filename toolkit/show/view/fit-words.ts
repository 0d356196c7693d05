import type { FittedPeaks } from "../../peaks/fitting/fit-peaks.js";
import { fixed, quantity, significant, trimmed } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { counted } from "../text/words.js";

const SHAPES: Readonly<Record<string, string>> = {
  gaussian: "Gaussians",
  emg: "exponentially modified Gaussians",
  hvl: "Haarhoff–Van der Linde peaks with an exponential tail",
  "skew-normal": "skew-normal peaks",
  "bi-gaussian": "bi-Gaussians",
};

/** What was fitted, whether it ended well, and why it ended: the first sentence of a fit. */
export function howItEnded(fit: FittedPeaks): string {
  const { peaks, shape, from, to, converged, iterations, reason } = fit;
  const window = `${fixed(from, 2)} to ${quantity(fixed(to, 2), "min")}`;
  const what = `${counted(peaks.length, "peak")} as ${SHAPES[shape]}, ${window}`;
  const end = converged ? `converged after ${counted(iterations, "step")}` : "did not converge";
  return `${what}: ${end} (${reason}).`;
}

/** The diagnostics of a fit, one sentence each. */
export function diagnosticWords(fit: FittedPeaks): readonly string[] {
  const { signalUnit } = fit.chromatogram;
  const { durbinWatson, effectiveFraction, largestResidual, largestResidualShare, reducedChiSquared } =
    fit.diagnostics;
  const scatter = `The record scatters about the fit by ${quantity(significant(fit.residualStandardDeviation, 2), signalUnit)} (standard deviation, ${counted(fit.dof, "degree")} of freedom).`;
  const share =
    largestResidualShare === undefined
      ? "no peak of the fit has a height to compare it with"
      : `${quantity(significant(100 * largestResidualShare, 2), "%")} of the height of the peak there`;
  const most = `The largest residual is ${quantity(significant(largestResidual, 2), signalUnit)}, ${share}.`;
  const chi =
    reducedChiSquared === undefined
      ? []
      : [`The residuals have ${trimmed(reducedChiSquared, 2)} times the variance of the blank (1 expected).`];
  return [scatter, ...chi, most, memoryWords(durbinWatson, effectiveFraction), ...tailWords(fit)];
}

/** Peaks that are Gaussians as far as the record shows. */
function tailWords({ unseenTails, shape }: FittedPeaks): readonly string[] {
  const limit = shape === "emg" ? "a Gaussian in the limit" : "a peak without exponential in the limit";
  return unseenTails.map(
    ({ peak, below }) =>
      `Peak ${peak} shows neither tail nor front: any |τ| below ${quantity(significant(below, 2), "min")} would look the same, so the fit is ${limit} and its τ says nothing.`,
  );
}

/** Whether neighbouring residuals know of each other; what follows from it is said by the warnings. */
function memoryWords(durbinWatson: number, effectiveFraction: number): string {
  const figures = `Durbin–Watson ${fixed(durbinWatson, 2)}; 2 without memory`;
  const count = `${quantity(trimmed(100 * effectiveFraction, 2), "%")} of the samples`;
  if (durbinWatson < 1.5)
    return `The residuals count as ${count} (${figures}): slow noise, or a pattern that no peak explains.`;
  if (durbinWatson > 2.5)
    return `Neighbouring residuals alternate (${figures}): the signal may have been filtered or resampled.`;
  return `Neighbouring residuals do not know of each other (${figures}): they count as ${count}.`;
}

/** Warnings as sentences. */
export function warningWords(fit: FittedPeaks): readonly string[] {
  return fit.diagnostics.warnings.map(typesetSentence);
}
