import { IonbookError } from "../errors.js";
import { type EluentProgram, type EluentSegment, eluentSegments } from "./eluent-program.js";
import {
  type ColumnTimes,
  type Elution,
  predictRetention,
  type RetentionModel,
  retentionFactor,
} from "./retention.js";

/** An ion on a column: how strongly it is held and how well the column packs its band. */
export interface ColumnIon extends RetentionModel {
  /** Theoretical plates N of the column for this ion. */
  readonly plates: number;
}

export interface PredictedPeak extends Elution {
  /** Standard deviation of the band in time at the detector, min. */
  readonly sigma: number;
}

export interface WidthOptions {
  /** Standard deviation of injector, tubing and cell, min, added in variance. @default 0.02 (1.2 s) */
  readonly extraColumnSigma?: number;
}

/** Steps along the column; the width changes by less than 0.1 % from 200 to 800. */
const STEPS = 400;

/**
 * Retention time and width of an ion under a programme.
 *
 * Along the column coordinate z (0 to 1) the variance s² of the band follows
 * ds²/dz = 1/N − 2s²·[k/(1+k)]·b·g·t₀/c; the second term is the compression by a rising gradient. On exit
 * σ = t₀(1 + k_e)·s, with the extra-column variance added. Isocratic: σ = t₀(1+k)/√N.
 *
 * Symbols: N plates, k retention factor (k_e on exit), b slope of the retention model, g slope of the programme
 * (mmol/L per min), c eluent concentration (mmol/L), t₀ hold-up time (min).
 * Valid at trace load; first order in the width of the band.
 * @throws IonbookError "bad-plates" when N is not above 0, and as `predictRetention`
 * @source band compression in a gradient: H. Poppe et al. 1981 (from memory)
 */
export function predictPeak(
  ion: ColumnIon,
  program: EluentProgram,
  times: ColumnTimes,
  options: WidthOptions = {},
): PredictedPeak {
  const { extraColumnSigma = 0.02 } = options;
  if (!(ion.plates > 0))
    throw new IonbookError("bad-plates", `The plate number is ${ion.plates}: it must be above 0`);
  const elution = predictRetention(ion, program, times);
  const { holdUpTime, dwellTime = 0 } = times;
  const variance = bandVariance(
    ion,
    eluentSegments(program, dwellTime),
    holdUpTime,
    elution.retentionTime - holdUpTime,
  );
  const column = holdUpTime * (1 + elution.exitRetentionFactor) * Math.sqrt(variance);
  return { ...elution, sigma: Math.hypot(column, extraColumnSigma) };
}

/** Variance of the band in units of the column length when the eluent of inlet time `exit` carries it out. */
function bandVariance(
  ion: ColumnIon,
  segments: readonly EluentSegment[],
  holdUpTime: number,
  exit: number,
): number {
  let variance = 0;
  for (const { start, end, concentration, slope } of segments) {
    if (start >= exit) break;
    const length = Math.min(end, exit) - start;
    const steps = Math.max(1, Math.ceil((STEPS * length) / exit));
    const step = length / steps;
    for (let i = 0; i < steps; i++) {
      const c = concentration + slope * step * (i + 0.5);
      const k = retentionFactor(ion, c);
      const squeeze = (((2 * k) / (1 + k)) * ion.b * slope * holdUpTime) / c;
      variance = stepVariance(variance, squeeze, step / (holdUpTime * k), ion.plates);
    }
  }
  return variance;
}

/** Exact solution of ds²/dz = 1/N − q·s² over one step of constant q. */
function stepVariance(variance: number, q: number, dz: number, plates: number): number {
  const decay = -Math.expm1(-q * dz);
  return variance * (1 - decay) + (q === 0 ? dz / plates : decay / (q * plates));
}
