import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError, isIonbookError } from "../errors.js";
import { ion } from "../ions/ion-table.js";
import { type CurveFit, fitCurve } from "../numeric/fit-curve.js";
import { type MeasuredValue, measured } from "../uncertainty/measured.js";
import { type EluentProgram, eluentConcentration } from "./eluent-program.js";
import { type ColumnTimes, predictRetention, type RetentionModel } from "./retention.js";
import { retentionWarnings } from "./retention-warnings.js";

/** One run made to learn how ions are held: a programme and where each ion came out. */
export interface ScoutingRun {
  readonly program: EluentProgram;
  /** Apex by ion, min; an ion may be missing in a run. */
  readonly retentionTimes: Readonly<Record<string, number>>;
}

export interface FitRetentionOptions {
  /** Hold-up and dwell time as far as they are known, min. */
  readonly times: ColumnTimes;
  /** Relative standard uncertainty of the hold-up time. @default 0.01 */
  readonly relativeUHoldUp?: number;
  /** Relative standard uncertainty of the dwell time. @default 0.03 */
  readonly relativeUDwell?: number;
  /** Relative standard uncertainty of a retention time, reading and model together. @default 0.0015 */
  readonly relativeU?: number;
}

/** How strongly a column holds one ion, with standard errors. */
export interface FittedIon extends RetentionModel {
  readonly uA: number;
  readonly uB: number;
  /** Of a and b: near 1 after ramps alone, which still predict ramps. */
  readonly correlation: number;
  readonly runs: number;
}

