/** Why no content is given, what would help, and how far off the area may be (relative). */
export interface RiderRefusal {
  readonly reason: string;
  readonly advice: string;
  readonly estimatedError: number;
}

/** What decides whether a rider can be quantified; uncertainties in one unit. */
export interface RiderSituation {
  readonly estimatedError: number;
  /** σ of the giant. */
  readonly gap: number;
  readonly burden: number;
  readonly uNoise: number;
  readonly uBackground: number;
  /** Measured over the profile of the giant. */
  readonly profile: boolean;
}

/** Relative error above which no content is given. */
const REFUSE_ABOVE = 0.3;
/** Nearer than this, in σ of the giant, only another programme helps where its profile does not. */
const NEAR = 6;
/** Backgrounds above this many heights of the rider are named as such. */
const COUNTED_BURDEN = 999;

/** Refuses a rider whose estimated relative error is above the limit, with advice for its situation. */
export function refusalOf(situation: RiderSituation, above = REFUSE_ABOVE): RiderRefusal | undefined {
  const { estimatedError, gap, burden, uNoise, uBackground } = situation;
  if (estimatedError <= above) return undefined;
  const error = estimatedError < 1 ? `${(100 * estimatedError).toFixed(0)} % off` : "off by more than itself";
  const cause = uNoise > uBackground ? "noise on" : "too little known of";
  const load =
    burden > COUNTED_BURDEN ? `more than ${COUNTED_BURDEN}` : String(Number(burden.toPrecision(2)));
  return {
    reason: `the area may be ${error} (limit ${(100 * above).toFixed(0)} %): ${cause} a background of ${load} times its height, ${gap.toFixed(1)} σ from the giant's apex`,
    advice: adviceFor(situation),
    estimatedError,
  };
}

/** Profile missing: inject the major alone. Near: change the programme. Far off on a high tail: dilute. */
function adviceFor({ profile, gap }: RiderSituation): string {
  if (!profile) return "inject the major alone at a similar amount and give its profile";
  if (gap < NEAR) return "change the programme so that the two stand farther apart";
  return "dilute until the major is no longer overloaded, or change the programme";
}
