import { exponentialPolynomial } from "./rider-cubic.js";
import { flankCurves, leadingCurves, lineCurves, tailCurves } from "./rider-curves.js";
import { fitOverDictionary } from "./rider-dictionary.js";
import { fitOverCurve } from "./rider-local.js";
import { PROFILE_MISFIT, type ProfileInSamples, profileCurve } from "./rider-profile.js";
import type { RiderFit, RiderWindow } from "./rider-window.js";

/** How near the giant's apex a background is asked to follow it, in σ. */
const DECAYS_FROM = 2.5;
const FAR_DECAYS_FROM = 3.5;
const PROFILE_FROM = 2;
const NEAR_PROFILE_FROM = 1;
/** How far beyond the outermost rider a background is followed, in its σ and τ. */
const BEYOND_SIGMA = 12;
const BEYOND_TAU = 4;
const BEFORE_SIGMA = 10;
/** Reach of the local background about the rider, in σ. */
const CUBIC_REACH = 5;
/** Share of the signal that a model cannot be asked to follow. */
const DICTIONARY_MISFIT = 0.01;
const CUBIC_MISFIT = 0.005;

/**
 * Riders over non-negative decays and flanks behind a giant, over flanks and rises before it, both on a straight line.
 *
 * @param far begun farther from the giant and, behind it, without flanks; before it, without rises
 */
export function overDecays(window: RiderWindow, far = false): RiderFit {
  const { giant } = window;
  const [first, last] = stretchOf(window, far ? FAR_DECAYS_FROM : DECAYS_FROM);
  const n = last - first + 1;
  const seen = { apex: giant.apex - first, sigma: giant.sigma };
  const curves = isBehind(window)
    ? [...tailCurves(n, giant.sigma), ...(far ? [] : flankCurves(n, seen))]
    : [...flankCurves(n, seen), ...(far ? [] : leadingCurves(n, giant.sigma))];
  return fitOverDictionary(window, first, [...lineCurves(n), ...curves], DICTIONARY_MISFIT);
}

/** One rider over exp(cubic) within ± 5 σ of it: needs no idea of the giant, and little of it left. */
export function overCubic(window: RiderWindow, which: number, before: RiderFit): RiderFit {
  const { sigma, tau } = window.riders[which];
  const centre = before.centres[which];
  const end = before.first + before.background.length - 1;
  const first = Math.max(before.first, Math.round(centre - CUBIC_REACH * sigma));
  const last = Math.min(end, Math.round(centre + CUBIC_REACH * sigma + BEYOND_TAU * tau));
  const under = before.background.subarray(first - before.first, last - before.first + 1);
  const curve = exponentialPolynomial(under, [first, last], centre, sigma, 3, 0.1 * window.white);
  return fitOverCurve(window, which, [first, last], curve, before, CUBIC_MISFIT);
}

/**
 * One rider over the measured profile of the giant on a straight line.
 *
 * @param other the admissible other choice: from nearer to the giant
 */
export function overProfile(
  window: RiderWindow,
  which: number,
  profile: ProfileInSamples,
  before: Pick<RiderFit, "areas" | "centres" | "widths">,
  other = false,
): RiderFit & { readonly scale: number } {
  const stretch = stretchOf(window, other ? NEAR_PROFILE_FROM : PROFILE_FROM);
  const curve = profileCurve(profile, stretch, window.giant, window.giant.height);
  // Over a high background the fit before may have moved the riders: they start where they were seen.
  const starts = { ...before, centres: other ? before.centres : window.riders.map(({ mu }) => mu) };
  const fit = fitOverCurve(window, which, stretch, curve, starts, PROFILE_MISFIT);
  return { ...fit, scale: fit.parameters[0] };
}

export function isBehind({ riders, giant }: RiderWindow): boolean {
  return riders[0].mu > giant.apex;
}

/**
 * First and last sample of the window a background is fitted over: from beside the giant, or from one σ beside the riders
 * where a giant much wider than they are would leave nothing of them.
 */
function stretchOf(window: RiderWindow, from: number): readonly [number, number] {
  const { riders, giant, y } = window;
  const mus = riders.map((r) => r.mu);
  const [low, high] = [Math.min(...mus), Math.max(...mus)];
  const { sigma, tau } = riders[0];
  const [begin, end] = [giant.apex + from * giant.sigma, giant.apex - from * giant.sigma];
  const [a, b] = isBehind(window)
    ? [begin > high ? low - sigma : begin, high + BEYOND_SIGMA * sigma + BEYOND_TAU * tau]
    : [low - BEFORE_SIGMA * sigma, end < low ? high + sigma : end];
  return [Math.max(0, Math.round(a)), Math.min(y.length - 1, Math.round(b))];
}
