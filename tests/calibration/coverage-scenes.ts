import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import type { CalibrateOptions } from "../../toolkit/calibration/response/types.js";
import { createRandom, type Random } from "../../toolkit/numeric/random.js";

// Invented calibrations of known truth: eight levels over a two hundredfold range, three injections each, ten at both
// ends as ISO 8466-1:1990 asks (from memory), which is what tells how scatter grows; or three of each.
const LEVELS = [0.1, 0.25, 0.6, 1.2, 2.5, 5, 10, 20];
const REPLICATES = {
  "ten at the ends": [10, 3, 3, 3, 3, 3, 3, 10],
  "three of each": [3, 3, 3, 3, 3, 3, 3, 3],
};
/** Where samples are read: the two ends, three places between, and anywhere between. */
const PLACES = [0.1, 0.3, 1.5, 7, 20] as const;

type Curve = "linear" | "weak base";
type Noise = "homoscedastic" | "proportional" | "mixed";
type Weights = "true" | "variance function" | "none" | "1/x^2";

/** Half of the weak base is ionised at the highest level. */
const RESPONSE: Readonly<Record<Curve, (x: number) => number>> = {
  linear: (x) => 0.25 * x,
  "weak base": (x) => (2 * x) / (4 + Math.sqrt(16 + 4 * 1.259 * x)),
};
const SCATTER: Readonly<Record<Noise, (y: number) => number>> = {
  homoscedastic: () => 5e-4,
  proportional: (y) => 0.01 * y,
  mixed: (y) => Math.hypot(5e-4, 0.01 * y),
};

export interface Scenario {
  readonly design: keyof typeof REPLICATES;
  readonly curve: Curve;
  readonly noise: Noise;
  readonly weights: Weights;
  /** Whether the weights fit the noise or are fitted to it: then coverage is promised. */
  readonly promised: boolean;
}

const scenariosOf = (design: Scenario["design"], curve: Curve): readonly Scenario[] =>
  (["homoscedastic", "proportional", "mixed"] as const).flatMap((noise) => [
    { design, curve, noise, weights: "true" as const, promised: true },
    { design, curve, noise, weights: "variance function" as const, promised: design === "ten at the ends" },
    { design, curve, noise, weights: noise === "homoscedastic" ? "1/x^2" : "none", promised: false },
  ]);

/** Each noise with weights that fit, with a fitted variance function, and with wrong weights. */
export const SCENARIOS: readonly Scenario[] = (["ten at the ends", "three of each"] as const).flatMap(
  (design) => [...scenariosOf(design, "linear"), ...scenariosOf(design, "weak base")],
);

/** What one simulated calibration is made of. */
export interface World {
  readonly levels: readonly number[];
  readonly replicates: readonly number[];
  /** Where samples are read: the lowest level, places between, the highest. */
  readonly places: readonly number[];
  readonly respond: (x: number) => number;
  readonly scatter: (y: number) => number;
  readonly model: "linear" | "weak";
  readonly weights: Weights;
}

/** % of the 95 % intervals that hold the truth. */
export interface Covered {
  readonly atLowest: number;
  readonly between: readonly number[];
  readonly anywhere: number;
  readonly atHighest: number;
  /** Median half-width of the intervals at the lowest and highest level, % of the truth. */
  readonly halfWidths: readonly [lowest: number, highest: number];
}

export interface Coverage extends Scenario, Covered {
  readonly seed: number;
  readonly trials: number;
}

/** Calibrates and reads a sample at every place, many times over. */
export function coverageOf(scenario: Scenario, seed: number, trials: number): Coverage {
  const { design, curve, noise, weights } = scenario;
  const world: World = {
    levels: LEVELS,
    replicates: REPLICATES[design],
    places: PLACES,
    respond: RESPONSE[curve],
    scatter: SCATTER[noise],
    model: curve === "linear" ? "linear" : "weak",
    weights,
  };
  return { ...scenario, seed, trials, ...coveredIn(world, seed, trials) };
}

/** The same in any world. */
export function coveredIn(world: World, seed: number, trials: number): Covered {
  const { places, levels, respond, scatter } = world;
  const random = createRandom(seed);
  const covered = new Float64Array(places.length + 1);
  const widths: readonly [number[], number[]] = [[], []];
  const span = Math.log(levels[levels.length - 1] / levels[0]);
  for (let trial = 0; trial < trials; trial++) {
    const curve = oneDay(world, random);
    const anywhere = levels[0] * Math.exp(random.uniform() * span);
    [...places, anywhere].forEach((x, k) => {
      const y = respond(x);
      const { low, high } = curve
        .concentration(y + scatter(y) * random.normal(), { beyondRange: "allow", source: "reading" })
        .interval();
      if (low <= x && x <= high) covered[k]++;
      if (k === 0) widths[0].push((50 * (high - low)) / x);
      if (k === places.length - 1) widths[1].push((50 * (high - low)) / x);
    });
  }
  const percent = Array.from(covered, (count) => (100 * count) / trials);
  return {
    atLowest: percent[0],
    between: percent.slice(1, -2),
    atHighest: percent[places.length - 1],
    anywhere: percent[places.length],
    halfWidths: [median(widths[0]), median(widths[1])],
  };
}

function oneDay({ levels, replicates, respond, scatter, model, weights }: World, random: Random) {
  const points = levels.flatMap((concentration, level) => {
    const y = respond(concentration);
    return Array.from({ length: replicates[level] }, () => ({
      concentration,
      response: y + scatter(y) * random.normal(),
    }));
  });
  const truth = () => points.map(({ concentration }) => scatter(respond(concentration)));
  const weighting: NonNullable<CalibrateOptions["weighting"]> =
    weights === "true"
      ? { standardDeviations: truth() }
      : weights === "variance function"
        ? "variance-function"
        : weights;
  return calibrate(points, { model, weighting, name: "curve" });
}

function median(values: number[]): number {
  values.sort((a, b) => a - b);
  return values[values.length >> 1];
}

/** A line of the printed table. */
export function coverageLine(found: Coverage): string {
  const {
    design,
    curve,
    noise,
    weights,
    promised,
    seed,
    atLowest,
    between,
    atHighest,
    anywhere,
    halfWidths,
  } = found;
  const cells = [atLowest, ...between, atHighest, anywhere]
    .map((value) => value.toFixed(2).padStart(7))
    .join("");
  const wide = halfWidths.map((value) => value.toFixed(2).padStart(8)).join("");
  const name = `${design.padEnd(16)}${curve.padEnd(10)}${noise.padEnd(15)}${weights.padEnd(18)}`;
  return `${name}${String(seed).padStart(4)}${cells}${wide}${promised ? "" : "   (not promised)"}`;
}

export const COVERAGE_HEAD = `${"replicates".padEnd(16)}${"curve".padEnd(10)}${"noise".padEnd(15)}${"weights".padEnd(18)}seed${[
  ...PLACES,
  "any",
]
  .map((place) => String(place).padStart(7))
  .join("")}   ±low %   ±top %`;
