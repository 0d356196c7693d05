import type { Model } from "./propagate.js";

/** Computes a model for n trials: trial i gets the i-th number of every column, its result goes to out[first + i]. */
export type BlockEvaluator = (
  x: Record<string, number>,
  columns: readonly Float64Array[],
  out: Float64Array,
  first: number,
  n: number,
) => void;

/** The inner loop of one model and the object that the model is called with. */
export interface TrialLoop {
  /** A fresh argument with these numbers in it. */
  readonly argument: (estimates: Readonly<Record<string, number>>) => Record<string, number>;
  readonly evaluate: BlockEvaluator;
}

/** A loop stays with its model, so that a repeated run finds it compiled. */
const loops = new WeakMap<Model, { readonly signature: string; readonly loop: TrialLoop }>();

/**
 * The inner loop written out for this model and these names: `x.A = c0[i]; x.b = c1[i]; out[first + i] = model(x)`.
 *
 * A loop over the names, x[name] = …, would take ten times longer than most models, because an engine cannot
 * foresee which property each assignment meets. And the argument has a class of its own whose properties start as
 * fractions: only then does the engine keep each number in one place instead of making a new one at every
 * assignment, whatever other objects with the same property names hold. Names enter the text in quotes only.
 *
 * @param varying names of the inputs that change from trial to trial, one column each
 * @param all names of all inputs
 */
export function trialLoop(model: Model, varying: readonly string[], all: readonly string[]): TrialLoop {
  const signature = JSON.stringify([varying, all]);
  const known = loops.get(model);
  if (known?.signature === signature) return known.loop;
  const quoted = (name: string) => `[${JSON.stringify(name)}]`;
  const fields = all.map((name) => `this${quoted(name)} = 0.5;`).join(" ");
  const loads = varying.map((_, j) => `const c${j} = columns[${j}];`).join(" ");
  const stores = varying.map((name, j) => `x${quoted(name)} = c${j}[i];`).join(" ");
  const source = `
    class Inputs { constructor() { ${fields} } }
    return {
      argument: (estimates) => Object.assign(new Inputs(), estimates),
      evaluate: (x, columns, out, first, n) => {
        ${loads} for (let i = 0; i < n; i++) { ${stores} out[first + i] = model(x); }
      },
    };`;
  const loop = new Function("model", source)(model) as TrialLoop;
  loops.set(model, { signature, loop });
  return loop;
}
