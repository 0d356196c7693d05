import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { checkErrorProbability } from "../../limits/check-replicates.js";
import type { GivenLimits, LimitDefinition, LowSpike, PeakAndNoise } from "../../limits/ladder-types.js";
import { LIMIT_DEFINITIONS, requireKnownLimit } from "../../limits/limit-ladder.js";
import type { Batch } from "../types.js";
import { ionOfMethod } from "./ion-of-method.js";

/** By which limits one ion is judged. */
export interface IonLimitOptions {
  /** Definition in force; `given` limits are in force without being named. */
  readonly definition?: LimitDefinition;
  /** Limits that a permit or a validation states, mg/L as injected. */
  readonly given?: GivenLimits;
  /** Blanks fortified near the limit, carried through the whole procedure; mg/L as injected. @default the fortified blanks of the batch */
  readonly spikes?: readonly LowSpike[];
  /** Blanks of the whole procedure, mg/L as injected; null where one gave no number: those of the batch are then held against them. @default the blanks of the batch over the ion's window */
  readonly blanks?: readonly (number | null)[];
  /** A low peak and the noise beside it. @default the lowest level that shows the peak, and the blanks of the batch */
  readonly noise?: PeakAndNoise;
  /** Below it "< RL" is printed whatever was found; in the unit in which the samples are reported. */
  readonly reportingLimit?: number;
}

/** By which limits results are judged and printed. */
export interface LimitOptions {
  /** Definition in force for every ion that says nothing else. @default Currie from four blanks on, else ISO 11843-2 */
  readonly definition?: LimitDefinition;
  /** Probability of a false positive. @default 0.05 */
  readonly alpha?: number;
  /** Probability of missing the detection limit. @default 0.05 */
  readonly beta?: number;
  /** Probability that blanks of a channel warn of any ion while nothing has changed. @default 0.05 */
  readonly alarm?: number;
  /** What single ions have of their own, by ion. */
  readonly ions?: Readonly<Record<string, IonLimitOptions>>;
}

/** The options of one ion with what holds for all. */
export interface ResolvedLimitOptions extends IonLimitOptions {
  readonly alpha: number;
  readonly beta: number;
  readonly alarm: number;
}

const KNOWN: Readonly<Record<keyof LimitOptions, true>> = {
  definition: true,
  alpha: true,
  beta: true,
  alarm: true,
  ions: true,
};
const KNOWN_OF_ION: Readonly<Record<keyof IonLimitOptions, true>> = {
  definition: true,
  given: true,
  spikes: true,
  blanks: true,
  noise: true,
  reportingLimit: true,
};

/** Definitions for results from which blanks were subtracted; those of a batch still hold the blank's part. */
const NEED_SUBTRACTION: readonly LimitDefinition[] = ["blank-3s-net", "currie-paired", "currie-paired-exact"];

/**
 * The limit options by ion name, checked before anything is evaluated.
 *
 * @throws IonbookError "unknown-option", "bad-option", "bad-level", "unknown-ion", "not-calibrated" where no batch has the ion,
 *   "unknown-limit" with the nearest names
 */
export function limitOptions(
  batches: readonly Batch[],
  options: LimitOptions,
): (ionName: string) => ResolvedLimitOptions {
  requireKnownOptions(options, KNOWN, "quantify, limits,");
  const { definition, alpha = 0.05, beta = 0.05, alarm = 0.05, ions = {} } = options;
  checkErrorProbability(alarm, "quantify: limits.alarm");
  checkDefinition(definition, "limits.definition");
  if (definition === "given") {
    throw new IonbookError(
      "bad-option",
      'quantify: stated limits belong to an ion: limits: { ions: { nitrite: { given: { detectionLimit: 0.05, source: "permit" } } } }',
    );
  }
  if (typeof ions !== "object" || ions === null || Array.isArray(ions)) {
    throw new IonbookError(
      "bad-option",
      `quantify: limits.ions is ${String(ions)}: name ions, as in { nitrite: { … } }`,
    );
  }
  const own = new Map<string, IonLimitOptions>();
  for (const [given, ofIon] of Object.entries(ions)) {
    const name = ionOfMethod(batches, given, "it has no limits");
    checkIonOptions(name, ofIon);
    own.set(name, ofIon);
  }
  return (ionName) => ({
    ...(definition === undefined ? {} : { definition }),
    ...own.get(ionName),
    alpha,
    beta,
    alarm,
  });
}

function checkIonOptions(name: string, options: IonLimitOptions): void {
  requireKnownOptions(options, KNOWN_OF_ION, `quantify, limits of ${name},`);
  checkDefinition(options.definition, `limits.ions.${name}.definition`);
  const { reportingLimit } = options;
  if (reportingLimit === undefined || (reportingLimit > 0 && reportingLimit < Infinity)) return;
  throw new IonbookError(
    "bad-option",
    `quantify, limits of ${name}: reportingLimit is ${String(reportingLimit)}; give a number above zero in the unit of the results`,
  );
}

function checkDefinition(definition: LimitDefinition | undefined, where: string): void {
  if (definition === undefined) return;
  requireKnownLimit(definition, LIMIT_DEFINITIONS);
  if (!NEED_SUBTRACTION.includes(definition)) return;
  throw new IonbookError(
    "bad-option",
    `quantify: ${where} "${definition}" is for results with a blank subtracted, and quantify subtracts none from results: ` +
      'choose "currie", which counts from the mean of the blanks',
  );
}
