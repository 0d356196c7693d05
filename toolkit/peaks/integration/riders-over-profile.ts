import { overProfile } from "../riders/rider-models.js";
import { PROFILE_MISFIT, type ProfileInSamples } from "../riders/rider-profile.js";
import { misfitUncertainty } from "../riders/rider-uncertainty.js";
import { rootWeights } from "../riders/rider-window.js";
import type { ShapeInSamples } from "../shape/integration-window.js";
import { smoothFor } from "./integrate.js";
import { placedRider } from "./measure-rider.js";
import { type IntegrateOptions, noiseOf, type PlacedPeak, type Prepared, prepare } from "./placed-peak.js";

/** A small peak that shows only once the measured profile of its giant is taken off; lengths in samples. */
export interface HiddenRider {
  /** Which of the peaks it rides on. */
  readonly giant: number;
  readonly apex: number;
  readonly height: number;
  readonly area: number;
  /** The figures that decided. */
  readonly because: string;
}

/** Where one is looked for behind a giant, in the giant's σ: nearer, profile and rider are one. */
const FROM = 5;
const TO = 20;
/** Step of the search in the rider's σ, and how near to another peak it does not look. */
const STEP = 0.5;
const APART = 2.5;
/** Steps about the clearest place, in the rider's σ. */
const FINER = [0.25, 0.12, 0.06] as const;
/** An area above so many of its u is a peak: noise of the record and of the profile, and what a profile leaves open. */
const LEAST_AREA = 5;
/** Lower than so many standard deviations of the noise, what a profile leaves may look like one. */
const LEAST_HEIGHT = 5;
/** Riders without a maximum on one giant. */
const MOST = 3;

/**
 * Peaks behind giants that have no maximum of their own in the record, but stand above the giant's measured profile.
 *
 * At places half a σ apart a peak of known shape is fitted together with the profile (scale, shift, stretch, level) and the
 * peaks already there; where it explains most and its area is above 5 u it is one, and the search goes on beside it.
 *
 * @param shapeAt shape expected at an index
 */
export function ridersOverProfile(
  y: Float64Array,
  placed: readonly PlacedPeak[],
  shapeAt: (index: number) => ShapeInSamples,
  options: IntegrateOptions,
): readonly HiddenRider[] {
  const smooth = smoothFor(y, placed);
  const peaks = placed.map((peak) => prepare(y, smooth, peak, options.white));
  return peaks.flatMap((giant, index) => {
    const profile = options.profileOf?.(giant.apex);
    if (profile === undefined) return [];
    const found: Standing[] = [];
    while (found.length < MOST) {
      const all = [...peaks, ...found.map(({ peak }) => peak)];
      const next = clearest({ y, smooth, peaks: all, index, profile, shapeAt, options });
      if (next === undefined) break;
      found.push(next);
    }
    return found.map(({ peak, area, clarity }): HiddenRider => {
      const { height } = peak;
      const apex = Math.round(peak.apex);
      const because = `over the measured profile of the giant its area is ${clarity.toFixed(0)} u`;
      return { giant: index, apex, height, area, because };
    });
  });
}

/** A peak at a place that was tried. */
interface Standing {
  readonly peak: Prepared;
  readonly area: number;
  /** Its area over its u. */
  readonly clarity: number;
  /** Its area over the u that the fit's own weights foresee. */
  readonly explains: number;
}

interface Search {
  readonly y: Float64Array;
  readonly smooth: Float64Array;
  readonly peaks: readonly Prepared[];
  /** Of the giant. */
  readonly index: number;
  readonly profile: ProfileInSamples;
  readonly shapeAt: (index: number) => ShapeInSamples;
  readonly options: IntegrateOptions;
}

/** The place where a peak explains most, if it stands out enough there. */
function clearest(search: Search): Standing | undefined {
  const { y, peaks, index, shapeAt } = search;
  const giant = peaks[index];
  const sigma = giant.sigma * giant.widening;
  const others = peaks.filter((p, j) => j !== index && p.present);
  // Beyond another giant this one is not the background.
  const next = others.filter((p) => p.apex > giant.apex && p.height > 0.2 * giant.height).map((p) => p.apex);
  const end = Math.min(giant.apex + TO * sigma, y.length - 1, ...next);
  const near = (at: number, reach: number) => others.some((p) => Math.abs(p.apex - at) < reach);
  const at = (place: number): Standing | undefined => {
    const shape = shapeAt(Math.round(place));
    return near(place, APART * shape.sigma) ? undefined : tryAt(search, place, shape);
  };
  let best: Standing | undefined;
  const from = giant.apex + FROM * sigma;
  for (let place = from; place < end; place += STEP * shapeAt(Math.round(place)).sigma)
    best = better(best, at(place));
  for (const step of FINER) {
    if (best === undefined) return undefined;
    const { apex, sigma: own } = best.peak;
    for (const place of [apex - step * own, apex + step * own]) best = better(best, at(place));
  }
  return best;
}

function better(one: Standing | undefined, other: Standing | undefined): Standing | undefined {
  if (one === undefined || other === undefined) return one ?? other;
  return other.explains > one.explains ? other : one;
}

/** A peak of known shape at one place, and its area over its u. */
function tryAt(
  { y, smooth, peaks, index, profile, options }: Search,
  apex: number,
  shape: ShapeInSamples,
): Standing | undefined {
  const trial: Prepared = {
    ...{ apex, sigma: shape.sigma, tau: shape.tau },
    ...{ present: false, sumPerFit: 1, height: 0, widening: 1, window: [0, 0] },
  };
  const at = placedRider(y, smooth, [...peaks, trial], peaks.length, index, options);
  if (at === undefined) return undefined;
  const { window, which, first } = at;
  const { white } = options;
  const starts = {
    areas: window.riders.map(() => 0),
    centres: window.riders.map(({ mu }) => mu),
    widths: window.riders.map(() => 1),
  };
  const fit = overProfile(window, which, profile, starts);
  const area = fit.areas[which];
  const height = fit.components[which].reduce((most, value) => Math.max(most, value), 0);
  if (!(height > LEAST_HEIGHT * white)) return undefined;
  const row = fit.row(which);
  const root = rootWeights(window.smooth, fit.first, fit.first + row.length - 1, white, PROFILE_MISFIT);
  // The square of this is what the peak takes off the weighted sum of squares.
  const explains = area / (white * Math.sqrt(row.reduce((sum, h, i) => sum + (h / root[i]) ** 2, 0)));
  if (!(explains > LEAST_AREA)) return undefined;
  const uProfile = Math.hypot(1, fit.scale * (profile.noise ?? 1));
  const uNoise = noiseOf(row, first + fit.first, trial, options) * uProfile;
  const uMisfit = misfitUncertainty(row, fit.background, PROFILE_MISFIT, shape.sigma);
  const clarity = area / Math.hypot(uNoise, uMisfit);
  if (!(clarity > LEAST_AREA)) return undefined;
  return { peak: { ...trial, present: true, height, ownHeight: height }, area, clarity, explains };
}
