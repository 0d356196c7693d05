import type { Stream } from "./random.js";

/** Slow and fast company of a record; every figure in µS/cm, every time in s. */
export interface Quietness {
  readonly white: number;
  readonly flicker: number;
  readonly pulsation: number;
  readonly wander: number;
  /** µS/cm per s */
  readonly drift: number;
}

export const QUIETNESS: Quietness = {
  white: 5e-4,
  flicker: 4e-4,
  pulsation: 2e-4,
  wander: 4e-3,
  drift: 6e-6,
};

/** Standard deviation of the fast part, µS/cm. */
export function fastNoise({ white, flicker, pulsation }: Quietness): number {
  return Math.hypot(white, flicker, pulsation / Math.SQRT2);
}

/** Adds slow wandering (six slow waves of random length and phase) and a straight drift. */
export function addWander(out: Float64Array, dt: number, quietness: Quietness, random: Stream): void {
  const waves = 6;
  const amplitude = quietness.wander * Math.sqrt(2 / waves);
  for (let w = 0; w < waves; w++) {
    const size = amplitude * random.normal();
    const rate = (2 * Math.PI * dt) / random.logBetween(300, 2400);
    const phase = 2 * Math.PI * random.uniform();
    for (let i = 0; i < out.length; i++) out[i] += size * Math.sin(phase + rate * i);
  }
  const slope = quietness.drift * random.normal() * dt;
  for (let i = 0; i < out.length; i++) out[i] += slope * i;
}

/** Subtracts the hole that the water of the sample makes at the hold-up time, with its slow recovery. */
export function addVoidDip(out: Float64Array, dt: number, holdUp: number, depth: number): void {
  const width = 3.2;
  for (let i = 0; i < out.length; i++) {
    const t = i * dt - (holdUp - 3 * width);
    if (t <= 0) continue;
    const x = t / width;
    const hole = (x / 3) ** 3 * Math.exp(3 - x);
    const recovery = (1 - Math.exp(-x)) ** 4 * Math.exp(-t / 26);
    out[i] -= depth * (hole + 0.025 * recovery);
  }
}

/** Adds white noise. */
export function addWhite(out: Float64Array, size: number, random: Stream): void {
  for (let i = 0; i < out.length; i++) out[i] += size * random.normal();
}

/**
 * Adds flicker noise by the scheme of Voss and McCartney: rows of held random numbers, row k renewed every 2^k
 * samples (each row at its own moment), summed. Power falls as 1/f over 14 octaves.
 */
export function addFlicker(out: Float64Array, size: number, random: Stream): void {
  const rows = 14;
  const scale = size / Math.sqrt(rows);
  const held = Array.from({ length: rows }, () => random.normal());
  const offset = held.map((_, k) => random.whole(0, 2 ** k - 1));
  let sum = held.reduce((total, value) => total + value, 0);
  for (let i = 0; i < out.length; i++) {
    for (let k = 0; k < rows; k++) {
      if (((i + offset[k]) & (2 ** k - 1)) !== 0) continue;
      const next = random.normal();
      sum += next - held[k];
      held[k] = next;
    }
    out[i] += scale * sum;
  }
}

/** Adds the stroke of the pump: a slightly lopsided wave of about 0.7 Hz whose phase wanders. */
export function addPulsation(out: Float64Array, dt: number, size: number, random: Stream): void {
  let phase = 2 * Math.PI * random.uniform();
  const rate = 2 * Math.PI * random.between(0.6, 0.8) * dt;
  for (let i = 0; i < out.length; i++) {
    phase += rate + 0.03 * random.normal();
    out[i] += size * (0.9 * Math.sin(phase) + 0.3 * Math.sin(2 * phase));
  }
}
