import { limitsInForce } from "../../limits/limits-in-force.js";
import type { IonCurve } from "./calibrate-ions.js";
import type { EvaluatedChannel } from "./evaluate-channel.js";
import { injectedConcentration } from "./injected-concentration.js";
import type { InjectionRepeatability } from "./repeatability.js";

/** Limits of one ion, mg/L as injected. */
export interface IonLimits {
  readonly criticalValue: number;
  readonly detectionLimit: number;
  readonly quantificationLimit: number;
  readonly definition: string;
}

/**
 * Limits in force of one ion: Currie's from the blanks, each read over the ion's own fixed window whether or not
 * a peak was found there; from the calibration where there are fewer than four blanks.
 */
export function ionLimits(
  channel: EvaluatedChannel,
  j: number,
  fitted: IonCurve,
  repeatability: InjectionRepeatability,
): IonLimits {
  const blanks = channel.runs.filter((r) => r.injection.kind === "blank");
  const concentrations = blanks.flatMap((run) => {
    const found = injectedConcentration(run, j, fitted, repeatability);
    return found ? [found.concentration.value] : [];
  });
  return limitsInForce({
    blankConcentrations: unshrunk(concentrations),
    lowestLevel: fitted.lowestLevel,
    calibration: fitted.curve,
  });
}

/**
 * Blanks whose own common course was subtracted scatter less than other runs do, by √(1 − 1/n): their distances
 * from their mean are stretched back.
 */
function unshrunk(values: readonly number[]): number[] {
  const n = values.length;
  if (n < 2) return [...values];
  const mean = values.reduce((a, b) => a + b, 0) / n;
  return values.map((v) => mean + (v - mean) / Math.sqrt(1 - 1 / n));
}
