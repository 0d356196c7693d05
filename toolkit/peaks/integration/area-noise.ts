import { type Autocovariance, noiseAutocovariance } from "../../signal/autocovariance.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import { makeChromatogram } from "../../signal/make-chromatogram.js";
import { maskedBaseline } from "../../signal/masked-baseline.js";
import { stretchOf } from "../../signal/time-axis.js";
import { quietStretches, withoutWild } from "./quiet-stretches.js";
import { type RecordNoise, recordNoise } from "./record-noise.js";
import type { RecordRegion } from "./record-region.js";

/** The course that is taken off before noise is read is this many times stiffer than the baseline. */
const STIFFER = 5;
/** Share of the record that must be free of peaks, or of a blank that must be quiet, before noise can be read there. */
const LEAST_FREE = 0.02;

/** A typical area is so many σ long, and blanks are smoothed over one σ before they are taken off. */
const AREA_LENGTH = 10;

/** Noise of areas, and where it was read. */
export interface AreaNoise {
  readonly noise: RecordNoise;
  readonly autocovariance?: Autocovariance;
}

/**
 * What noise does to areas of a record: read from blanks where there are any, else from the record's own stretches
 * without peaks.
 *
 * What the blanks show all along their quiet stretches belongs to every area; what they show in one place (a hump of
 * carbonate, a dip, a corner of the programme, not twice alike) belongs to the areas there.
 *
 * @param free 1 where no peak's window lies
 * @param window length of a typical area, samples
 * @param subtracted how many blanks' mean, smoothed, was taken off the record: their slow noise has come in
 */
export function areaNoise(
  region: RecordRegion,
  free: Uint8Array,
  window: number,
  blanks: readonly Chromatogram[],
  subtracted: number,
): AreaNoise {
  if (blanks.length === 0) return { noise: ownNoise(region, free, window) };
  const differences = withoutProgramme(blanks, region);
  const [from, to] = [region.start, region.start + region.interval * (region.signal.length - 1)];
  const autocovariance = noiseAutocovariance(differences, { from, to });
  const cuts = differences.map(({ time, signal }) => {
    const { first, last } = stretchOf(time, from - 0.5 * region.interval, to + 0.5 * region.interval);
    return signal.subarray(first, last + 1);
  });
  const quiet = cuts.map((cut) => quietIn(cut, window, new Uint8Array(cut.length).fill(1)));
  const rests = cuts.map((cut, k) => lessCourse(cut, quiet[k], region));
  const sigma = window / AREA_LENGTH;
  const share = subtracted > 0 ? 1 / subtracted : 0;
  const everywhere = recordNoise(rests, quiet, {
    longestLag: longestLagOf(region),
    window,
    ...(share > 0 ? { smoothed: { share, width: sigma } } : {}),
  });
  return {
    autocovariance,
    noise: {
      ...everywhere,
      scatterOf(weights, own, near, reach) {
        const usual = everywhere.scatterOf(weights, own, near, reach);
        const first = near - ((own[0] + own[1]) >> 1);
        if (!quiet.some((mask) => mask.subarray(first + own[0], first + own[1] + 1).includes(0)))
          return usual;
        return Math.hypot(usual, Math.sqrt(1 + share) * excessAt(rests, weights, first, sigma, usual));
      },
    },
  };
}

/** Places in σ about the area's own at which the blanks are weighed: what is in one place does not reach farther. */
const PLACES = [-2, -1, 0, 1, 2] as const;

/** Scatter that the same weights show on blanks about the place where they stand, beyond the usual one. */
function excessAt(
  blanks: readonly Float64Array[],
  weights: Float64Array,
  first: number,
  sigma: number,
  usual: number,
): number {
  let squares = 0;
  let count = 0;
  for (const y of blanks) {
    for (const place of PLACES) {
      const start = first + Math.round(place * sigma);
      if (start < 0 || start + weights.length > y.length) continue;
      let sum = 0;
      for (let i = 0; i < weights.length; i++) sum += weights[i] * y[start + i];
      squares += sum * sum;
      count++;
    }
  }
  return count === 0 ? 0 : Math.sqrt(Math.max(squares / count - usual ** 2, 0));
}

/** Differences of successive blanks, in which the programme cancels; a single blank less its own slow course. */
function withoutProgramme(
  blanks: readonly Chromatogram[],
  { baseline }: RecordRegion,
): readonly Chromatogram[] {
  if (blanks.length === 1) {
    const [{ id, time, signal, signalUnit }] = blanks;
    const course = maskedBaseline(signal, new Uint8Array(signal.length).fill(1), stiffer(baseline.lambda));
    const rest = signal.map((value, i) => value - course.values[i]);
    return [makeChromatogram({ id, time, signal: rest, signalUnit })];
  }
  return blanks.slice(1).map(({ id, time, signal, signalUnit }, k) => {
    const before = blanks[k];
    const length = Math.min(signal.length, before.signal.length);
    const difference = Float64Array.from({ length }, (_, i) => (signal[i] - before.signal[i]) * Math.SQRT1_2);
    return makeChromatogram({
      id: `${id} less ${before.id}`,
      time: time.slice(0, length),
      signal: difference,
      signalUnit,
    });
  });
}

function ownNoise(region: RecordRegion, free: Uint8Array, window: number): RecordNoise {
  const usable = enough(free) ? free : new Uint8Array(free.length).fill(1);
  const rest = lessCourse(region.signal, usable, region);
  return recordNoise([rest], [quietIn(rest, window, withoutWild(rest, usable))], {
    longestLag: longestLagOf(region),
    window,
  });
}

function lessCourse(signal: Float64Array, usable: Uint8Array, { baseline }: RecordRegion): Float64Array {
  const course = maskedBaseline(signal, usable, stiffer(baseline.lambda));
  return signal.map((value, i) => value - course.values[i]);
}

/** Everything where hardly anything is quiet. */
function quietIn(y: Float64Array, window: number, usable: Uint8Array): Uint8Array {
  const quiet = quietStretches(y, window, usable);
  return enough(quiet) ? quiet : usable;
}

const enough = (mask: Uint8Array) => mask.reduce((sum, each) => sum + each, 0) > LEAST_FREE * mask.length;

const longestLagOf = ({ signal, baseline }: RecordRegion) =>
  Math.min(signal.length - 1, Math.ceil(30 * baseline.lambda ** 0.25));

const stiffer = (lambda: number): number => STIFFER ** 4 * lambda;
