import { IonbookError } from "../errors.js";
import { airpls } from "./airpls.js";
import { arpls } from "./arpls.js";
import { asls } from "./asls.js";
import { maskedBaseline } from "./masked-baseline.js";
import {
  countedOutside,
  type IndexStretch,
  type ReweightedBaseline,
  type ReweightOptions,
} from "./reweighted.js";
import { snip } from "./snip.js";

export type BaselineMethod = "arPLS" | "AsLS" | "airPLS" | "SNIP" | "anchored" | "masked";

/** Methods that look at the samples one by one and need no stretches named by hand. */
export type DrawnMethod = Exclude<BaselineMethod, "anchored">;

export interface Drawing {
  readonly lambda: number;
  /** Standard deviation of the widest peak, samples. */
  readonly sigma: number;
  readonly options: ReweightOptions;
}

type Draw = (y: Float64Array, drawing: Drawing) => ReweightedBaseline;

const METHODS: Readonly<Record<DrawnMethod, Draw>> = {
  arPLS: (y, { lambda, options }) => arpls(y, lambda, options),
  AsLS: (y, { lambda, options }) => asls(y, lambda, options),
  airPLS: (y, { lambda, options }) => airpls(y, lambda, options),
  SNIP: (y, { sigma, options }) => once(snip(y, sigma, options.excluded), new Float64Array(y.length)),
  masked: (y, { lambda, options }) => {
    const { values, weights } = maskedBaseline(y, countedOutside(options.excluded ?? [], y.length), lambda);
    return once(values, weights);
  },
};

function once(values: Float64Array, weights: Float64Array): ReweightedBaseline {
  return { values, weights, iterations: 1, converged: true };
}

/** Draws a baseline by the name of its method. */
export function drawBaseline(method: DrawnMethod, y: Float64Array, drawing: Drawing): ReweightedBaseline {
  return METHODS[method](y, drawing);
}

/**
 * Refuses a method nobody knows, and "masked" without a mask: it would be drawn through the peaks.
 *
 * @throws IonbookError `bad-option`, `no-mask`
 */
export function requireMethod(method: BaselineMethod, excluded: readonly unknown[] | undefined): void {
  if (method !== "anchored" && !Object.hasOwn(METHODS, method)) {
    throw new IonbookError(
      "bad-option",
      `no baseline is drawn by method ${JSON.stringify(method)}: choose one of ${[...Object.keys(METHODS), "anchored"].join(", ")}`,
    );
  }
  if (method === "masked" && !excluded?.length) {
    throw new IonbookError(
      "no-mask",
      'a masked baseline runs through all samples outside the peaks: name the peaks, excluded: [[from, to], …] in min, or use "arPLS"',
    );
  }
}

/** Stretches in min as samples of a region that starts at sample `first` of the record and holds `count`. */
export function samplesOf(
  stretches: readonly (readonly [from: number, to: number])[],
  start: number,
  interval: number,
  count: number,
): readonly IndexStretch[] {
  return stretches.flatMap(([from, to]) => {
    const a = Math.max(Math.ceil((from - start) / interval - 1e-9), 0);
    const b = Math.min(Math.floor((to - start) / interval + 1e-9), count - 1);
    return b >= a ? [[a, b] as const] : [];
  });
}
