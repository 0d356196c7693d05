import { medianInPlace } from "../numeric/robust.js";
import { arpls, stiffnessFor } from "./arpls.js";
import { whiteNoise } from "./noise.js";
import { countedOutside, type IndexStretch } from "./reweighted.js";
import { closed, opened } from "./sliding-extreme.js";
import { gaussianSmooth } from "./smooth.js";

/** Half of the window that tells dips and peaks from the baseline, in peak s.d. */
const HALF_WINDOW = 6;
/** A dip shallower than this many noise s.d. does no harm to a re-weighted baseline. */
const DEEP = 12;
/** The same in typical differences between the record's opening and its closing: slow noise makes those too. */
const CLEAR = 12;
/** The share of its depth that must lie below the baseline drawn without it: a valley between peaks does not. */
const BELOW = 0.4;
/** The depth, in r.m.s. of what else lies below the baseline, from which a dip does harm. */
const HARMFUL = 15;
/** Taken along on either side, in peak s.d. */
const MARGIN = 0.5;

/**
 * Deep dips inside a record — water, carbonate or injection dips — with their recovery, as stretches to be given no
 * weight. A dip inflates the spread of what lies below the baseline, from which arPLS takes its weights: left in, one of
 * 30 µS/cm made areas of medium peaks wrong by 161 % (median, simulated).
 *
 * Candidates are what closing fills after opening has taken the peaks off, windows of 12 s.d.; each ends where the
 * exponential recovery, extrapolated from 50 % and 10 % of the depth, is below half the noise. Those that do not lie
 * below a baseline drawn without them are valleys between peaks and are dropped. Not found: a dip at either end of the
 * record or wider than the window. O(n).
 *
 * @param y evenly sampled signal, any unit
 * @param sigma standard deviation of a typical peak, samples
 */
export function deepDips(y: Float64Array, sigma: number): readonly IndexStretch[] {
  const smooth = gaussianSmooth(y, Math.max(1, sigma / 3));
  const candidates = filledStretches(y, smooth, sigma);
  if (candidates.length === 0) return [];
  const excluded = candidates.map(({ stretch }) => stretch);
  const { values } = arpls(y, stiffnessFor(1.5 * sigma, 1), { excluded });
  const least = HARMFUL * spreadBelow(y, values, excluded);
  return candidates.flatMap(({ stretch, lowest, depth }) => {
    const below = values[lowest] - smooth[lowest];
    return below > BELOW * depth && below > least ? [stretch] : [];
  });
}

/** Root mean square of what lies below a baseline outside the excluded stretches. */
function spreadBelow(y: Float64Array, z: Float64Array, excluded: readonly IndexStretch[]): number {
  const counted = countedOutside(excluded, y.length);
  let squares = 0;
  let count = 0;
  for (let i = 0; i < y.length; i++) {
    if (!counted[i] || y[i] >= z[i]) continue;
    squares += (y[i] - z[i]) ** 2;
    count++;
  }
  return count === 0 ? 0 : Math.sqrt(squares / count);
}

interface Candidate {
  readonly stretch: IndexStretch;
  readonly lowest: number;
  readonly depth: number;
}

function filledStretches(y: Float64Array, smooth: Float64Array, sigma: number): readonly Candidate[] {
  const n = y.length;
  const half = Math.max(2, Math.round(HALF_WINDOW * sigma));
  if (n < 2 * half) return [];
  const floor = opened(smooth, half);
  const filled = closed(floor, half);
  const difference = filled.map((value, i) => value - floor[i]);
  const noise = whiteNoise(y);
  const least = Math.max(DEEP * noise, CLEAR * medianInPlace(difference.slice()));
  const found: Candidate[] = [];
  for (let i = 0; i < n; i++) {
    if (!(difference[i] > least)) continue;
    const first = i;
    let deepest = i;
    while (i < n && difference[i] > least) {
      if (difference[i] > difference[deepest]) deepest = i;
      i++;
    }
    // What reaches an end of the record has only one side: the start of a rise, not a dip.
    if (difference[0] > least && first === 0) continue;
    if (i >= n) continue;
    found.push(candidateAt(smooth, filled[deepest], deepest, noise, sigma));
  }
  return found;
}

function candidateAt(
  smooth: Float64Array,
  level: number,
  near: number,
  noise: number,
  sigma: number,
): Candidate {
  const n = smooth.length;
  let lowest = near;
  while (lowest > 0 && smooth[lowest - 1] < smooth[lowest]) lowest--;
  while (lowest < n - 1 && smooth[lowest + 1] < smooth[lowest]) lowest++;
  const depth = level - smooth[lowest];
  const reach = (step: 1 | -1, share: number) => {
    let i = lowest;
    while (i > 0 && i < n - 1 && smooth[i] < level - share) i += step;
    return i;
  };
  const rest = Math.max(0.5 * noise, 1e-12 * depth);
  const [half, tenth] = [reach(1, 0.5 * depth), reach(1, 0.1 * depth)];
  const tau = (tenth - half) / Math.log(5);
  const recovered = tenth + tau * Math.log(Math.max((0.1 * depth) / rest, 1));
  const margin = Math.ceil(MARGIN * sigma);
  const last = Math.min(Math.round(Math.max(recovered, reach(1, rest))) + margin, n - 1);
  return { stretch: [Math.max(reach(-1, rest) - margin, 0), last], lowest, depth };
}
