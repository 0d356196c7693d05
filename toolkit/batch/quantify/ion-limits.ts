import { levelsOf } from "../../calibration/response/levels.js";
import type { StandardReading } from "../../calibration/response/types.js";
import { IonbookError, isIonbookError } from "../../errors.js";
import type { LadderData, LimitLadder, LowSpike } from "../../limits/ladder-types.js";
import { limitLadder } from "../../limits/limit-ladder.js";
import { type LimitsInForce, limitsInForce } from "../../limits/limits-in-force.js";
import type { IonCurve } from "./calibrate-ions.js";
import type { EvaluatedChannel } from "./evaluate-channel.js";
import { injectedConcentration } from "./injected-concentration.js";
import type { ResolvedLimitOptions } from "./limit-options.js";
import { measuredNoise } from "./measured-noise.js";
import type { InjectionRepeatability } from "./repeatability.js";

/** Limits of one ion, mg/L as injected. */
export interface IonLimits {
  readonly criticalValue: number;
  readonly detectionLimit: number;
  readonly quantificationLimit: number;
  readonly definition: string;
  /** In the unit in which samples are reported. */
  readonly reportingLimit?: number | undefined;
}

/** The same with what they were chosen from. */
export interface IonLimitLadder extends IonLimits {
  readonly ladder: LimitLadder;
  /** Method detection limit, where replicates near it allow one. */
  readonly mdl: number | undefined;
}

/** Standards up to so many times the lowest are near enough to zero for one unweighted line. */
const NEAR_ZERO = 20;
const FEWEST_LEVELS = 4;

/**
 * Limits in force of one ion: those stated, those of the definition chosen, or by default Currie's from the blanks, each
 * read over the ion's own fixed window whether or not a peak was found there, and from the calibration where there are
 * fewer than four blanks.
 *
 * @throws IonbookError "limit-not-computable" naming the ion, and what `limitLadder` throws
 */
export function ionLimits(
  channel: EvaluatedChannel,
  j: number,
  fitted: IonCurve,
  repeatability: InjectionRepeatability,
  options: ResolvedLimitOptions,
): IonLimitLadder {
  const { alpha, beta, definition, given, reportingLimit } = options;
  const found = concentrationsOf(channel, j, fitted, repeatability, "blank");
  const measured = unshrunk(found.map(({ value }) => value));
  const blanks = options.blanks ?? measured;
  const fortified = concentrationsOf(channel, j, fitted, repeatability, "fortified blank");
  const numeric = blanks.filter((blank): blank is number => blank !== null);
  const usual = limitsInForce({
    blankConcentrations: numeric,
    lowestLevel: fitted.lowestLevel,
    calibration: fitted.curve,
    alpha,
    beta,
  });
  const chosen = definition ?? (given === undefined ? undefined : "given");
  // A curve through its points to the last digit leaves limits of zero, which are none.
  const fromCurve = chosen === undefined && usual.from === "calibration" && usual.criticalValue > 0;
  const data: LadderData = {
    ion: fitted.ion.ion,
    unit: fitted.curve.unit,
    blanks,
    newBlanks: options.blanks && measured,
    blankPlaces: found.map(({ place }) => place),
    spikes: options.spikes ?? fortified,
    newSpikes: options.spikes && fortified,
    calibration: nearZero(fitted.curve.points),
    noise: options.noise ?? measuredNoise(channel, j, fitted),
    lowestLevel: fitted.lowestLevel,
    given: given ?? (fromCurve ? asGiven(usual) : undefined),
  };
  const ladder = named(fitted.ion.ion, () =>
    limitLadder(data, {
      alpha,
      beta,
      blankCorrected: false,
      inForce: chosen,
      alarm: options.alarm / channel.ions.length,
    }),
  );
  return {
    ...judgedBy(ladder, chosen === undefined ? usual : undefined),
    ladder,
    mdl: mdlOf(ladder),
    reportingLimit,
  };
}

/** Limits read off the fitted curve, with its own weights, stand on the ladder as stated. */
function asGiven({ criticalValue, detectionLimit, quantificationLimit, definition }: LimitsInForce) {
  return { criticalValue, detectionLimit, quantificationLimit, source: definition };
}

function judgedBy(ladder: LimitLadder, usual: LimitsInForce | undefined) {
  if (usual) {
    const { criticalValue, detectionLimit, quantificationLimit, definition } = usual;
    return { criticalValue, detectionLimit, quantificationLimit, definition };
  }
  const chosen = ladder.inForce;
  if (chosen === undefined) throw new Error("a chosen definition is in force or refused");
  const { criticalValue, detectionLimit, quantificationLimit, name, why } = chosen;
  const { standard } = ladder.rung(chosen.definition);
  return { criticalValue, detectionLimit, quantificationLimit, definition: `${name} (${standard}): ${why}` };
}

/** A limit that spikes far above it do not show is none. */
function mdlOf(ladder: LimitLadder): number | undefined {
  const rung = ladder.rung("method-detection-limit");
  return rung.reasons.some((reason) => reason.includes("times the limit found")) ? undefined : rung.value;
}

function named<T>(ion: string, call: () => T): T {
  try {
    return call();
  } catch (error) {
    if (!isIonbookError(error)) throw error;
    throw new IonbookError(error.code, `limits of ${ion}: ${error.message}`);
  }
}

/** A blank, fortified or not, with its place among all injections. */
interface FoundBlank extends LowSpike {
  readonly place: number;
}

/** What was found in all injections of one kind, beside what was given; mg/L as injected. */
function concentrationsOf(
  channel: EvaluatedChannel,
  j: number,
  fitted: IonCurve,
  repeatability: InjectionRepeatability,
  kind: "blank" | "fortified blank",
): readonly FoundBlank[] {
  return channel.runs.flatMap((run, at): FoundBlank[] => {
    const { injection } = run;
    if (injection.kind !== kind) return [];
    const found = injectedConcentration(run, j, fitted, repeatability);
    if (!found) return [];
    const given = channel.batch.solutions.find(
      (row) => row.solution === injection.solution && row.ion === fitted.ion.ion,
    );
    const level = given === undefined ? 0 : given.concentration / injection.dilution;
    if (kind === "fortified blank" && !(level > 0)) return [];
    const date = injection.injectedAt.slice(0, 10);
    return [{ level, value: found.concentration.value, date, place: at + 1 }];
  });
}

/** The lowest levels: all within twenty times the lowest, but four at least. */
function nearZero(points: readonly StandardReading[]): readonly StandardReading[] {
  const levels = levelsOf(points);
  const lowest = levels.find(({ concentration }) => concentration > 0)?.concentration ?? 0;
  return levels
    .filter(({ concentration }, i) => i < FEWEST_LEVELS || concentration <= NEAR_ZERO * lowest)
    .flatMap(({ members }) => members.map((i) => points[i]));
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
