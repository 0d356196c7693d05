import { createRandom } from "../../toolkit/numeric/random.js";

/** Noise kinds of the handbook's area study, in white standard deviations: white part and 1/f part. */
export const NOISE_KINDS = [
  { name: "white", white: 1, pink: 0 },
  { name: "white + equal 1/f", white: 1, pink: 1 },
  { name: "white + 3× 1/f", white: 1, pink: 3 },
] as const;

export interface NoiseKind {
  readonly name: string;
  readonly white: number;
  readonly pink: number;
}

/** Corner frequencies of the 1/f part, Hz: 1/3000 to 1 and the octave above, each of equal variance. */
const CORNERS = Array.from({ length: 13 }, (_, octave) => 2 ** octave / 3000);

/** A seeded record of noise: n readings, `step` s apart. */
export function inventedNoise(n: number, step: number, kind: NoiseKind, seed: number | string): Float64Array {
  const random = createRandom(seed);
  const y = new Float64Array(n);
  for (let i = 0; i < n; i++) y[i] = kind.white * random.normal();
  if (kind.pink === 0) return y;
  const each = kind.pink / Math.sqrt(CORNERS.length);
  for (const corner of CORNERS) {
    const keep = Math.exp(-2 * Math.PI * corner * step);
    const fresh = Math.sqrt(1 - keep * keep);
    let state = random.normal();
    for (let i = 0; i < n; i++) {
      y[i] += each * state;
      state = keep * state + fresh * random.normal();
    }
  }
  return y;
}

/** Its autocovariance in closed form at a lag in samples: white² at lag 0 plus the mean of the exponentials. */
export function trueCovariance(lag: number, step: number, { white, pink }: NoiseKind): number {
  const slow = CORNERS.reduce((sum, corner) => sum + Math.exp(-2 * Math.PI * corner * step * lag), 0);
  return (lag === 0 ? white ** 2 : 0) + (pink ** 2 * slow) / CORNERS.length;
}
