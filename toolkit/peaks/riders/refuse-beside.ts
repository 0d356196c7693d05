import type { RiderRefusal } from "./rider-refusal.js";

/** What is known of an area that was not measured as a rider; uncertainties in the unit of the area. */
export interface AreaInDoubt {
  readonly area: number;
  readonly uNoise: number;
  /** Of everything but the noise: overlap, rule, baseline, limits. */
  readonly uOther: number;
  /** How many times as high the giant beside it is; undefined where there is none. */
  readonly giantRatio: number | undefined;
}

/** Relative error above which no content is given. */
const REFUSE_ABOVE = 0.3;
/** Errors are told up to this share: beyond it nothing is known. */
const LARGEST = 1e6;

/**
 * Refuses an area that its surroundings leave too uncertain, whatever the rule was. The estimated relative error is 2u, as
 * for riders. Away from giants noise does not count: a trace near the noise has an honest area with a wide interval.
 */
export function refusalBeside(
  { area, uNoise, uOther, giantRatio }: AreaInDoubt,
  above = REFUSE_ABOVE,
): RiderRefusal | undefined {
  const u = giantRatio === undefined ? uOther : Math.hypot(uNoise, uOther);
  const estimatedError = Math.min((2 * u) / Math.max(Math.abs(area), Number.MIN_VALUE), LARGEST);
  if (!(estimatedError > above)) return undefined;
  const error = estimatedError < 1 ? `${(100 * estimatedError).toFixed(0)} % off` : "off by more than itself";
  const beside =
    giantRatio === undefined
      ? "what overlaps it is too little known"
      : `${uNoise > uOther ? "noise" : "too little known"} beside a peak ${Number(giantRatio.toPrecision(2))} times as high`;
  return {
    reason: `the area may be ${error} (limit ${(100 * above).toFixed(0)} %): ${beside}`,
    advice: adviceFor(giantRatio, uNoise > uOther),
    estimatedError,
  };
}

function adviceFor(giantRatio: number | undefined, noisy: boolean): string {
  if (giantRatio === undefined) return "change the programme so that the two stand farther apart";
  if (noisy)
    return "inject more of the sample or the mean of repeats, with the major's profile from an injection alone";
  return "inject the major alone at a similar amount and give its profile, or change the programme";
}
