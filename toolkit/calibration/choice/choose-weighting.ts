import { carveFrom } from "../../numeric/carve.js";
import { levelsOf } from "../response/levels.js";
import type { CalibrationWeighting, StandardReading } from "../response/types.js";
import { cochranTest } from "../tests-of-fit/variance-homogeneity.js";
import { levelScatter } from "../weights/response-weighting.js";
import {
  type LevelScatter,
  likeliestFunction,
  scatterTable,
  twiceMinusLogLikelihood,
  varianceAt,
} from "../weights/variance-function.js";

/** Weights chosen for a set of standards. */
export interface ChosenWeighting {
  readonly weighting: CalibrationWeighting;
  /** By what rule and figures, in a sentence. */
  readonly reason: string;
}

/** Fewer levels with replicates say nothing of how scatter grows. */
const FEWEST = 3;
/** Without replicates, a wider range than this is weighted. */
const WIDE = 10;

/**
 * The weights that fit the scatter of the replicates: of a constant standard deviation, one that grows with √x, with x,
 * or as √(s₀² + (θy)²), the one with the smallest −2 log L + 2·(coefficients). A zero level excludes 1/x and 1/x². Without
 * replicates on three levels: 1/x² over more than a decade, else none.
 *
 * @source information criterion: H. Akaike, IEEE Trans. Autom. Control 19 (1974) 716 (from memory); the rule without
 *   replicates is common practice, no source
 */
export function chooseWeighting(points: readonly StandardReading[]): ChosenWeighting {
  const scatter = levelScatter(points);
  const zero = points.some(({ concentration }) => concentration === 0);
  if (scatter.filter(({ variance }) => variance > 0).length < FEWEST) return withoutReplicates(points, zero);
  const judged = candidates(scatter, zero).sort((a, b) => a.criterion - b.criterion);
  const [best, second] = judged;
  const groups = levelsOf(points)
    .filter(({ members }) => members.length > 1)
    .map(({ members }) => members.map((i) => points[i].response));
  const { C, critical5Percent } = cochranTest(groups);
  const alike = C <= critical5Percent ? "does not exclude equal variances" : "excludes equal variances";
  return {
    weighting: best.weighting,
    reason:
      `Weights ${written(best.weighting)}: the replicates scatter ${best.words}, by the information criterion ` +
      `(${(second.criterion - best.criterion).toFixed(1)} better than ${second.words}); ` +
      `Cochran's C ${C.toPrecision(3)} against ${critical5Percent.toPrecision(3)} ${alike}.`,
  };
}

interface Candidate {
  readonly weighting: CalibrationWeighting;
  readonly words: string;
  readonly criterion: number;
}

function candidates(
  scatter: readonly (LevelScatter & { readonly concentration: number })[],
  zero: boolean,
): Candidate[] {
  const table = scatterTable(scatter);
  const byResponse = (shape: (y: number) => number) => twiceMinusLogLikelihood(table, shape);
  const levels = { ...table, responses: carveFrom(scatter, ({ concentration }) => concentration) };
  const byLevel = (shape: (x: number) => number) => twiceMinusLogLikelihood(levels, shape) + 2;
  const found = likeliestFunction(table);
  const function_ = byResponse((y) => varianceAt(found, y)) + 4;
  return [
    { weighting: "none", words: "alike at all levels", criterion: byLevel(() => 1) },
    ...(zero
      ? []
      : ([
          { weighting: "1/x", words: "as the root of the concentration", criterion: byLevel((x) => x) },
          {
            weighting: "1/x^2",
            words: "in proportion to the concentration",
            criterion: byLevel((x) => x * x),
          },
        ] as const)),
    {
      weighting: "variance-function",
      words: `with a floor of ${found.s0.toPrecision(2)} and ${(100 * found.theta).toPrecision(2)} % above it`,
      criterion: Number.isFinite(function_) ? function_ : Number.POSITIVE_INFINITY,
    },
  ];
}

function withoutReplicates(points: readonly StandardReading[], zero: boolean): ChosenWeighting {
  const values = points.map(({ concentration }) => concentration).filter((x) => x > 0);
  const span = Math.max(...values) / Math.min(...values);
  if (span > WIDE && !zero) {
    return {
      weighting: "1/x^2",
      reason: `Weights 1/x²: too few replicates to see the scatter, and the range spans a factor of ${span.toPrecision(2)} (common practice).`,
    };
  }
  return {
    weighting: "none",
    reason: zero
      ? "No weights: too few replicates to see the scatter, and a zero level carries no weight 1/x."
      : "No weights: too few replicates to see the scatter, and the range is within a decade (common practice).",
  };
}

/** A weighting as it is printed. */
export function written(weighting: CalibrationWeighting): string {
  return { none: "none", "1/x": "1/x", "1/x^2": "1/x²", "variance-function": "from a variance function" }[
    weighting
  ];
}
