import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { gathered } from "./arithmetic.js";
import { roundedBy } from "./expression.js";
import { requireUnit } from "./inputs.js";
import {
  checkedModel,
  estimatesOf,
  type Model,
  type ModelInputs,
  namedInputs,
  propagate,
} from "./propagate.js";
import type { MeasuredValue } from "./value.js";

/** How much of an uncertainty first-order propagation leaves out. */
export interface SecondOrderResult {
  readonly kind: "second-order";
  /** The model at the estimates, in `unit`. */
  readonly value: number;
  readonly unit: string;
  /** Standard uncertainty with the second-order terms. */
  readonly u: number;
  readonly firstOrder: MeasuredValue;
  /** Expected mean of the result minus `value`: half the sum of the curvatures. */
  readonly shift: number;
  /** What each pair of sources adds to u² (it can be negative), largest first. */
  readonly terms: readonly { readonly sources: readonly [string, string]; readonly variance: number }[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

/** Differences reach half a standard uncertainty to each side. */
const STEP = 0.5;

/**
 * Uncertainty of a model with the terms of the next order, to see whether the first order is enough:
 *
 *     u² = Σ fᵢ² + ΣΣ (½·fᵢⱼ² + fᵢ·fᵢⱼⱼ)
 *
 * with derivatives to the sources, each measured in its own u. Where the result differs from the first order by
 * more than a few percent, `monteCarlo` gives the distribution itself. Derivatives are differences over ±u/2 and
 * ±u; cost 2·n² calls of the model for n sources.
 *
 * Valid for symmetric inputs; terms of one source with itself are those of a normal distribution.
 *
 * @throws as `propagate`
 * @source JCGM 100:2008 (GUM), 5.1.2 note
 */
export function propagateSecondOrder<Name extends string>(
  model: Model<Name>,
  inputs: ModelInputs<Name>,
  unit: string,
): SecondOrderResult {
  requireUnit(unit);
  const firstOrder = propagate(model, inputs, unit);
  const f = onSources(model, inputs);
  const labels = f.labels;
  const terms = pairsOf(labels.length).map(([i, j]) => ({
    sources: [labels[i], labels[j]] as const,
    variance: i === j ? ownTerm(f, i) : mixedTerm(f, i, j),
  }));
  terms.sort((a, b) => Math.abs(b.variance) - Math.abs(a.variance));
  const added = terms.reduce((sum, { variance }) => sum + variance, 0);
  const shift = labels.reduce((sum, _, i) => sum + curvature(f, i) / 2, 0);
  return new SecondOrder({
    value: firstOrder.value,
    unit,
    u: Math.sqrt(Math.max(0, firstOrder.u ** 2 + added)),
    firstOrder,
    shift,
    terms,
  });
}

/** The model as a function of displacements of its sources, counted in standard uncertainties. */
interface SourceFunction {
  readonly labels: readonly string[];
  /** The model with source i displaced by a and source j by b. */
  readonly at: (i: number, a: number, j: number, b: number) => number;
}

function onSources<Name extends string>(model: Model<Name>, inputs: ModelInputs<Name>): SourceFunction {
  const named = namedInputs(inputs);
  const estimates = estimatesOf(inputs);
  const evaluate = checkedModel(model);
  const { sources } = gathered(
    0,
    "1",
    named.map(([, value]) => ({ value, factor: 1 })),
  );
  const number = new Map(sources.map(({ key }, i) => [key, i]));
  const columns = sources.map(() => [] as { readonly name: string; readonly contribution: number }[]);
  for (const [name, input] of named) {
    input.sources.forEach(({ key }, k) => {
      columns[number.get(key) as number].push({ name, contribution: input.contributions[k] });
    });
  }
  const at: SourceFunction["at"] = (i, a, j, b) => {
    const x = { ...estimates };
    for (const { name, contribution } of columns[i]) x[name] += a * contribution;
    for (const { name, contribution } of columns[j]) x[name] += b * contribution;
    return evaluate(x, () => `with "${sources[i].label}" and "${sources[j].label}" moved by up to u`);
  };
  return { labels: sources.map(({ label }) => label), at };
}

function pairsOf(n: number): readonly (readonly [number, number])[] {
  return Array.from({ length: n }, (_, i) =>
    Array.from({ length: n - i }, (_, k) => [i, i + k] as const),
  ).flat();
}

function slope({ at }: SourceFunction, i: number): number {
  return (at(i, STEP, i, 0) - at(i, -STEP, i, 0)) / (2 * STEP);
}

function curvature({ at }: SourceFunction, i: number): number {
  return (at(i, STEP, i, 0) - 2 * at(i, 0, i, 0) + at(i, -STEP, i, 0)) / STEP ** 2;
}

/** ½·fᵢᵢ² + fᵢ·fᵢᵢᵢ */
function ownTerm(f: SourceFunction, i: number): number {
  const at = (a: number) => f.at(i, a, i, 0);
  const third = (at(2 * STEP) - 2 * at(STEP) + 2 * at(-STEP) - at(-2 * STEP)) / (2 * STEP ** 3);
  // The plain difference holds a sixth of the third derivative more than the slope at the estimate.
  const first = slope(f, i) - (third * STEP ** 2) / 6;
  return curvature(f, i) ** 2 / 2 + first * third;
}

/** fᵢⱼ² + fᵢ·fᵢⱼⱼ + fⱼ·fⱼᵢᵢ: the pair stands twice in the double sum. */
function mixedTerm(f: SourceFunction, i: number, j: number): number {
  const at = (a: number, b: number) => f.at(i, a, j, b);
  const [h, s] = [STEP, -STEP];
  const cross = (at(h, h) - at(h, s) - at(s, h) + at(s, s)) / (4 * h ** 2);
  const alongJ = (a: number) => (at(a, h) - 2 * at(a, 0) + at(a, s)) / h ** 2;
  const alongI = (b: number) => (at(h, b) - 2 * at(0, b) + at(s, b)) / h ** 2;
  const bendsJ = (alongJ(h) - alongJ(s)) / (2 * h);
  const bendsI = (alongI(h) - alongI(s)) / (2 * h);
  return cross ** 2 + slope(f, i) * bendsJ + slope(f, j) * bendsI;
}

type Figures = Pick<SecondOrderResult, "value" | "unit" | "u" | "firstOrder" | "shift" | "terms">;

class SecondOrder implements SecondOrderResult {
  readonly kind = "second-order";
  readonly value: number;
  readonly unit: string;
  readonly u: number;
  readonly firstOrder: MeasuredValue;
  readonly shift: number;
  readonly terms: SecondOrderResult["terms"];

  constructor(figures: Figures) {
    this.value = figures.value;
    this.unit = figures.unit;
    this.u = figures.u;
    this.firstOrder = figures.firstOrder;
    this.shift = figures.shift;
    this.terms = figures.terms;
  }

  toString(): string {
    const unit = this.unit === "1" ? "" : ` ${this.unit}`;
    const value = roundedBy(this.u, this.value);
    return `${value}${unit}, u = ${this.u.toPrecision(2)} to second order, ${this.firstOrder.u.toPrecision(2)} to first order`;
  }

  [DISPLAY](): DisplayBundle | Promise<DisplayBundle> {
    return displayOf(this);
  }
}
