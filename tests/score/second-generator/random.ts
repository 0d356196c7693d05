/**
 * Random numbers of the second generator: a small fast counter generator (three 32-bit words of state and a
 * counter), seeded by a text, so that every stage owns a stream that no other stage can disturb.
 */
export interface Stream {
  /** In (0, 1). */
  uniform(): number;
  /** Mean 0, standard deviation 1. */
  normal(): number;
  between(low: number, high: number): number;
  /** Log-uniform between two positive numbers. */
  logBetween(low: number, high: number): number;
  chance(probability: number): boolean;
  /** Whole number from low to high, both included. */
  whole(low: number, high: number): number;
}

/** 32-bit hash of a text, started from `salt`; the last steps spread every bit over the whole word. */
function hashText(text: string, salt: number): number {
  let h = salt | 0;
  for (let i = 0; i < text.length; i++) {
    h = Math.imul(h ^ text.charCodeAt(i), 0x9e3779b1);
    h = (h << 13) | (h >>> 19);
  }
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}

/** The stream that belongs to a seed and the names of a stage. */
export function stream(seed: number, ...stage: readonly (string | number)[]): Stream {
  const text = `${seed}/${stage.join("/")}`;
  let a = hashText(text, 0x1f83d9ab);
  let b = hashText(text, 0x5be0cd19);
  let c = hashText(text, 0x3c6ef372);
  let counter = 1;
  const word = (): number => {
    const t = (a + b + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + t;
    c |= 0;
    return t >>> 0;
  };
  for (let i = 0; i < 24; i++) word();
  const uniform = () => (word() + 0.5) / 4294967296;
  let spare: number | undefined;
  const normal = (): number => {
    if (spare !== undefined) {
      const value = spare;
      spare = undefined;
      return value;
    }
    let x: number;
    let y: number;
    let r: number;
    do {
      x = 2 * uniform() - 1;
      y = 2 * uniform() - 1;
      r = x * x + y * y;
    } while (r >= 1 || r === 0);
    const scale = Math.sqrt((-2 * Math.log(r)) / r);
    spare = y * scale;
    return x * scale;
  };
  return {
    uniform,
    normal,
    between: (low, high) => low + (high - low) * uniform(),
    logBetween: (low, high) => low * (high / low) ** uniform(),
    chance: (probability) => uniform() < probability,
    whole: (low, high) => low + Math.floor((high - low + 1) * uniform()),
  };
}
