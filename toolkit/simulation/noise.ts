import type { Random } from "../numeric/random.js";
import type { NoiseLevels } from "./instrument.js";

/** Lowest and highest corner frequency of the 1/f noise, Hz, an octave apart each. */
const LOWEST = 1 / 3000;
const OCTAVES = Math.ceil(Math.log2(3000)) + 1;
/** Frequency of the pump strokes, Hz, and the walk of their phase, rad/√s. */
const STROKES = 0.55;
const PHASE_WALK = 0.02;

/**
 * Adds detector noise to a signal in place: white, 1/f and the pulsation of the pump.
 *
 * @param signal µS/cm
 * @param step s between points
 * @param streams one random stream for each kind of noise, so that a change of one leaves the others as they are
 * @source sizes are those of a quiet suppressed system (common practice, no source)
 */
export function addNoise(
  signal: Float64Array,
  step: number,
  levels: NoiseLevels,
  streams: { readonly white: Random; readonly pink: Random; readonly pulsation: Random },
): void {
  for (let i = 0; i < signal.length; i++) signal[i] += levels.white * streams.white.normal();
  addPink(signal, step, levels.pink, streams.pink);
  addPulsation(signal, step, levels.pulsation, streams.pulsation);
}

/** 1/f noise as a sum of first-order processes with corners an octave apart, each of equal variance. */
function addPink(signal: Float64Array, step: number, deviation: number, random: Random): void {
  const each = deviation / Math.sqrt(OCTAVES);
  for (let octave = 0; octave < OCTAVES; octave++) {
    const keep = Math.exp(-2 * Math.PI * LOWEST * 2 ** octave * step);
    const fresh = Math.sqrt(1 - keep * keep);
    let y = random.normal();
    for (let i = 0; i < signal.length; i++) {
      signal[i] += each * y;
      y = keep * y + fresh * random.normal();
    }
  }
}

function addPulsation(signal: Float64Array, step: number, amplitude: number, random: Random): void {
  let phase = 2 * Math.PI * random.uniform();
  const walk = PHASE_WALK * Math.sqrt(step);
  for (let i = 0; i < signal.length; i++) {
    signal[i] += amplitude * Math.sin(phase);
    phase += 2 * Math.PI * STROKES * step + walk * random.normal();
  }
}
