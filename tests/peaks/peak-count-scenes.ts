// One exponentially modified Gaussian, or one with a shoulder, under white or slow noise: invented, seeded.
import { createRandom } from "../../toolkit/numeric/random.js";
import { choosePeakCount, type PeakCountChoice } from "../../toolkit/peaks/fitting/choose-peak-count.js";
import { emg } from "../../toolkit/peaks/shape/emg.js";
import { makeChromatogram } from "../../toolkit/signal/make-chromatogram.js";

export const SIGMA = 5 / 60;
const TAU = 2 / 60;
/** Half-height width of such a peak, by which resolution counts: Rs = 1.18·Δ/(W₁ + W₂). */
const HALF_WIDTH = 2.5 * SIGMA;
/** Distance of the shoulder's centre from the main one, min. */
export const distanceAt = (resolution: number) => (resolution * 2 * HALF_WIDTH) / 1.18;
const HEIGHT_OVER_NOISE = 300;
/** Samples a second. */
const RATE = 5;
/** 1/f noise as first-order processes of equal variance an octave apart, from 1/3000 to 1 Hz; time constants, samples. */
const SLOW = Array.from({ length: 13 }, (_, j) => (RATE * 3000) / (2 * Math.PI * 2 ** j));

export type NoiseKind = "white" | "white + equal 1/f";

export function chosenCount(
  seed: number,
  noise: NoiseKind,
  shoulder?: { readonly share: number; readonly resolution: number },
  effectiveFraction?: number,
): PeakCountChoice {
  const random = createRandom(`peak count ${seed}`);
  const time = Float64Array.from({ length: 350 }, (_, i) => 5 + (i / RATE - 28) / 60);
  const curve = (t: number) => {
    const main = emg(t, 5, SIGMA, TAU);
    if (shoulder === undefined) return main;
    return main + shoulder.share * emg(t, 5 + distanceAt(shoulder.resolution), SIGMA, TAU);
  };
  let height = 0;
  for (const t of time) height = Math.max(height, curve(t));
  const sd = height / HEIGHT_OVER_NOISE;
  const states = SLOW.map(() => random.normal());
  const signal = time.map((t) => {
    let slow = 0;
    SLOW.forEach((length, k) => {
      const kept = Math.exp(-1 / length);
      states[k] = kept * states[k] + Math.sqrt(1 - kept * kept) * random.normal();
      slow += states[k] / Math.sqrt(SLOW.length);
    });
    return curve(t) + sd * random.normal() + (noise === "white" ? 0 : sd * slow);
  });
  const record = makeChromatogram({ id: `run ${seed}`, time, signal });
  return choosePeakCount(record, {
    peaks: [{ retentionTime: 5.03 }],
    mostAdded: 1,
    ...(effectiveFraction === undefined ? {} : { effectiveFraction }),
  });
}
