/** Steps of the table to a unit of the exponent. */
const PER_UNIT = 128;
/** Exponents beyond ± this count as this: a weight of 4e-18, or 1 exactly. */
const REACH = 40;
const STEPS = REACH * PER_UNIT;
const LEAST_WEIGHT = 1 / (1 + Math.exp(REACH));

/** e^(k/PER_UNIT) for k from −STEPS to STEPS. */
const exponentials = Float64Array.from({ length: 2 * STEPS + 1 }, (_, k) => Math.exp((k - STEPS) / PER_UNIT));

/**
 * 1 + LINEAR·d + SQUARE·d² + CUBE·d³ is e^(d/PER_UNIT) within half a step to 3e-12: the term of fourth order, at most
 * 1e-11, is spread over the square so that it is right at both ends.
 */
const LINEAR = 1 / PER_UNIT;
const SQUARE = (1 / 2 + 1 / 96 / PER_UNIT ** 2) / PER_UNIT ** 2;
const CUBE = 1 / 6 / PER_UNIT ** 3;

/** Added and taken off again it rounds a number to the nearest integer. */
const ROUNDING = 1.5 * 2 ** 52;

/**
 * 1/(1 + e^x) for x given in steps of the table, see `Weighing`. So short that the compiler puts it into the loops that
 * call it. Most readings of a crowded record stand in peaks, where nothing is left to work out; they lie together, so
 * that the branch is foretold.
 */
export function logistic(steps: number): number {
  if (!(steps < STEPS)) return LEAST_WEIGHT;
  let held = steps;
  if (held < -STEPS) held = -STEPS;
  const k = held + ROUNDING - ROUNDING;
  const d = held - k;
  const power = exponentials[(k + STEPS) | 0] * (1 + d * (LINEAR + d * (SQUARE + d * CUBE)));
  return 1 / (1 + power);
}

/**
 * The weights 1/(1 + e^x), x = scale·(r − threshold), of one turn: rate and offset that turn a residual into steps,
 * rate·r − offset. An array, so that compiled code need not ask whether they are whole numbers.
 */
export type Weighing = Float64Array;

export function weighingBy(scale: number, threshold: number): Weighing {
  const rate = PER_UNIT * scale;
  return Float64Array.of(rate, rate * threshold);
}

/** Weights of exactly 1 where the residual is 0: those a run begins with. */
export const ALL_COUNT = weighingBy(1, REACH);