export interface RetentionFit {
  readonly kind: "retention-fit";
  readonly ions: Readonly<Record<string, FittedIon>>;
  /** min */
  readonly holdUpTime: MeasuredValue;
  /** min */
  readonly dwellTime: MeasuredValue;
  /** For `predictRetention` and `predictSeparation`. */
  readonly times: Required<ColumnTimes>;
  /** What was fitted, in the order of `residuals`. */
  readonly runs: readonly ScoutingRun[];
  /** Relative, observed over calculated − 1, by run (from 0) and ion. */
  readonly residuals: readonly { readonly run: number; readonly ion: string; readonly relative: number }[];
  /** Σ(residual/u)²/dof; above 1 the standard errors are widened by its root. NaN without degrees of freedom. */
  readonly reducedChiSquared: number;
  /** Lowest and highest eluent strength scouted, mmol/L. */
  readonly strengths: readonly [number, number];
  readonly converged: boolean;
  readonly reason: string;
  readonly warnings: readonly string[];
  /**
   * Retention time under another programme, min, with the uncertainty of the whole model (gCgᵀ).
   *
   * @throws IonbookError "unknown-ion" for one that was not scouted, "bad-program"
   */
  predict(ion: string, program: EluentProgram): MeasuredValue;
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** A reading, or what is known of one of the two times beforehand. */
type Row = { readonly run: number; readonly at: number } | { readonly prior: 0 | 1 };

/** Widest relative change of hold-up and dwell time that the search may try. */
const TIME_BOUND = 0.3;

/**
 * Learns a and b of every ion (log₁₀ k = a − b·log₁₀ c), hold-up and dwell time from scouting runs, isocratic or
 * gradient alike.
 *
 * Minimises Σ[(ln t_obs − ln t_calc)/u]² + priors of the two times; covariance (JᵀJ)⁻¹, widened by the scatter where that
 * is larger. t_calc from the closed form of `predictRetention`.
 *
 * Two isocratic runs three times apart in strength do for few ions, two ramps three times apart in steepness predict
 * ramps. Model errors in practice are 1 to 3 % until the first real run is fitted along; overloaded peaks spoil a and b.
 *
 * @param runs two or more; every ion in at least two
 * @throws IonbookError "too-few-runs", "bad-retention-time" (not behind the hold-up time), "bad-program",
 *   "bad-hold-up-time"
 * @source log–log model with fitted slope (ion-exchange equilibrium, derived); least squares with prior columns (derived)
 */
export function fitRetention(runs: readonly ScoutingRun[], options: FitRetentionOptions): RetentionFit {
  const { holdUpTime, dwellTime = 0 } = options.times;
  const names = ionsOf(runs);
  requireReadings(runs, names, holdUpTime);
  // The last two parameters are factors of the two times: near 1, where differences are well scaled.
  const timesOf = (p: readonly number[]): Required<ColumnTimes> => ({
    holdUpTime: holdUpTime * p[2 * names.length],
    dwellTime: dwellTime * p[2 * names.length + 1],
  });
  const calculated = (p: readonly number[], at: number, program: EluentProgram): number =>
    predictRetention({ a: p[2 * at], b: p[2 * at + 1] }, program, timesOf(p)).retentionTime;
  const rows = rowsOf(runs, names);
  const fit = fitCurve<Row>(
    (p, row) =>
      "prior" in row
        ? p[2 * names.length + row.prior]
        : Math.log(calculated(p, row.at, runs[row.run].program)),
    {
      x: rows,
      y: rows.map((row) => ("prior" in row ? 1 : Math.log(runs[row.run].retentionTimes[names[row.at]]))),
      standardDeviations: rows.map((row) => deviationOf(row, options)),
    },
    [...names.flatMap((name) => startOf(name, runs, { holdUpTime, dwellTime })), 1, 1],
    {
      bounds: [
        ...names.flatMap(() => [[-20, 30] as const, [0.05, 6] as const]),
        [1 - TIME_BOUND, 1 + TIME_BOUND],
        [1 - TIME_BOUND, 1 + TIME_BOUND],
      ],
    },
  );
  return describeFit({ names, runs, fit, timesOf, calculated, options });
}

function ionsOf(runs: readonly ScoutingRun[]): readonly string[] {
  return [...new Set(runs.flatMap(({ retentionTimes }) => Object.keys(retentionTimes)))];
}

function requireReadings(runs: readonly ScoutingRun[], names: readonly string[], holdUpTime: number): void {
  if (!(holdUpTime > 0)) {
    throw new IonbookError("bad-hold-up-time", `The hold-up time is ${holdUpTime} min: it must be above 0`);
  }
  for (const name of names) {
    const times = runs.flatMap(({ retentionTimes }) => retentionTimes[name] ?? []);
    if (times.length < 2) {
      throw new IonbookError(
        "too-few-runs",
        `${name} was seen in ${times.length} run: two numbers, a and b, need at least two runs of different strength`,
      );
    }
    for (const time of times) {
      if (!(time > holdUpTime * (1 - TIME_BOUND)) || !Number.isFinite(time)) {
        throw new IonbookError(
          "bad-retention-time",
          `${name} at ${time} min does not come behind the hold-up time of ${holdUpTime} min: mend one of them`,
        );
      }
    }
  }
}

function rowsOf(runs: readonly ScoutingRun[], names: readonly string[]): readonly Row[] {
  const readings = runs.flatMap(({ retentionTimes }, run) =>
    names.flatMap((name, at) => (retentionTimes[name] === undefined ? [] : [{ run, at }])),
  );
  return [...readings, { prior: 0 }, { prior: 1 }];
}

function deviationOf(row: Row, options: FitRetentionOptions): number {
  const { relativeU = 0.0015, relativeUHoldUp = 0.01, relativeUDwell = 0.03 } = options;
  if (!("prior" in row)) return relativeU;
  return row.prior === 0 ? relativeUHoldUp : relativeUDwell;
}

/** b from the charge (1 where it is unknown), a so that the first run comes out right. */
function startOf(name: string, runs: readonly ScoutingRun[], times: ColumnTimes): readonly [number, number] {
  const b = chargeOf(name) ?? 1;
  const { program, retentionTimes } = runs.find(
    (run) => run.retentionTimes[name] !== undefined,
  ) as ScoutingRun;
  let [low, high] = [-10, 20];
  for (let turn = 0; turn < 60; turn++) {
    const a = 0.5 * (low + high);
    if (predictRetention({ a, b }, program, times).retentionTime < retentionTimes[name]) low = a;
    else high = a;
  }
  return [0.5 * (low + high), b];
}

/** Magnitude of an ion's charge; undefined for a name the ion table does not hold. */
function chargeOf(name: string): number | undefined {
  try {
    return Math.abs(ion(name).charge);
  } catch (error) {
    if (isIonbookError(error)) return undefined;
    throw error;
  }
}

interface FitParts {
  readonly names: readonly string[];
  readonly runs: readonly ScoutingRun[];
  readonly fit: CurveFit;
  readonly timesOf: (p: readonly number[]) => Required<ColumnTimes>;
  readonly calculated: (p: readonly number[], at: number, program: EluentProgram) => number;
  readonly options: FitRetentionOptions;
}

function describeFit(parts: FitParts): RetentionFit {
  const { names, runs, fit, timesOf, calculated } = parts;
  const { parameters, residualSumOfSquares, dof } = fit;
  const widening = dof > 0 ? Math.max(1, residualSumOfSquares / dof) : 1;
  const covariance = fit.covariance.map((row) => row.map((c) => c * widening));
  const strengths = scouted(runs);
  const times = timesOf(parameters);
  const ions = Object.fromEntries(names.map((name, at) => [name, fittedIon(parts, covariance, at)]));
  const timeOf = (at: 0 | 1, value: number, source: string): MeasuredValue => {
    const k = 2 * names.length + at;
    const u = (value / parameters[k]) * Math.sqrt(covariance[k][k]);
    return measured(value, "min", { u }, { source });
  };
  const result: RetentionFit = {
    kind: "retention-fit",
    ions,
    holdUpTime: timeOf(0, times.holdUpTime, "hold-up time of the retention fit"),
    dwellTime: timeOf(1, times.dwellTime, "dwell time of the retention fit"),
    times,
    runs,
    residuals: runs.flatMap(({ program, retentionTimes }, run) =>
      names.flatMap((name, at) =>
        retentionTimes[name] === undefined
          ? []
          : [{ run, ion: name, relative: retentionTimes[name] / calculated(parameters, at, program) - 1 }],
      ),
    ),
    reducedChiSquared: dof > 0 ? residualSumOfSquares / dof : Number.NaN,
    strengths,
    converged: fit.converged,
    reason: fit.reason,
    warnings: retentionWarnings(ions, strengths, chargeOf, runs.length),
    predict: (name, program) => predicted(parts, covariance, name, program),
    toString: () => describe(result),
    [DISPLAY]: () => displayOf(result),
  };
  return result;
}

function fittedIon({ names, runs, fit }: FitParts, c: readonly (readonly number[])[], at: number): FittedIon {
  const [i, j] = [2 * at, 2 * at + 1];
  return {
    a: fit.parameters[i],
    b: fit.parameters[j],
    uA: Math.sqrt(c[i][i]),
    uB: Math.sqrt(c[j][j]),
    correlation: c[i][j] / Math.sqrt(c[i][i] * c[j][j]),
    runs: runs.filter(({ retentionTimes }) => retentionTimes[names[at]] !== undefined).length,
  };
}

function scouted(runs: readonly ScoutingRun[]): readonly [number, number] {
  const all = runs.flatMap(({ program, retentionTimes }) => {
    const end = Math.max(...Object.values(retentionTimes));
    return [0, end, ...program.map(([time]) => time)].map((time) =>
      eluentConcentration(program, Math.min(time, end)),
    );
  });
  return [Math.min(...all), Math.max(...all)];
}

/** Steps of the central differences: far above rounding, far below where the model bends. */
const STEP = 1e-5;

function predicted(
  { names, fit, calculated }: FitParts,
  covariance: readonly (readonly number[])[],
  name: string,
  program: EluentProgram,
): MeasuredValue {
  const at = names.indexOf(name);
  if (at < 0) {
    throw new IonbookError("unknown-ion", `"${name}" was in no scouting run: these were ${names.join(", ")}`);
  }
  const touched = [2 * at, 2 * at + 1, 2 * names.length, 2 * names.length + 1];
  const gradient = touched.map((k) => {
    const moved = (step: number) => fit.parameters.map((p, i) => (i === k ? p + step : p));
    return (calculated(moved(STEP), at, program) - calculated(moved(-STEP), at, program)) / (2 * STEP);
  });
  let variance = 0;
  for (const [i, k] of touched.entries())
    for (const [j, l] of touched.entries()) variance += gradient[i] * covariance[k][l] * gradient[j];
  return measured(
    calculated(fit.parameters, at, program),
    "min",
    { u: Math.sqrt(Math.max(variance, 0)) },
    { source: `retention model of ${name}` },
  );
}

function describe({ ions, holdUpTime, dwellTime, warnings }: RetentionFit): string {
  const lines = Object.entries(ions).map(
    ([name, { a, b, uA, uB }]) =>
      `${name}: a ${a.toFixed(3)} ± ${uA.toFixed(3)}, b ${b.toFixed(3)} ± ${uB.toFixed(3)} (standard errors)`,
  );
  return [...lines, `hold-up time ${holdUpTime}, dwell time ${dwellTime}`, ...warnings].join("\n");
}
