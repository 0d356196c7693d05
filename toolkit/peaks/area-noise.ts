import { type Autocovariance, noiseAutocovariance } from "../signal/autocovariance.js";
import type { Chromatogram } from "../signal/chromatogram.js";
import { makeChromatogram } from "../signal/make-chromatogram.js";
import { maskedBaseline } from "../signal/masked-baseline.js";
import { weightedNoise } from "../signal/weighted-noise.js";
import { type RecordNoise, recordNoise } from "./record-noise.js";
import type { RecordRegion } from "./record-region.js";

/** The course that is taken off before noise is read is this many times stiffer than the baseline. */
const STIFFER = 5;
const STIFFEST = 1e12;
/** Share of the record that must be free of peaks before its noise can be read there. */
const LEAST_FREE = 0.02;

/** Noise of areas, and where it was read. */
export interface AreaNoise {
  readonly noise: RecordNoise;
  readonly autocovariance?: Autocovariance;
}

/**
 * What noise does to areas of a record: read from blanks where there are any, else from the record's own stretches
 * without peaks.
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
  const autocovariance = noiseAutocovariance(withoutProgramme(blanks, region), {
    from: region.start,
    to: region.start + region.interval * (region.signal.length - 1),
  });
  const { values, samples } = autocovariance;
  const white = Math.max(values[0] - values[1], 0);
  return {
    autocovariance,
    noise: {
      records: blanks.length,
      dof: Math.max(3, Math.floor((2 * samples) / window)),
      scatterOf(weights) {
        const all = weightedNoise(weights, autocovariance) ** 2;
        if (subtracted === 0) return Math.sqrt(all);
        const fast = white * weights.reduce((sum, h) => sum + h * h, 0);
        return Math.sqrt(all + Math.max(all - fast, 0) / subtracted);
      },
    },
  };
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

function ownNoise({ signal, baseline }: RecordRegion, free: Uint8Array, window: number): RecordNoise {
  const count = free.reduce((sum, each) => sum + each, 0);
  const usable = count > LEAST_FREE * free.length ? free : new Uint8Array(free.length).fill(1);
  const course = maskedBaseline(signal, usable, stiffer(baseline.lambda));
  const rest = signal.map((value, i) => value - course.values[i]);
  const longestLag = Math.min(rest.length - 1, Math.ceil(30 * baseline.lambda ** 0.25));
  return recordNoise([rest], [usable], { longestLag, window });
}

const stiffer = (lambda: number): number => Math.min(STIFFER ** 4 * lambda, STIFFEST);
