import { IonbookError } from "../errors.js";
import { BLOCK, Draws } from "./draws.js";
import type { Model } from "./propagate.js";
import { type Source, sameSource } from "./source.js";
import { trialLoop } from "./trial-loop.js";
import type { MeasuredValue } from "./value.js";

/** Which sources are drawn, and how the inputs follow from them. */
export interface DrawingPlan {
  readonly sources: readonly Source[];
  readonly inputs: readonly {
    readonly name: string;
    readonly estimate: number;
    /** Source numbers and contributions that are not zero. */
    readonly parts: readonly { readonly source: number; readonly contribution: number }[];
  }[];
}

/** Every source once, whichever and however many inputs depend on it. */
export function drawingPlan(named: readonly (readonly [string, MeasuredValue])[]): DrawingPlan {
  const index = new Map<string, number>();
  const sources: Source[] = [];
  const inputs = named.map(([name, input]) => {
    const parts: { source: number; contribution: number }[] = [];
    input.sources.forEach((source, i) => {
      const contribution = input.contributions[i];
      if (contribution === 0) return;
      const known = index.get(source.key);
      const number = known ?? sources.length;
      index.set(source.key, number);
      sources[number] = known === undefined ? source : sameSource(sources[known], source);
      parts.push({ source: number, contribution });
    });
    return { name, estimate: input.value, parts };
  });
  return { sources, inputs: inputs.filter(({ parts }) => parts.length > 0) };
}

/** Fills `values` with the model of as many joint draws, and their sums. Nothing is allocated within a trial. */
export function runTrials(
  values: Float64Array,
  model: Model,
  estimates: Record<string, number>,
  plan: DrawingPlan,
  seed: number,
  sums: DeviationSums,
): void {
  const draws = new Draws(seed);
  const drawn = plan.sources.map(() => new Float64Array(BLOCK));
  const columns = plan.inputs.map(() => new Float64Array(BLOCK));
  const fillSources = sourceFiller(plan.sources, draws, drawn);
  const varying = plan.inputs.map(({ name }) => name);
  const { argument, evaluate } = trialLoop(model, varying, Object.keys(estimates));
  const x = argument(estimates);
  for (let first = 0; first < values.length; first += BLOCK) {
    const n = Math.min(BLOCK, values.length - first);
    fillSources(n);
    plan.inputs.forEach(({ estimate, parts }, j) => {
      fillColumn(columns[j], estimate, parts, drawn, n);
    });
    evaluate(x, columns, values, first, n);
    sums.add(values, first, n);
    if (!Number.isFinite(sums.squares)) refuseTrial(values.subarray(first, first + n), plan, columns);
  }
}

/** Mean and standard deviation by sums about a nearby centre: no digits are lost to a mean that is large beside u. */
export class DeviationSums {
  squares = 0;
  private sum = 0;
  private count = 0;
  private readonly centre: number;

  constructor(centre: number) {
    this.centre = centre;
  }

  add(values: Float64Array, first: number, n: number): void {
    const { centre } = this;
    let [sum, squares] = [0, 0];
    for (let i = first; i < first + n; i++) {
      const deviation = values[i] - centre;
      sum += deviation;
      squares += deviation * deviation;
    }
    this.sum += sum;
    this.squares += squares;
    this.count += n;
  }

  mean(): number {
    return this.centre + this.sum / this.count;
  }

  standardDeviation(): number {
    const squares = this.squares - this.sum ** 2 / this.count;
    return Math.sqrt(Math.max(0, squares) / (this.count - 1));
  }
}

/** Fills the draws of all sources for one block; t sources are normal ones divided by the χ² of their group. */
function sourceFiller(
  sources: readonly Source[],
  draws: Draws,
  drawn: readonly Float64Array[],
): (n: number) => void {
  const factor = new Float64Array(BLOCK);
  const groups = new Map<string, { dof: number; members: Float64Array[] }>();
  sources.forEach((source, i) => {
    if (source.shape.kind !== "normal" || source.dof === Number.POSITIVE_INFINITY) return;
    const name = source.group === undefined ? `source ${source.key}` : `group ${source.group}`;
    const group = groups.get(name);
    if (group) {
      group.members.push(drawn[i]);
      group.dof = Math.min(group.dof, source.dof);
    } else groups.set(name, { dof: source.dof, members: [drawn[i]] });
  });
  return (n) => {
    for (let s = 0; s < sources.length; s++) draws.fillShape(sources[s].shape, drawn[s], n);
    for (const { dof, members } of groups.values()) {
      draws.fillStudentFactor(dof, factor, n);
      for (const member of members) for (let i = 0; i < n; i++) member[i] *= factor[i];
    }
  };
}

function fillColumn(
  column: Float64Array,
  estimate: number,
  parts: DrawingPlan["inputs"][number]["parts"],
  drawn: readonly Float64Array[],
  n: number,
): void {
  const { source, contribution } = parts[0];
  const z = drawn[source];
  for (let i = 0; i < n; i++) column[i] = estimate + contribution * z[i];
  for (let p = 1; p < parts.length; p++) {
    const more = drawn[parts[p].source];
    const c = parts[p].contribution;
    for (let i = 0; i < n; i++) column[i] += c * more[i];
  }
}

function refuseTrial(values: Float64Array, plan: DrawingPlan, columns: readonly Float64Array[]): never {
  const bad = Math.max(
    0,
    values.findIndex((y) => !Number.isFinite(y)),
  );
  const at = plan.inputs.map(({ name }, j) => `${name} = ${columns[j][bad].toPrecision(6)}`).join(", ");
  throw new IonbookError(
    "model-not-finite",
    `In one trial the model gives ${values[bad]} at ${at}; it must give a finite number wherever its inputs can lie`,
  );
}
