import { fitResponse } from "./fit-response.js";
import type { ResponseModel } from "./response-models.js";
import type { StandardReading } from "./types.js";
import type { ResolvedWeighting } from "./weighting.js";

/** One named source of the standards' concentrations: what it does to each point, for one standard uncertainty. */
export interface SharedError {
  readonly source: string;
  readonly contributions: Float64Array;
}

/** What one standard uncertainty of a named source does to the free coefficients. */
export interface CoefficientShift {
  readonly source: string;
  readonly shift: readonly number[];
}

/** Largest relative change of a concentration in the difference quotient below: small for linearity, large for digits. */
const STEP = 1e-5;

/**
 * The named sources of all points: those that points state, and for a point that states only `u` one source for all
 * points of its concentration (one flask injected again).
 * @param ownFlask name of the source of a level's own u; undefined to leave bare `u`s out
 */
export function sharedErrors(
  points: readonly StandardReading[],
  ownFlask: ((concentration: number) => string) | undefined,
): readonly SharedError[] {
  const byName = new Map<string, Float64Array>();
  const add = (source: string, i: number, contribution: number) => {
    if (contribution === 0) return;
    let contributions = byName.get(source);
    if (!contributions) {
      contributions = new Float64Array(points.length);
      byName.set(source, contributions);
    }
    contributions[i] += contribution;
  };
  points.forEach((point, i) => {
    if (point.sources) for (const { source, contribution } of point.sources) add(source, i, contribution);
    else if (ownFlask && point.u) add(ownFlask(point.concentration), i, point.u);
  });
  return [...byName].map(([source, contributions]) => ({ source, contributions }));
}

/**
 * How the coefficients move when a named source is one standard uncertainty off, ∂b/∂s, by fitting again with the
 * concentrations moved a little both ways. So a stock with the relative uncertainty r behind all levels moves every
 * result by r of its value, and a flask behind one level moves results as far as its level bears on them.
 *
 * Two fits of O(n·p²) for each source.
 */
export function coefficientShifts(
  model: ResponseModel,
  x: Float64Array,
  y: Float64Array,
  weighting: ResolvedWeighting,
  errors: readonly SharedError[],
): readonly CoefficientShift[] {
  return errors.map(({ source, contributions }) => {
    const largest = contributions.reduce(
      (most, contribution, i) => (x[i] > 0 ? Math.max(most, Math.abs(contribution) / x[i]) : most),
      0,
    );
    const step = largest > 0 ? STEP / largest : 1;
    const moved = (by: number) => {
      const at = x.map((value, i) => value + by * contributions[i]);
      return fitResponse(model, at, y, weighting.weightsAt(at)).coefficients;
    };
    const [up, down] = [moved(step), moved(-step)];
    return { source, shift: Array.from(up, (value, k) => (value - down[k]) / (2 * step)) };
  });
}
