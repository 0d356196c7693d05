/** How well a fit describes its record. */
export interface FitDiagnostics {
  /** Residual variance over that of the blank, where a blank's noise was given. */
  readonly reducedChiSquared?: number | undefined;
  /** 2 for residuals without memory; below 1.6 slow noise or a misfit. */
  readonly durbinWatson: number;
  /** n_eff/n = 1/(1 + 2Σρ): the share of readings that count as independent. */
  readonly effectiveFraction: number;
  /** Signal's unit, with its sign. */
  readonly largestResidual: number;
  /** Over the height of the peak it stands under; undefined where no peak has any height left. */
  readonly largestResidualShare?: number | undefined;
  readonly warnings: readonly string[];
}

/** What the diagnostics are read from. */
export interface FittedCurves {
  readonly residuals: Float64Array;
  readonly components: readonly Float64Array[];
  /** Name of the shape in a sentence ("exponentially modified Gaussian"). */
  readonly shape: string;
  /** σ of the narrowest peak, samples. */
  readonly narrowest: number;
  readonly dof: number;
  readonly blankStandardDeviation?: number | undefined;
  /** Numbers (from 1) of peaks whose centre or shape ended at a bound, and of peaks without area. */
  readonly atBound: readonly number[];
  readonly lost: readonly number[];
}

/** Share of its height by which a peak may be missed before its shape is refused. */
const MISFIT = 0.01;
/** A smoothed residual counts as misfit only this many of its standard deviations from 0. */
const CLEAR = 4;
/** Durbin–Watson below which neighbouring residuals follow each other. */
const FOLLOWING = 1.6;
const MISFIT_CHI_SQUARED = 2;

/**
 * Diagnostics of a fit and the warnings they give, in words.
 *
 * Durbin–Watson Σ(rᵢ − rᵢ₋₁)²/Σrᵢ²; misfit is looked for in residuals averaged over half a σ, where single readings
 * do not count, beside the height of the peak they stand under.
 *
 * @source J. Durbin, G. S. Watson, Biometrika 37 (1950) 409 (from memory); limits: common practice, no source
 */
export function diagnoseFit(curves: FittedCurves): FitDiagnostics {
  const { residuals, components, dof, blankStandardDeviation } = curves;
  let [squares, changes] = [0, 0];
  let largest = 0;
  for (let i = 0; i < residuals.length; i++) {
    squares += residuals[i] ** 2;
    if (i > 0) changes += (residuals[i] - residuals[i - 1]) ** 2;
    if (Math.abs(residuals[i]) > Math.abs(residuals[largest])) largest = i;
  }
  const heights = components.map((component) => component.reduce((most, value) => Math.max(most, value), 0));
  const height = heightAt(components, heights, largest);
  const durbinWatson = squares > 0 ? changes / squares : 2;
  const reducedChiSquared =
    blankStandardDeviation === undefined ? undefined : squares / dof / blankStandardDeviation ** 2;
  return {
    reducedChiSquared,
    durbinWatson,
    effectiveFraction: effectiveFraction(residuals),
    largestResidual: residuals[largest],
    largestResidualShare: height > 0 ? Math.abs(residuals[largest]) / height : undefined,
    warnings: [
      ...misfitWarnings(curves, heights),
      ...curves.lost.map((k) => `no area is left for peak ${k}: start it nearer to its apex`),
      ...curves.atBound.map(
        (k) => `the centre or shape of peak ${k} ended at a bound: look at its start before using its area`,
      ),
      ...(durbinWatson < FOLLOWING
        ? [
            `neighbouring residuals follow each other (Durbin–Watson ${durbinWatson.toFixed(2)}): areas scatter more than the stated uncertainties say`,
          ]
        : []),
      ...(reducedChiSquared !== undefined && reducedChiSquared > MISFIT_CHI_SQUARED
        ? [
            `the residuals are ${reducedChiSquared.toFixed(1)} times the variance of the blank: the model leaves something out`,
          ]
        : []),
    ],
  };
}

/** Height of the component that is largest at a sample, of the highest where none is; 0 where no peak has any. */
function heightAt(components: readonly Float64Array[], heights: readonly number[], i: number): number {
  let best = 0;
  components.forEach((component, k) => {
    if (component[i] > components[best][i]) best = k;
  });
  return heights[best] > 0 ? heights[best] : Math.max(...heights, 0);
}

function misfitWarnings(
  { residuals, components, shape, narrowest }: FittedCurves,
  heights: readonly number[],
): readonly string[] {
  // Without any height left nothing is described, well or badly: the lost peaks are what there is to say.
  if (!heights.some((height) => height > 0)) return [];
  const width = Math.max(Math.round(narrowest / 2), 1);
  const noise = whiteFromDifferences(residuals) / Math.sqrt(width);
  let [worst, sum] = [0, 0];
  for (let i = 0; i < residuals.length; i++) {
    sum += residuals[i] - (i >= width ? residuals[i - width] : 0);
    const mean = Math.abs(sum / width);
    if (i < width - 1 || mean < CLEAR * noise) continue;
    worst = Math.max(worst, mean / heightAt(components, heights, i - (width >> 1)));
  }
  if (worst <= MISFIT) return [];
  const percent = Number((100 * worst).toPrecision(2));
  return [
    `the ${shape} does not describe this peak: the record stays ${percent} % of its height away from it over half a σ; sum the peak, or try another shape`,
  ];
}

function whiteFromDifferences(values: Float64Array): number {
  let sum = 0;
  for (let i = 1; i < values.length; i++) sum += (values[i] - values[i - 1]) ** 2;
  return Math.sqrt(sum / (2 * Math.max(values.length - 1, 1)));
}

/**
 * n_eff/n = 1/(1 + 2Σρₖ) of a series with mean 0: autocorrelations are summed until the first that is not positive.
 */
export function effectiveFraction(series: Float64Array): number {
  const n = series.length;
  let variance = 0;
  for (const value of series) variance += value * value;
  if (!(variance > 0)) return 1;
  let sum = 0;
  for (let lag = 1; lag < n / 4; lag++) {
    let product = 0;
    for (let i = lag; i < n; i++) product += series[i] * series[i - lag];
    const correlation = product / variance;
    if (!(correlation > 0)) break;
    sum += correlation;
  }
  return 1 / (1 + 2 * sum);
}
