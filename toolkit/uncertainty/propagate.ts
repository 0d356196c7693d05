import { IonbookError } from "../errors.js";
import { gathered } from "./arithmetic.js";
import { requireFinite, requireUnit } from "./inputs.js";
import { isNameless, type Source } from "./source.js";
import { isMeasuredValue, type MeasuredValue, sourcedValue } from "./value.js";

/** A model: takes its inputs as plain numbers, by name, and returns the result as a plain number. */
export type Model<Name extends string = string> = (x: Record<Name, number>) => number;

export type ModelInputs<Name extends string = string> = Readonly<Record<Name, MeasuredValue | number>>;

/** Steps are this part of an input's u; a power of two, so that halving and doubling are exact. */
const STEP = 1 / 8;
/** Below this part of the input's size a step would drown in rounding. */
const SMALLEST_STEP = 2 ** -20;

/**
 * The value of a model and its uncertainty to first order, correlations of the inputs kept:
 *
 *     y = f(x)        c = Σ (∂f/∂xⱼ)·cⱼ  for every source
 *
 * Sensitivities are differences about the estimate over ±u/8 and ±u/16, combined so that what remains is of fourth
 * order in the step (linear and quadratic models are exact up to rounding). Inputs without uncertainty are not
 * varied. A nameless source of an input is called in budgets as the model calls that input. The model is called
 * 1 + 4·(uncertain inputs) times.
 *
 * First order only: where the model bends within ±u, compare with `monteCarlo` or `propagateSecondOrder`.
 *
 * @param unit unit of the result; the model sees plain numbers and cannot tell it
 * @throws IonbookError "model-not-finite" where the model gives no finite number at or near the estimates;
 *   "bad-value" for an input that is no finite number; "bad-input" for one that is neither number nor
 *   MeasuredValue; "bad-unit" for an empty unit
 * @source JCGM 100:2008 (GUM), 5.1.2, 5.1.3 note 2 and 5.2.2
 */
export function propagate<Name extends string>(
  model: Model<Name>,
  inputs: ModelInputs<Name>,
  unit: string,
): MeasuredValue {
  requireUnit(unit);
  const x = estimatesOf(inputs);
  const named = namedInputs(inputs);
  const evaluate = checkedModel(model);
  const value = evaluate(x, () => "at the estimates");
  const terms = named.map(([name, input]) => ({
    value: input,
    factor: input.u === 0 ? 0 : sensitivity(evaluate, x, name, input.u),
  }));
  return gathered(value, unit, terms);
}

type CheckedModel = (x: Record<string, number>, where: () => string) => number;

/** The model, refusing whatever is no finite number; works on copies, so a model may write into its argument. */
export function checkedModel<Name extends string>(model: Model<Name>): CheckedModel {
  if (typeof model !== "function") {
    throw new IonbookError(
      "bad-input",
      "The model comes first and is a function, its inputs by name after it, as in (({ a, b }) => a / b, { a, b })",
    );
  }
  return (x, where) => {
    const y: unknown = model({ ...x } as Record<Name, number>);
    if (typeof y === "number" && Number.isFinite(y)) return y;
    throw new IonbookError(
      "model-not-finite",
      `The model gives ${String(y)} ${where()}; it must give a finite number there. Its inputs are ${Object.keys(x).join(", ")}`,
    );
  };
}

/** Plain numbers for a model, in the order of the inputs. */
export function estimatesOf(inputs: ModelInputs): Record<string, number> {
  if (typeof inputs !== "object" || inputs === null) {
    throw new IonbookError(
      "bad-input",
      "The model comes first, its inputs by name after it, as in (({ a, b }) => a / b, { a, b })",
    );
  }
  return Object.fromEntries(
    Object.entries(inputs).map(([name, input]) => [name, isMeasuredValue(input) ? input.value : input]),
  );
}

/**
 * The inputs that are measured values, nameless sources called after their input.
 *
 * @throws IonbookError "bad-value", "bad-input"
 */
export function namedInputs(inputs: ModelInputs): readonly (readonly [string, MeasuredValue])[] {
  const taken = new Set<string>();
  const measuredInputs: [string, MeasuredValue][] = [];
  for (const [name, input] of Object.entries(inputs)) {
    if (isMeasuredValue(input)) {
      measuredInputs.push([name, input]);
      for (const source of input.sources) taken.add(source.label);
    } else if (typeof input === "number") requireFinite(input, `input "${name}"`);
    else {
      throw new IonbookError("bad-input", `Input "${name}" is neither a number nor a measured value`);
    }
  }
  return measuredInputs.map(([name, input]) => [name, taken.has(name) ? input : calledAs(name, input)]);
}

function calledAs(name: string, input: MeasuredValue): MeasuredValue {
  if (input.sources.length !== 1 || !isNameless(input.sources[0])) return input;
  const renamed: Source = { ...input.sources[0], label: name };
  return sourcedValue(input.value, input.unit, [renamed], input.contributions);
}

function sensitivity(evaluate: CheckedModel, x: Record<string, number>, name: string, u: number): number {
  const centre = x[name];
  const slope = (step: number): number => {
    const [low, high] = [centre - step, centre + step];
    const at = (place: number) => evaluate({ ...x, [name]: place }, () => `at ${name} = ${place}`);
    return (at(high) - at(low)) / (high - low);
  };
  const step = Math.max(STEP * u, SMALLEST_STEP * Math.abs(centre));
  // The error of each slope is of second order in its step; this combination cancels it.
  return (4 * slope(step / 2) - slope(step)) / 3;
}
