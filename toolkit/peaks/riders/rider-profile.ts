import { gaussianSmooth } from "../../signal/smooth.js";
import type { BackgroundCurve } from "./rider-local.js";

/** The major injected alone, in samples of some record. */
export interface ProfileInSamples {
  /** Smoothed, above its baseline, one per sample of the profile's own record. */
  readonly values: Float64Array;
  /** Apex, index (may be fractional). */
  readonly apex: number;
  /** Samples of the profile per sample of the record it is laid under. */
  readonly step: number;
  /** Its noise over that of the record, both before scaling; 1 where not given. */
  readonly noise?: number;
}

/** Smoothing near the apex and in the far tail, in σ, and between which distances behind the apex it grows. */
const NEAR_SMOOTHING = 0.12;
const FAR_SMOOTHING = 0.6;
const GROWS_FROM = 5;
const GROWS_TO = 15;

/** A record without most of its noise: little smoothing on the peak, more in the tail where nothing is sharp. */
export function smoothProfile(values: Float64Array, apex: number, sigma: number): Float64Array {
  const near = gaussianSmooth(values, Math.max(NEAR_SMOOTHING * sigma, 0.3));
  const far = gaussianSmooth(values, Math.max(FAR_SMOOTHING * sigma, 0.3));
  return near.map((value, i) => {
    const grown = (Math.abs(i - apex) / sigma - GROWS_FROM) / (GROWS_TO - GROWS_FROM);
    const w = Math.min(Math.max(grown, 0), 1);
    return (1 - w) * value + w * far[i];
  });
}

/** How far the profile may be moved, in σ, and stretched, as a logarithm. */
const LARGEST_SHIFT = 0.8;
const LARGEST_STRETCH = 0.2;

/**
 * The profile as a background: scale, constant, shift in σ, ln of the stretch, and a slope, for its own record and this one
 * have given their baselines back over different chords.
 *
 * @param apex of the giant in the window
 */
export function profileCurve(
  profile: ProfileInSamples,
  stretch: readonly [first: number, last: number],
  giant: { readonly apex: number; readonly sigma: number },
  height: number,
): BackgroundCurve {
  const n = stretch[1] - stretch[0] + 1;
  const b = 5;
  const free = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY] as const;
  const top = Math.max(valueAt(profile, profile.apex), Number.MIN_VALUE);
  const start = new Float64Array(b);
  start[0] = height / top;
  return {
    start,
    bounds: [
      [0, Number.POSITIVE_INFINITY],
      free,
      [-LARGEST_SHIFT, LARGEST_SHIFT],
      [-LARGEST_STRETCH, LARGEST_STRETCH],
      free,
    ],
    evaluate([scale, constant, shift, lnStretch, slope], value, gradient) {
      const narrow = profile.step * Math.exp(-lnStretch);
      for (let i = 0; i < n; i++) {
        const distance = stretch[0] + i - giant.apex - shift * giant.sigma;
        const at = profile.apex + distance * narrow;
        const p = valueAt(profile, at);
        const steep = valueAt(profile, at + 0.5) - valueAt(profile, at - 0.5);
        const x = n > 1 ? (2 * i) / (n - 1) - 1 : 0;
        value[i] = scale * p + constant + slope * x;
        gradient[i * b] = p;
        gradient[i * b + 1] = 1;
        gradient[i * b + 2] = -scale * steep * narrow * giant.sigma;
        gradient[i * b + 3] = -scale * steep * distance * narrow;
        gradient[i * b + 4] = x;
      }
    },
  };
}

function valueAt({ values }: ProfileInSamples, at: number): number {
  const i = Math.floor(at);
  if (i < 0) return values[0];
  if (i >= values.length - 1) return values[values.length - 1];
  return values[i] + (at - i) * (values[i + 1] - values[i]);
}
