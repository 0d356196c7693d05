import { dampedFit } from "../fitting/damped-fit.js";
import { emgWithGradient } from "../shape/emg.js";
import { movingColumns, peakColumn } from "./rider-dictionary.js";
import { pseudoInverseRow } from "./rider-row.js";
import { type RiderFit, type RiderWindow, rootWeights } from "./rider-window.js";

/** A background curve with its derivatives: fills value and one row of derivatives per sample. */
export interface BackgroundCurve {
  readonly start: Float64Array;
  /** Standard deviations by which parameters usually differ from their start; undefined where anything may be. */
  readonly usual?: readonly (number | undefined)[];
  readonly bounds: readonly (readonly [number, number])[];
  /** Value over the stretch into `value`, derivatives into `gradient` (samples × parameters). */
  evaluate(parameters: Float64Array, value: Float64Array, gradient: Float64Array): void;
}

/** How far a rider's centre moves, in σ. */
const MOVES = 0.8;

/**
 * One rider of known shape over a background with few parameters, by damped Gauss–Newton steps; its companions keep the places
 * given. The rider's centre moves within ± 0.8 σ: on a steep background its maximum is not its centre.
 *
 * @param starts areas and centres of all riders from a fit before
 */
export function fitOverCurve(
  window: RiderWindow,
  which: number,
  stretch: readonly [first: number, last: number],
  curve: BackgroundCurve,
  starts: Pick<RiderFit, "areas" | "centres" | "widths">,
  misfit: number,
): RiderFit & { readonly parameters: Float64Array } {
  const [first, last] = stretch;
  const n = last - first + 1;
  const { riders, white } = window;
  const y = window.y.subarray(first, last + 1);
  const root = rootWeights(window.smooth, first, last, white, misfit);
  const own = riders[which];
  const place = (r: number) => ({ mu: starts.centres[r], width: starts.widths[r] });
  const others = riders.map((_, r) => r).filter((r) => r !== which);
  const fixed = others.map((r) => peakColumn(riders[r], place(r), first, n));
  const b = curve.start.length;
  // Parameters: background, own area, own centre in σ, areas of the others.
  const p = b + 2 + others.length;
  const start = new Float64Array(p);
  start.set(curve.start);
  start[b] = starts.areas[which];
  others.forEach((r, k) => {
    start[b + 2 + k] = starts.areas[r];
  });
  const width = starts.widths[which];
  const value = new Float64Array(n);
  const gradient = new Float64Array(n * b);
  const shape = new Float64Array(4);
  const centre = (parameters: Float64Array) => starts.centres[which] + parameters[b + 1] * own.sigma;
  const held = (curve.usual ?? []).flatMap((sd, k) => (sd === undefined ? [] : [{ k, sd }]));
  const evaluate = (parameters: Float64Array, residuals: Float64Array, jacobian: Float64Array) => {
    curve.evaluate(parameters, value, gradient);
    const mu = centre(parameters);
    for (let i = 0, at = 0; i < n; i++, at += p) {
      const scale = root[i] / white;
      emgWithGradient(first + i, mu, width * own.sigma, width * own.tau, shape);
      let sum = value[i] + parameters[b] * shape[0];
      for (let k = 0; k < b; k++) jacobian[at + k] = gradient[i * b + k] * scale;
      jacobian[at + b] = shape[0] * scale;
      jacobian[at + b + 1] = own.present ? parameters[b] * shape[1] * own.sigma * scale : 0;
      for (let k = 0; k < fixed.length; k++) {
        sum += parameters[b + 2 + k] * fixed[k][i];
        jacobian[at + b + 2 + k] = fixed[k][i] * scale;
      }
      residuals[i] = (y[i] - sum) * scale;
    }
    held.forEach(({ k, sd }, j) => {
      residuals[n + j] = (curve.start[k] - parameters[k]) / sd;
      jacobian[(n + j) * p + k] = 1 / sd;
    });
  };
  const free = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY] as const;
  const bounds = [...curve.bounds, free, [-MOVES, MOVES] as const, ...others.map(() => free)];
  const found = dampedFit({ points: n + held.length, start, bounds, evaluate });
  curve.evaluate(found, value, gradient);
  const background = value.slice();
  const slopes = Array.from({ length: b }, (_, k) =>
    Float64Array.from({ length: n }, (_, i) => gradient[i * b + k]),
  );
  const centres = starts.centres.map((c, r) => (r === which ? centre(found) : c));
  const areas = starts.areas.map((_, r) => (r === which ? found[b] : found[b + 2 + others.indexOf(r)]));
  const unit = riders.map((rider, r) =>
    peakColumn(rider, { mu: centres[r], width: starts.widths[r] }, first, n),
  );
  return {
    parameters: found,
    first,
    areas,
    centres,
    widths: starts.widths,
    background,
    components: unit.map((column, r) => column.map((v) => v * areas[r])),
    doubts: held.map(({ k, sd }) => slopes[k].map((slope) => slope * sd)),
    row: (r) => {
      const columns = [unit[r], ...unit.filter((_, k) => k !== r)];
      const from = columns.length;
      columns.push(...slopes, ...movingColumns(own, { mu: centres[which], width }, first, n));
      // Rows weigh readings in units of the white noise.
      const known = held.map(({ k, sd }) => ({ column: from + k, root: white / sd }));
      return pseudoInverseRow(columns, root, 0, known);
    },
  };
}
