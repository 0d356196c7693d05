import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { invertSymmetric } from "../../numeric/symmetric-system.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { requireChromatogram } from "../../signal/require-chromatogram.js";
import { fromCovariance } from "../../uncertainty/measured.js";
import { emgApexShift } from "../shape/emg.js";
import { giveColumnsBack } from "./column-shelf.js";
import { chooseStarts, chooseWindow, type FitStart, type FitWindow } from "./fit-starts.js";
import { onePeak, type PeakOfFit } from "./fitted-peaks.js";
import { JointProblem } from "./joint-problem.js";
import { searchProjected } from "./projected-search.js";
import type { WindowCurves } from "./window-curves.js";

export interface FitInjectionsOptions {
  /** Where the peaks start in the first injection. @default the peaks that `findPeaks` finds there */
  readonly peaks?: readonly FitStart[];
  /** Limits of the window in every injection, min. @default ten widths about the peaks of the first */
  readonly from?: number;
  readonly to?: number;
  /** @default "linear" */
  readonly background?: "none" | "constant" | "linear";
  /** @default 100 */
  readonly maxIterations?: number;
}

/** One injection of a joint fit; times in min. */
export interface InjectionFit extends WindowCurves {
  readonly chromatogram: Chromatogram;
  readonly peaks: readonly PeakOfFit[];
  readonly residualStandardDeviation: number;
  /** δ: retention times are those of the first injection times 1 + δ. */
  readonly shift: number;
}

export interface JointFit {
  readonly kind: "joint-fit";
  readonly fits: readonly InjectionFit[];
  readonly shared: {
    readonly tauOverSigma: readonly number[];
    /** Apex of each peak over that of the first. */
    readonly relativeRetention: readonly number[];
    /** min */
    readonly sigma: readonly number[];
  };
  /** What rows and columns of the covariance stand for: "area k of injection r". */
  readonly parameters: readonly string[];
  readonly covariance: readonly (readonly number[])[];
  readonly residualStandardDeviation: number;
  readonly dof: number;
  readonly iterations: number;
  readonly converged: boolean;
  readonly reason: string;
  toString(): string;
}

const DEGREES = { none: -1, constant: 0, linear: 1 } as const;

/**
 * The same peaks in several injections, fitted together as exponentially modified Gaussians.
 *
 *     μₖᵣ = μₖ (1 + δᵣ), σₖ and τₖ/σₖ shared; areas ≥ 0 and background free in every injection
 *
 * A small overlapped peak borrows its place and shape from the injections where it is large. Covariances are those of the
 * pooled residual variance, for noise without memory. Valid where the amounts do not change the shape (no overload)
 * and retention moves by less than six σ.
 *
 * @throws IonbookError `not-a-chromatogram`, `no-peaks`, `bad-start`; `too-few-injections` for fewer than two;
 *   `short-stretch` where an injection has too few samples in the window
 * @source elimination of each run's own block first (block-arrow form): common numerical practice, no source
 */
export function fitInjections(
  chromatograms: readonly Chromatogram[],
  options: FitInjectionsOptions = {},
): JointFit {
  if (chromatograms.length < 2) {
    throw new IonbookError(
      "too-few-injections",
      `${chromatograms.length} injection given to fitInjections: give at least two, or use fitPeaks`,
    );
  }
  for (const each of chromatograms) requireChromatogram(each, "fitInjections");
  const found = chooseStarts(chromatograms[0], options);
  const { from, to } = chooseWindow(chromatograms[0], found, options);
  const windows = chromatograms.map((each) => chooseWindow(each, found, { from, to }));
  const degree = DEGREES[options.background ?? "linear"];
  requireSamples(chromatograms, windows, 4 * found.length + degree + 2);
  const starts = found.map(({ apex, sigma, tau }) => ({
    mu: apex - emgApexShift(tau / sigma) * sigma,
    sigma,
    tau,
  }));
  const problem = new JointProblem(windows, starts, degree);
  const end = searchProjected(problem, options.maxIterations ?? 100);
  const joint = describeJoint(chromatograms, windows, problem, starts.length, end);
  problem.runs.forEach(giveColumnsBack);
  return joint;
}

