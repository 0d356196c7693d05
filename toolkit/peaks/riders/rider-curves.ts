/** Exponential decays offered to the giant's tail, in units of σ. */
const DECAYS = [0.25, 0.35, 0.5, 0.7, 1, 1.6, 2.5, 4, 6.5, 10, 16, 25] as const;
/** Decays offered to the giant's front: its foot and what leads it. */
const RISES = [0.5, 1, 1.6, 2.5, 6] as const;
/** Gaussian flanks: width in units of the giant's σ, and distance of the centre behind the apex. */
const FLANK_WIDTHS = [0.8, 0.9, 1, 1.1, 1.25] as const;
const FLANK_CENTRES = [0, 1, 2, 3] as const;

/** Curves a giant's tail may be made of, each 1 at the first sample. */
export function tailCurves(length: number, sigma: number): Float64Array[] {
  return DECAYS.map((m) => {
    const curve = new Float64Array(length);
    const factor = Math.exp(-1 / (m * sigma));
    let value = 1;
    for (let i = 0; i < length; i++) {
      curve[i] = value;
      value *= factor;
    }
    return curve;
  });
}

/**
 * Gaussian flanks of a giant, 1 at the nearer end of the stretch. An overloaded peak's front is that of a Gaussian whose
 * centre lies behind the apex, and so is the far end of its back.
 *
 * @param apex of the giant relative to the stretch
 */
export function flankCurves(
  length: number,
  giant: { readonly apex: number; readonly sigma: number },
): Float64Array[] {
  const reference = giant.apex < length / 2 ? 0 : length - 1;
  return FLANK_WIDTHS.flatMap((m) =>
    FLANK_CENTRES.map((shift) => {
      const centre = giant.apex + shift * giant.sigma;
      const scale = 1 / (m * giant.sigma);
      const at = ((reference - centre) * scale) ** 2;
      return Float64Array.from({ length }, (_, i) => Math.exp(0.5 * (at - ((i - centre) * scale) ** 2)));
    }),
  );
}

/** Curves a giant's front may be made of besides its flank, each 1 at the last sample. */
export function leadingCurves(length: number, sigma: number): Float64Array[] {
  return RISES.map((m) => Float64Array.from({ length }, (_, i) => Math.exp((i - length + 1) / (m * sigma))));
}

/**
 * Curves that, beside a constant and never negative themselves, make a straight line of any level and slope: what is given
 * back of a baseline that had followed a giant's foot or tail stands on a chord which no giant ends at.
 */
export function lineCurves(length: number): Float64Array[] {
  const x = Float64Array.from({ length }, (_, i) => i / Math.max(length - 1, 1));
  return [new Float64Array(length).fill(-1), x, x.map((value) => -value)];
}
