import type { BackgroundCurve } from "./rider-local.js";

/** The major injected alone, in samples of some record. */
export interface ProfileInSamples {
  /**
   * Above its baseline, and not smoothed: a smoothed flank is wider by half the curvature times the square of the
   * kernel's width, which at 6 σ is more than the rider.
   *
   * One value per sample of the profile's own record.
   */
  readonly values: Float64Array;
  /** Apex, index (may be fractional). */
  readonly apex: number;
  /** Samples of the profile per sample of the record it is laid under. */
  readonly step: number;
  /** Its noise over that of the record, both before scaling; 1 where not given. */
  readonly noise?: number;
}

/** How near the profile of another injection follows a giant once it is moved, stretched and scaled: share of its signal. */
export const PROFILE_MISFIT = 0.002;
/** The same for a giant that may be overloaded: what u allows for. */
export const OVERLOADED_PROFILE_MISFIT = 0.003;

/**
 * How far the scale (relative to the ratio of the heights), the shift (in σ) and ln of the stretch usually differ between
 * two injections of about the same amount; the far flank alone would leave them to each other. Common practice, no source.
 */
const USUAL = { scale: 0.03, shift: 0.1, stretch: 0.01 } as const;
/** Half the distance over which its slope is read, in σ: nearer by, the noise of two values passes for steepness. */
const SLOPE_REACH = 0.1;
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
  const reach = Math.max(SLOPE_REACH * giant.sigma * profile.step, 0.5);
  const top = Math.max(valueAt(profile, profile.apex), Number.MIN_VALUE);
  const start = new Float64Array(b);
  start[0] = height / top;
  return {
    start,
    usual: [USUAL.scale * start[0], undefined, USUAL.shift, USUAL.stretch, undefined],
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
        const steep = (valueAt(profile, at + reach) - valueAt(profile, at - reach)) / (2 * reach);
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

/** By a cubic through four values; a chord cuts the bends of a flank off. */
function valueAt({ values }: ProfileInSamples, at: number): number {
  const i = Math.floor(at);
  if (i < 0) return values[0];
  if (i >= values.length - 1) return values[values.length - 1];
  const f = at - i;
  if (i === 0 || i === values.length - 2) return values[i] + f * (values[i + 1] - values[i]);
  const [a, b, c, d] = [values[i - 1], values[i], values[i + 1], values[i + 2]];
  return b + 0.5 * f * (c - a + f * (2 * a - 5 * b + 4 * c - d + f * (3 * (b - c) + d - a)));
}
