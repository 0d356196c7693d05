import type { ResponseFit } from "../response/fit-response.js";
import { type ResponseModel, slopeAt } from "../response/response-models.js";
import type { StandardReading } from "../response/types.js";
import type { ResolvedWeighting } from "../weights/weighting.js";

/** One named source of the standards' concentrations: what it does to each point, for one standard uncertainty. */
export interface SharedError {
  readonly source: string;
  readonly contributions: Float64Array;
  readonly dof: number;
}

/** What one standard uncertainty of a named source does to the free coefficients. */
export interface CoefficientShift {
  readonly source: string;
  readonly shift: readonly number[];
  /** Of that standard uncertainty. */
  readonly dof: number;
}

/**
 * The named sources of all points: those that points state, and for a point that states only `u` one source for all
 * points of its concentration (one flask injected again). A source has the fewest degrees of freedom that any point states.
 * @param ownFlask name of the source of a level's own u; undefined to leave bare `u`s out
 */
export function sharedErrors(
  points: readonly StandardReading[],
  ownFlask: ((concentration: number) => string) | undefined,
): readonly SharedError[] {
  const byName = new Map<string, SharedError>();
  const add = (source: string, i: number, contribution: number, dof = Number.POSITIVE_INFINITY) => {
    if (contribution === 0) return;
    const before = byName.get(source);
    const contributions = before?.contributions ?? new Float64Array(points.length);
    contributions[i] += contribution;
    byName.set(source, { source, contributions, dof: Math.min(dof, before?.dof ?? dof) });
  };
  points.forEach((point, i) => {
    if (point.sources) {
      for (const { source, contribution, dof } of point.sources) add(source, i, contribution, dof);
    } else if (ownFlask && point.u) add(ownFlask(point.concentration), i, point.u);
  });
  return [...byName.values()];
}

/**
 * How the coefficients move when a named source is one standard uncertainty off, from the normal equations
 * XᵀW(t − Xb) = 0 differentiated by the concentrations:
 *
 *     ∂b/∂s = (XᵀWX)⁻¹ [∂Xᵀ·W·r + Xᵀ·∂W·r + XᵀW(∂t − ∂X·b)],   ∂ = Σᵢ contributionᵢ·∂/∂xᵢ
 *
 * t fitted quantity, r its residuals. A stock with the relative uncertainty r behind all levels so moves every
 * result by r of its value; a flask behind one level moves results as far as its level bears on them. A coefficient
 * held at its bound stays there. O(n·p) for each source.
 */
export function coefficientShifts(
  model: ResponseModel,
  fit: ResponseFit,
  standards: { readonly x: Float64Array; readonly y: Float64Array; readonly weights: Float64Array },
  weighting: ResolvedWeighting,
  errors: readonly SharedError[],
): readonly CoefficientShift[] {
  return errors.map(({ source, contributions, dof }) => {
    const right = normalChange(model, fit, standards, weighting, contributions);
    return { source, shift: solveNormal(model, fit, standards, right), dof };
  });
}

/** ∂Xᵀ·W·r + Xᵀ·∂W·r + XᵀW(∂t − ∂X·b) */
function normalChange(
  model: ResponseModel,
  fit: ResponseFit,
  { x, y, weights }: { readonly x: Float64Array; readonly y: Float64Array; readonly weights: Float64Array },
  weighting: ResolvedWeighting,
  contributions: Float64Array,
): number[] {
  const { powers } = model;
  const right = new Array<number>(powers.length).fill(0);
  for (let i = 0; i < x.length; i++) {
    const dx = contributions[i];
    if (dx === 0) continue;
    const residual = fit.residuals[i];
    const dw = weighting.weightSlope(x[i], weights[i]) * dx;
    if (model.fits === "concentration") {
      for (let k = 0; k < powers.length; k++) {
        right[k] += model.column(k, y[i]) * (dw * residual + weights[i] * dx);
      }
      continue;
    }
    const moved = slopeAt(model, fit.coefficients, x[i]) * dx;
    for (let k = 0; k < powers.length; k++) {
      const columnChange = model.columnSlope(k, x[i]) * dx;
      right[k] +=
        columnChange * weights[i] * residual + model.column(k, x[i]) * (dw * residual - weights[i] * moved);
    }
  }
  return right;
}

function solveNormal(
  model: ResponseModel,
  fit: ResponseFit,
  { y, weights }: { readonly y: Float64Array; readonly weights: Float64Array },
  right: readonly number[],
): number[] {
  const p = right.length;
  const shift = new Array<number>(p).fill(0);
  if (fit.alone !== undefined) {
    let normal = 0;
    for (let i = 0; i < y.length; i++) normal += weights[i] * model.column(fit.alone, y[i]) ** 2;
    shift[fit.alone] = right[fit.alone] / normal;
    return shift;
  }
  for (let j = 0; j < p; j++) {
    for (let k = 0; k < p; k++) shift[j] += fit.inverseNormal[j * p + k] * right[k];
  }
  return shift;
}
