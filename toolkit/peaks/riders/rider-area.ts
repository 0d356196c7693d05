import { emgApexShift } from "../shape/emg.js";
import { isBehind, overCubic, overDecays, overProfile } from "./rider-models.js";
import { OVERLOADED_PROFILE_MISFIT, type ProfileInSamples } from "./rider-profile.js";
import { type RiderRefusal, refusalOf } from "./rider-refusal.js";
import { dot } from "./rider-row.js";
import { misfitUncertainty, shapeUncertainty } from "./rider-uncertainty.js";
import type { RiderFit, RiderWindow } from "./rider-window.js";

export type RiderModel = "rider over decays" | "rider over measured profile" | "rider over cubic";

/** One admissible background and the area it leaves. */
export interface RiderBackground {
  readonly name: string;
  /** Signal × samples. */
  readonly area: number;
  readonly uNoise: number;
}

export interface RiderOptions {
  /** Standard deviation that Σ hᵢ yᵢ shows by noise alone, h counted from sample `first` of the window: √(h Γ h′). */
  scatterOf(weights: Float64Array, first: number): number;
  /** The giant injected alone, in samples. */
  readonly profile?: ProfileInSamples;
  /** Background asked for by hand; default by the rider's place. */
  readonly background?: RiderModel;
  /** Relative error above which no content is given; default 0.3. */
  readonly refuseAbove?: number;
}

/** Area of a small peak on the flank of a giant, with everything that speaks for and against it. */
export interface RiderMeasurement {
  /** Of the fitted shape, signal × samples. */
  readonly area: number;
  readonly centre: number;
  readonly height: number;
  /** Standard uncertainties by cause, signal × samples. */
  readonly uNoise: number;
  readonly uBackground: number;
  readonly uShape: number;
  /** First sample of the window that `weights`, `background` and `component` begin at. */
  readonly first: number;
  /** δA = Σ hᵢ δyᵢ. */
  readonly weights: Float64Array;
  readonly background: Float64Array;
  readonly component: Float64Array;
  /** Fitted curves of all riders of the window. */
  readonly components: readonly Float64Array[];
  readonly model: RiderModel;
  /** The background in force and the admissible other one. */
  readonly backgrounds: readonly [chosen: RiderBackground, other: RiderBackground];
  /** Apex to apex, in σ of the giant. */
  readonly gap: number;
  /** Background under the apex over the rider's height. */
  readonly burden: number;
  /** Why this background, with the figures that decided. */
  readonly because: string;
  /** Relative, at most a million. */
  readonly estimatedError: number;
  /** The area is not above this, signal × samples (95 %). */
  readonly bound: number;
  readonly refusal?: RiderRefusal;
}

/**
 * Shares of its signal within which the models follow a giant that they were not made for: measured on scenes with
 * tails of five forms, so that the stated u covers 92 to 98 % of the errors.
 */
const MISFIT: Readonly<Record<RiderModel, number>> = {
  "rider over decays": 0.01,
  "rider over measured profile": OVERLOADED_PROFILE_MISFIT,
  "rider over cubic": 0.01,
};
/** The same for the shapes of other riders beside it: what no function of three parameters follows of a real peak. */
const COMPANION_MISFIT = 0.01;
/** Expansion of u to the error that 95 % of the riders stay below. */
const EXPANDED = 2;
/**
 * The profile is for what stands nearer than this, in σ of the giant, or on a background above this share of its height:
 * below, the decays are as good.
 */
const PROFILE_WITHIN = 6;
const PROFILE_BURDEN = 0.1;
/** The local cubic is for what stands this far from the giant, in σ, and on more than its own height. */
const CUBIC_FROM = 14;
const HIGH_BURDEN = 1;

/**
 * Area of one small peak on the flank of a giant, over the background that its place asks for.
 *
 * Nearer than 6 σ or on a background above a tenth of its height: over the measured profile of the giant where one is
 * given. Else over non-negative decays and flanks; at 14 σ and more on a background above its height without a profile, over a
 * local exponential of a cubic. u holds the noise through the area's weights (row of the pseudo-inverse over all curves
 * in use and the moved centre), the background (difference to the admissible other background as rectangular, a misfit
 * in proportion to the background and to the riders beside it, and what a profile usually differs by), and the shape
 * (width ± 3 %, τ ± 6 %). The estimated error is the larger of
 * 2 u and that difference, over the area; above `refuseAbove` no content should be given, only the bound.
 *
 * @param window all lengths in samples, indices from the window's first sample
 * @param which rider of the window
 * @source non-negative least squares: C. L. Lawson, R. J. Hanson 1974 (from memory); the rest derived, and measured
 *   on scenes of known area
 */
