import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { requireFigures } from "./require-figures.js";

/** Limits in the solution injected. */
export interface InjectedLimits {
  readonly criticalValue: number;
  readonly detectionLimit: number;
  readonly quantificationLimit: number;
}

/** What lies between the solution injected and the sample. */
export interface SampleRoute {
  /** D: how many times the sample was diluted. @default 1 */
  readonly dilution?: number | undefined;
  /** Result of the sample for each unit in the undiluted solution, V/m of an extract. @default 1 */
  readonly preparation?: number | undefined;
  /** Noise under this peak over the noise that the limits were found with; below 1 it counts as 1. @default 1 */
  readonly noiseRatio?: number | undefined;
}

/**
 * Limits of one sample, in the unit of its result:
 *
 *     x = x_injected·D·(V/m)·max(1, h_local/h_ref)
 *
 * D dilution, V/m what the preparation makes of a concentration, h noise: on a raised baseline or beside a large
 * neighbour the same content is harder to see.
 *
 * @throws IonbookError "unknown-option", "bad-option", "bad-factor"
 * @source common practice, no source
 */
export function sampleLimits(limits: InjectedLimits, route: SampleRoute = {}): InjectedLimits {
  requireKnownOptions(route, { dilution: true, preparation: true, noiseRatio: true }, "sampleLimits");
  requireFigures(
    limits,
    "sampleLimits",
    ["criticalValue", "detectionLimit", "quantificationLimit"],
    "sampleLimits({ criticalValue: 0.0021, detectionLimit: 0.0042, quantificationLimit: 0.011 }, { dilution: 10 })",
  );
  const { dilution = 1, preparation = 1, noiseRatio = 1 } = route;
  for (const [name, value] of Object.entries({ dilution, preparation, noiseRatio })) {
    if (value > 0 && value < Infinity) continue;
    throw new IonbookError("bad-factor", `${name} is ${String(value)}: give a factor above zero`);
  }
  const factor = dilution * preparation * Math.max(1, noiseRatio);
  return {
    criticalValue: limits.criticalValue * factor,
    detectionLimit: limits.detectionLimit * factor,
    quantificationLimit: limits.quantificationLimit * factor,
  };
}