function requireSamples(of: readonly Chromatogram[], windows: readonly FitWindow[], least: number): void {
  windows.forEach(({ time, from, to }, run) => {
    if (time.length > least) return;
    throw new IonbookError(
      "short-stretch",
      `${from}–${to} min of ${of[run].id} hold ${time.length} samples, too few: give a wider from/to`,
    );
  });
}

function describeJoint(
  of: readonly Chromatogram[],
  windows: readonly FitWindow[],
  problem: JointProblem,
  peaks: number,
  { iterations, converged, reason, cost }: ReturnType<typeof searchProjected>,
): JointFit {
  const { matrix, size } = problem.whole();
  const inverse = invertSymmetric(matrix, size);
  const dof = Math.max(problem.readings - size, 1);
  const variance = cost / dof;
  const { linear } = problem.runs[0];
  const at = of.flatMap((_, run) => Array.from({ length: peaks }, (_, k) => problem.size + run * linear + k));
  const parameters = of.flatMap((_, run) =>
    Array.from({ length: peaks }, (_, k) => `area ${k + 1} of injection ${run + 1}`),
  );
  const covariance = at.map((r) =>
    at.map((c) => 0.5 * variance * (inverse[r * size + c] + inverse[c * size + r])),
  );
  const areas = of.flatMap((_, run) => Array.from(problem.runs[run].coefficients.subarray(0, peaks)));
  const values = Object.fromEntries(parameters.map((name, i) => [name, areas[i]]));
  const source = `joint fit of ${of.map(({ id }) => id).join(", ")}`;
  const measured = fromCovariance(values, `${of[0].signalUnit}·min`, covariance, { source, dof });
  const fits = of.map((chromatogram, run): InjectionFit => {
    const shapes = Array.from({ length: peaks }, (_, k) => {
      const [mu, sigma, tau] = problem.parametersOf(k, run);
      const name = parameters[run * peaks + k];
      return onePeak(chromatogram, { mu, sigma, tau, area: values[name] }, measured[name], "emg");
    });
    const curves = curvesOf(windows[run], problem, run, peaks);
    const squares = curves.residuals.reduce((sum, r) => sum + r * r, 0);
    return {
      chromatogram,
      time: windows[run].time,
      signal: windows[run].signal,
      ...curves,
      peaks: shapes,
      residualStandardDeviation: Math.sqrt(squares / Math.max(curves.residuals.length - linear, 1)),
      shift: problem.shiftOf(run),
    };
  });
  const [first] = fits;
  return {
    kind: "joint-fit",
    fits,
    shared: {
      tauOverSigma: first.peaks.map(({ tau, sigma }) => tau / sigma),
      relativeRetention: first.peaks.map(({ retentionTime }) => retentionTime / first.peaks[0].retentionTime),
      sigma: first.peaks.map(({ sigma }) => sigma),
    },
    parameters,
    covariance,
    residualStandardDeviation: Math.sqrt(variance),
    dof,
    iterations,
    converged,
    reason,
    toString() {
      const lines = fits.map(
        (fit) => `  ${fit.chromatogram.id}: ${fit.peaks.map(({ area }) => area).join("; ")}`,
      );
      const state = converged ? "converged" : `not converged (${reason})`;
      return `joint fit of ${of.length} injections, ${state}\n${lines.join("\n")}`;
    },
    [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
      return displayOf(this);
    },
  } as JointFit;
}

function curvesOf({ signal }: FitWindow, problem: JointProblem, run: number, peaks: number) {
  const columns = problem.runs[run];
  const column = (c: number) => {
    const out = new Float64Array(signal.length);
    columns.addTo(out, columns.columnOf(c), columns.coefficients[c]);
    return out;
  };
  const components = Array.from({ length: peaks }, (_, k) => column(k));
  const backgroundCurve = new Float64Array(signal.length);
  for (let c = peaks; c < columns.linear; c++)
    columns.addTo(backgroundCurve, columns.columnOf(c), columns.coefficients[c]);
  const residuals = columns.residual.slice();
  return { components, backgroundCurve, residuals, fitted: signal.map((value, i) => value - residuals[i]) };
}