export function measureRider(window: RiderWindow, which: number, options: RiderOptions): RiderMeasurement {
  const { profile, background, refuseAbove } = options;
  const far = isFar(window, which);
  const decays = candidate(far ? DECAYS : FLANKS, overDecays(window, far), 0);
  const place = lookAt(window, which, decays.fit);
  const model = background ?? modelFor(place, isBehind(window), profile);
  const measurement = weigh(window, which, model, candidates(window, which, model, decays, profile), options);
  const { estimatedError, gap, burden, uNoise, uBackground } = measurement;
  const situation = { estimatedError, gap, burden, uNoise, uBackground, profile: profile !== undefined };
  const refusal = refusalOf(situation, refuseAbove);
  if (refusal !== undefined && mayTryProfile(model, options))
    return measureRider(window, which, { ...options, background: "rider over measured profile" });
  return {
    ...measurement,
    because: reasonFor(model, place, isBehind(window), profile !== undefined),
    ...(refusal === undefined ? {} : { refusal }),
  };
}

/** Area and uncertainties over the chosen background, with the other one beside it. */
function weigh(
  window: RiderWindow,
  which: number,
  model: RiderModel,
  both: readonly [chosen: Candidate, other: Candidate],
  { scatterOf }: RiderOptions,
): Omit<RiderMeasurement, "because" | "refusal"> {
  const rows = both.map(({ fit }) => fit.row(which));
  const [inForce, beside] = both.map(
    ({ name, fit, profileNoise }, k): RiderBackground => ({
      name,
      area: fit.areas[which],
      uNoise: scatterOf(rows[k], fit.first) * Math.hypot(1, profileNoise),
    }),
  );
  const { fit } = both[0];
  const [weights] = rows;
  const { area, uNoise } = inForce;
  const difference = Math.abs(beside.area - area);
  const uBackground = Math.hypot(
    difference / Math.sqrt(3),
    backgroundDoubt(fit, which, weights, MISFIT[model], window.riders[which].sigma),
  );
  const at = { mu: fit.centres[which], width: fit.widths[which] };
  const uShape = shapeUncertainty(weights, fit.first, window.riders[which], at, area);
  const u = Math.hypot(uNoise, uBackground, uShape);
  const { components, background, first } = fit;
  return {
    ...{ area, centre: at.mu, uNoise, uBackground, uShape, ...lookAt(window, which, fit) },
    ...{ first, weights, background, component: components[which], components },
    ...{ model, backgrounds: [inForce, beside] },
    estimatedError: relativeError(Math.max(EXPANDED * u, difference), area),
    bound: Math.max(area, beside.area, 0) + EXPANDED * u,
  };
}

/** What a background leaves open: its misfit, that of the riders beside it, what its parameters usually differ by. */
function backgroundDoubt(
  fit: RiderFit,
  which: number,
  weights: Float64Array,
  misfit: number,
  sigma: number,
): number {
  return Math.hypot(
    misfitUncertainty(weights, fit.background, misfit, sigma),
    misfitUncertainty(weights, sumOf(fit.components, which), COMPANION_MISFIT, sigma),
    ...fit.doubts.map((each) => dot(weights, each)),
  );
}

/** All curves but one. */
function sumOf(curves: readonly Float64Array[], without: number): Float64Array {
  const sum = new Float64Array(curves[0].length);
  curves.forEach((curve, k) => {
    if (k !== without) for (let i = 0; i < sum.length; i++) sum[i] += curve[i];
  });
  return sum;
}

/** An area of nothing is wrong by any share; a million times is said for all of them. */
const MOST_WRONG = 1e6;

function relativeError(error: number, area: number): number {
  // An error or an area that is no number counts as one that is wrong.
  return area !== 0 && error <= MOST_WRONG * Math.abs(area) ? error / Math.abs(area) : MOST_WRONG;
}

