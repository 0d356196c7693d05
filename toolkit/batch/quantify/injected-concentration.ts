import { isIonbookError } from "../../errors.js";
import { fromSources, type MeasuredValue, propagate } from "../../uncertainty/measured.js";
import { areaOf, type IonCurve, peakOf } from "./calibrate-ions.js";
import type { EvaluatedPeak, EvaluatedRun } from "./evaluate-channel.js";
import type { InjectionRepeatability } from "./repeatability.js";

/** Concentration of one ion in what was injected. */
export interface InjectedConcentration {
  readonly run: EvaluatedRun;
  readonly peak: EvaluatedPeak;
  /** mg/L as injected. */
  readonly concentration: MeasuredValue;
}

/** Reads one ion of one injection off its curve; undefined where the curve has no inverse there. */
export function injectedConcentration(
  run: EvaluatedRun,
  j: number,
  fitted: IonCurve,
  repeatability: InjectionRepeatability,
): InjectedConcentration | undefined {
  const peak = peakOf(run, j);
  if (!peak) return undefined;
  const read = readCurve(fitted, areaOf(run, peak, fitted.ion.ion, repeatability));
  if (!(fitted.modelMisfit > 0)) return { run, peak, concentration: read };
  const misfit = fromSources(0, read.unit, [
    { source: `model of ${fitted.ion.ion}`, contribution: fitted.modelMisfit * Math.abs(read.value) },
  ]);
  return { run, peak, concentration: propagate((x) => x.read + x.misfit, { read, misfit }, read.unit) };
}

/** A reading beyond the turning point of a parabola is followed along the tangent at the nearer end of the range. */
function readCurve({ curve, lowestLevel, highestLevel }: IonCurve, area: MeasuredValue): MeasuredValue {
  try {
    return curve.concentration(area, { beyondRange: "allow" });
  } catch (error) {
    if (!isIonbookError(error) || error.code !== "no-inverse") throw error;
    const end = area.value > curve.respond(highestLevel) ? highestLevel : lowestLevel;
    const step = 1e-3 * end;
    const slope = (curve.respond(end + step) - curve.respond(end - step)) / (2 * step);
    return propagate((x) => end + (x.area - curve.respond(end)) / slope, { area }, curve.unit);
  }
}
