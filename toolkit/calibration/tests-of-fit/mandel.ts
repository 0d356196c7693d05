import { fisherQuantile, fisherUpperTail } from "../../numeric/distributions.js";
import { workArrays } from "../../numeric/work-arrays.js";
import { type DesignSource, rememberedDesign } from "../response/remembered-designs.js";
import { responseModel } from "../response/response-models.js";
import type { MandelTest } from "../response/types.js";
import { fitDesign, type WeightedFit } from "../response/weighted-fit.js";

const passingResiduals = workArrays();

/** Level at which ISO 8466-1 judges F (from memory of the standard). */
const SIGNIFICANCE = 0.01;
/** A curvature that moves no level by more than this is not worth a second coefficient (common practice). */
const RELEVANT_PERCENT = 2;
const SOURCE = "ISO 8466-1:1990, 99 % (from memory), and more than 2 % of a level (common practice)";
/** Sums of squares below this part of Σwy² are rounding, not scatter. */
const ROUNDING = 1e-26;

/** What the caller knows of the fits. */
export interface MandelKnown {
  /** The straight line with these weights. */
  readonly line?: Pick<WeightedFit, "coefficients" | "sumOfSquares"> | undefined;
  readonly designOf?: DesignSource;
}

/**
 * Mandel's fitting test: whether a parabola describes the responses better than the straight line,
 *
 *     F = (Q_line − Q_parabola) / (Q_parabola/(n − 3)),   1 and n − 3 degrees of freedom
 *
 * both fitted with the same weights w (Q = Σ w r²). `relevant` asks for both F beyond its 99 % point and two curves
 * that differ by more than 2 % in some level's concentration: very precise readings make the smallest curvature
 * significant. With three readings or fewer, or fewer than three levels, there is nothing to ask: F and p are NaN.
 *
 * @source ISO 8466-1:1990, 5.1 (99 % from memory); the 2 % is common practice, no source
 */
export function mandelTest(
  x: Float64Array,
  y: Float64Array,
  weights: Float64Array,
  { line: known, designOf = rememberedDesign }: MandelKnown = {},
): MandelTest {
  const dfDenominator = x.length - 3;
  if (dfDenominator < 1 || !threeDiffer(x)) return unasked(Math.max(0, dfDenominator));
  const fit = (model: "linear" | "quadratic") =>
    fitDesign(designOf(responseModel(model), x, weights), y, passingResiduals(x.length));
  const line = known ?? fit("linear");
  const parabola = fit("quadratic");
  const F = fRatio(line, parabola, y, weights, dfDenominator);
  const critical = fisherQuantile(1 - SIGNIFICANCE, 1, dfDenominator);
  const largestDifferencePercent = largestDifference(line, parabola, x);
  return {
    F,
    dfNumerator: 1,
    dfDenominator,
    p: fisherUpperTail(F, 1, dfDenominator),
    critical,
    largestDifferencePercent,
    ...judged(F > critical, largestDifferencePercent > RELEVANT_PERCENT),
    source: SOURCE,
  };
}

function threeDiffer(x: Float64Array): boolean {
  let other = x[0];
  for (let i = 1; i < x.length; i++) {
    if (x[i] === x[0] || x[i] === other) continue;
    if (other !== x[0]) return true;
    other = x[i];
  }
  return false;
}

function judged(significant: boolean, large: boolean): Pick<MandelTest, "relevant" | "verdict"> {
  if (!significant) return { relevant: false, verdict: "no curvature beyond the scatter" };
  return large
    ? { relevant: true, verdict: "curved: a straight line would not do" }
    : { relevant: false, verdict: "curved beyond the scatter, yet by less than 2 % of any level" };
}

function unasked(dfDenominator: number): MandelTest {
  const nothing = Number.NaN;
  return {
    F: nothing,
    dfNumerator: 1,
    dfDenominator,
    p: nothing,
    critical: nothing,
    largestDifferencePercent: nothing,
    relevant: false,
    verdict: "cannot be asked of so few readings or levels",
    source: SOURCE,
  };
}

function fRatio(
  line: NonNullable<MandelKnown["line"]>,
  parabola: WeightedFit,
  y: Float64Array,
  weights: Float64Array,
  dof: number,
): number {
  let size = 0;
  for (let i = 0; i < y.length; i++) size += weights[i] * y[i] * y[i];
  const rounding = ROUNDING * size;
  const gained = line.sumOfSquares - parabola.sumOfSquares;
  if (gained <= rounding) return 0;
  if (parabola.sumOfSquares <= rounding) return Infinity;
  return gained / (parabola.sumOfSquares / dof);
}

/** Largest |x̂_line − x̂_parabola|/x in %, both read off at the parabola's response to each level above zero. */
function largestDifference(
  line: NonNullable<MandelKnown["line"]>,
  parabola: WeightedFit,
  x: Float64Array,
): number {
  const straight = responseModel("linear");
  const curved = responseModel("quadratic");
  let largest = 0;
  for (const level of x) {
    if (level <= 0) continue;
    const y = curved.respond(parabola.coefficients, level);
    const found = straight.find(line.coefficients, y);
    largest = Math.max(largest, (100 * Math.abs(found - level)) / level);
  }
  return largest;
}