/** Decays that would be refused give way to a profile where there is one. */
function mayTryProfile(model: RiderModel, { profile, background }: RiderOptions): boolean {
  return background === undefined && profile !== undefined && model !== "rider over measured profile";
}

/** The two choices of curves. */
const DECAYS = "decays from farther off";
const FLANKS = "decays and flanks from nearer by";

/** Behind a giant, from here on, its flank is over: decays alone follow what is left, and leave less open. */
function isFar(window: RiderWindow, which: number): boolean {
  const { mu, sigma, tau } = window.riders[which];
  const apex = mu + emgApexShift(tau / sigma) * sigma;
  return isBehind(window) && apex - window.giant.apex >= (FLANK_WITHIN - 0.2) * window.giant.sigma;
}
const FLANK_WITHIN = 6;

/** What a rider's place is by the background under it. */
interface Place {
  readonly height: number;
  readonly gap: number;
  readonly burden: number;
}

interface Candidate {
  readonly name: string;
  readonly fit: RiderFit;
  /** Noise that a profile brings along, over the record's. */
  readonly profileNoise: number;
}

function candidate(name: string, fit: RiderFit, profileNoise: number): Candidate {
  return { name, fit, profileNoise };
}

function modelFor({ gap, burden }: Place, behind: boolean, profile?: ProfileInSamples): RiderModel {
  if (profile !== undefined && (gap < PROFILE_WITHIN || burden > PROFILE_BURDEN))
    return "rider over measured profile";
  if (profile === undefined && behind && gap >= CUBIC_FROM && burden > HIGH_BURDEN) return "rider over cubic";
  return "rider over decays";
}

/** The background in force and the other one that the record allows. */
function candidates(
  window: RiderWindow,
  which: number,
  model: RiderModel,
  decays: Candidate,
  profile: ProfileInSamples | undefined,
): readonly [chosen: Candidate, other: Candidate] {
  if (model === "rider over measured profile" && profile !== undefined) {
    const fit = overProfile(window, which, profile, decays.fit);
    const nearer = overProfile(window, which, profile, fit, true);
    const noise = profile.noise ?? 1;
    return [
      candidate("measured profile", fit, fit.scale * noise),
      candidate("measured profile from nearer by", nearer, nearer.scale * noise),
    ];
  }
  if (model === "rider over cubic") {
    const fit = overCubic(window, which, decays.fit);
    return [candidate("exponential of a cubic", fit, 0), decays];
  }
  const far = isFar(window, which);
  return [decays, candidate(far ? FLANKS : DECAYS, overDecays(window, !far), 0)];
}

/** Figures of one rider over one background. */
function lookAt(window: RiderWindow, which: number, fit: RiderFit): Place {
  const component = fit.components[which];
  let apex = 0;
  for (let i = 1; i < component.length; i++) if (component[i] > component[apex]) apex = i;
  const height = component[apex];
  const standing = height > 0 ? fit.first + apex : fit.centres[which];
  const under = fit.background[Math.min(Math.max(Math.round(standing) - fit.first, 0), component.length - 1)];
  const gap = Math.abs(standing - window.giant.apex) / window.giant.sigma;
  return { height, gap, burden: Math.max(under, 0) / Math.max(height, Number.MIN_VALUE) };
}

function reasonFor(model: RiderModel, { gap, burden }: Place, behind: boolean, given: boolean): string {
  const load = burden > 999 ? "more than 999" : String(Number(burden.toPrecision(2)));
  const place = `${gap.toFixed(1)} σ ${behind ? "behind" : "before"} a giant, on a background of ${load} times its height`;
  if (model === "rider over measured profile")
    return `${place}: over the measured profile of the giant (nearer than ${PROFILE_WITHIN} σ or above ${PROFILE_BURDEN} of its height)`;
  if (model === "rider over cubic")
    return `${place}: over a local exponential of a cubic (${CUBIC_FROM} σ or more and above ${HIGH_BURDEN} height, no profile of the giant)`;
  const curves = behind ? "decays" : "flanks and rises";
  return given
    ? `${place}: over non-negative ${curves}, which need no profile here (${PROFILE_WITHIN} σ or more, at most ${PROFILE_BURDEN} of its height)`
    : `${place}: over non-negative ${curves}, no profile of the giant being given`;
}
