import type { Random } from "../../../toolkit/numeric/random.js";
import type { Chromatogram } from "../../../toolkit/signal/chromatogram.js";
import { makeChromatogram } from "../../../toolkit/signal/make-chromatogram.js";
import type { TimeGrid } from "../../../toolkit/simulation/elution-profile.js";
import type { NoiseLevels } from "../../../toolkit/simulation/instrument.js";
import { addNoise } from "../../../toolkit/simulation/noise.js";
import type { NoiseKind } from "./scene.js";

/** Standard deviations and amplitude, µS/cm (handbook SIMULATOR §1.8; the plain kind is white alone). */
export const LEVELS: Readonly<Record<NoiseKind, NoiseLevels>> = {
  white: { white: 0.0005, pink: 0, pulsation: 0 },
  "white + 1/f": { white: 0.0005, pink: 0.0005, pulsation: 0.0002 },
  "white + 3× 1/f": { white: 0.0005, pink: 0.0015, pulsation: 0.0002 },
};

/** Standard deviation of all the detector adds, µS/cm. */
export function noiseOf(kind: NoiseKind): number {
  const { white, pink, pulsation } = LEVELS[kind];
  return Math.hypot(white, pink, pulsation / Math.SQRT2);
}

const LEAST_BIT = 1e-5;
/** Height of a valve's spike, µS/cm, and how many runs in ten have one somewhere. */
const SPIKE = 0.02;
const SPIKED = 0.3;

/** The record of a noise-free signal: noise of its kind, the valve's spike at the start and perhaps one elsewhere. */
export function recordOf(
  id: string,
  clean: Float64Array,
  { step }: TimeGrid,
  kind: NoiseKind,
  stream: (...stage: string[]) => Random,
): Chromatogram {
  const signal = Float64Array.from(clean);
  addNoise(signal, step, LEVELS[kind], {
    white: stream("white"),
    pink: stream("pink"),
    pulsation: stream("pulsation"),
  });
  addSpikes(signal, stream("spikes"));
  const time = signal.map((_, i) => (i * step) / 60);
  return makeChromatogram({
    id,
    time,
    signal: signal.map((y) => Math.round(y / LEAST_BIT) * LEAST_BIT),
    signalUnit: "µS/cm",
    notes: [],
  });
}

function addSpikes(signal: Float64Array, random: Random): void {
  signal[0] += SPIKE;
  const [spiked, place, sign] = [random.uniform(), random.uniform(), random.uniform()];
  if (spiked < SPIKED) signal[Math.floor(place * signal.length)] += sign < 0.5 ? SPIKE : -SPIKE;
}
