import { type Covered, coveredIn, type World } from "./coverage-scenes.js";

// Invented, and made after the method was fixed: other designs, other scatter, other curves than those it was made with.
// Each design injects its levels often enough to show how scatter grows, two of them without more at the ends.
const DESIGNS = {
  "six of five": { levels: [0.05, 0.2, 1, 4, 10], replicates: [6, 6, 6, 6, 6] },
  "five of ten, one decade": {
    levels: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10],
    replicates: [5, 5, 5, 5, 5, 5, 5, 5, 5, 5],
  },
  "eight at the ends of six, three decades": {
    levels: [0.02, 0.1, 0.5, 2, 8, 20],
    replicates: [8, 4, 4, 4, 4, 8],
  },
} as const;

const CURVES = {
  "line with intercept": (x: number) => 0.02 + 1.7 * x,
  /** x = 0.8y + 0.9y²: nine tenths of the base unionised at the top. */
  "weaker base": (x: number) => (2 * x) / (0.8 + Math.sqrt(0.64 + 3.6 * x)),
} as const;

/** Standard deviation at a response, `low` and `top` those of the end levels. */
const NOISES = {
  "even, 10 % of the lowest": (_: number, low: number) => 0.1 * low,
  "proportional, 3 %": (y: number) => 0.03 * y,
  "floor 5 %, then 0.5 %": (y: number, low: number) => Math.hypot(0.05 * low, 0.005 * y),
  "floor 1 %, then 2 %": (y: number, low: number) => Math.hypot(0.01 * low, 0.02 * y),
  "as the root, 2 % at the top": (y: number, _: number, top: number) =>
    0.02 * top * Math.sqrt(Math.max(y, 0) / top),
} as const;

export interface BlindScenario {
  readonly design: keyof typeof DESIGNS;
  readonly curve: keyof typeof CURVES;
  readonly noise: keyof typeof NOISES;
  readonly weights: "true" | "variance function";
  /** v = s₀² + (θy)² cannot grow as the root: then the function is the wrong weights, which is printed, not asserted. */
  readonly promised: boolean;
}

const keys = <Key extends string>(of: Readonly<Record<Key, unknown>>) => Object.keys(of) as Key[];

export const BLIND_SCENARIOS: readonly BlindScenario[] = keys(DESIGNS).flatMap((design) =>
  keys(CURVES).flatMap((curve) =>
    keys(NOISES).flatMap((noise) =>
      (["true", "variance function"] as const).map((weights) => {
        const promised = weights === "true" || !noise.startsWith("as the root");
        return { design, curve, noise, weights, promised };
      }),
    ),
  ),
);

export function blindCoverageOf(scenario: BlindScenario, seed: number, trials: number): Covered {
  const { levels, replicates } = DESIGNS[scenario.design];
  const respond = CURVES[scenario.curve];
  const [lowest, highest] = [levels[0], levels[levels.length - 1]];
  const part = (share: number) => lowest * (highest / lowest) ** share;
  const noise = NOISES[scenario.noise];
  const world: World = {
    levels,
    replicates,
    places: [lowest, part(0.2), part(0.5), part(0.8), highest],
    respond,
    scatter: (y) => noise(y, respond(lowest), respond(highest)),
    model: scenario.curve === "weaker base" ? "weak" : "linear",
    weights: scenario.weights,
  };
  return coveredIn(world, seed, trials);
}

/** Mean over seeds of equally many trials. */
export function pooledCoverageOf(scenario: BlindScenario, seeds: readonly number[], trials: number): Covered {
  const each = seeds.map((seed) => blindCoverageOf(scenario, seed, trials));
  const mean = (of: (found: Covered) => number): number =>
    each.reduce((sum, found) => sum + of(found), 0) / each.length;
  return {
    ...each[0],
    atLowest: mean((found) => found.atLowest),
    atHighest: mean((found) => found.atHighest),
    anywhere: mean((found) => found.anywhere),
    between: each[0].between.map((_, place) => mean((found) => found.between[place])),
  };
}

/** A line of the printed table. */
export function blindLine(scenario: BlindScenario, found: Covered): string {
  const { design, curve, noise, weights } = scenario;
  const figures = [found.atLowest, ...found.between, found.atHighest, found.anywhere]
    .map((value) => value.toFixed(2).padStart(7))
    .join("");
  return `${design.padEnd(41)}${curve.padEnd(21)}${noise.padEnd(29)}${weights.padEnd(18)}${figures}${scenario.promised ? "" : "   (not promised)"}`;
}
