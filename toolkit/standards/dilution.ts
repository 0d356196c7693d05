import { IonbookError } from "../errors.js";
import { combineLinear, type MeasuredValue, over, times } from "../uncertainty/measured.js";
import { type Glassware, type RoomTemperature, volumeOf } from "./glassware.js";
import { checkCompatible, type FlaskContent, molesOf } from "./incompatible.js";
import { ACID_ANIONS, type AcidMatrix, requireMatrix, type StockContent } from "./stock.js";

/** What is taken of one solution into another's flask. */
export interface Aliquot {
  /** Name of a stock, or of a solution further up. */
  readonly from: string;
  readonly pipette: Glassware;
  /** mL of one delivery. @default the pipette's whole volume */
  readonly volume?: number;
  /** Deliveries. @default 1 */
  readonly times?: number;
}

/** One flask of the dilution tree. */
export interface Solution {
  readonly name: string;
  readonly flask: Glassware;
  readonly aliquots: readonly Aliquot[];
  /** Solutions of one day share the room's temperature. @default "day of preparation" */
  readonly day?: string;
  /** Acid the flask is made up with. */
  readonly matrix?: AcidMatrix;
  /** What the analyst counts on, mg/L by ion: compared with what the tree gives. */
  readonly declared?: Readonly<Record<string, number>>;
}

/** A liquid of the tree, stock or solution, with all that is in it. */
interface Liquid {
  readonly name: string;
  /** mg/L by ion, counter-ions counted, without what acids bring. */
  readonly ions: ReadonlyMap<string, MeasuredValue>;
  /** mL of each stock in one mL. */
  readonly shares: ReadonlyMap<string, number>;
  /** mol/L of acid. */
  readonly acid: number;
  /** Anions that acids bring, mol/L: not known well enough for a standard. */
  readonly acidIons: ReadonlyMap<string, number>;
}

/** A flask that is filled, and what to mind of it. */
export interface PreparedSolution extends Liquid {
  readonly solution: Solution;
  readonly cautions: readonly string[];
}

/** One step of dilution is trusted to this ratio (common practice, no source). */
const LARGEST_DILUTION = 200;

/** Every solution of the tree from the stocks down. */
export function dilute(
  stocks: readonly StockContent[],
  solutions: readonly Solution[],
  room: RoomTemperature,
): readonly PreparedSolution[] {
  const known = new Map<string, Liquid>();
  const taken = new Map<string, number>();
  for (const stock of stocks) add(known, stockAsLiquid(stock));
  const made = solutions.map((solution) => {
    checkSolution(solution, known);
    for (const { from, pipette, volume = pipette.volume, times: n = 1 } of solution.aliquots) {
      taken.set(from, (taken.get(from) ?? 0) + volume * n);
    }
    const prepared = filled(solution, known, room);
    add(known, prepared);
    return prepared;
  });
  requireEnough(solutions, taken);
  return made;
}

function add(known: Map<string, Liquid>, made: Liquid): void {
  if (known.has(made.name)) {
    throw new IonbookError(
      "same-name",
      `Two solutions are called "${made.name}": every flask needs its own name`,
    );
  }
  known.set(made.name, made);
}

/** What is left of an acid that a solid was dissolved in and nobody has stated, mol/L. */
const UNSTATED_ACID = 0.1;

/** A stock in the form of the tree, for those that take from it. */
function stockAsLiquid({ name, ions, stock, salt }: StockContent): Liquid {
  const { matrix } = stock;
  return {
    name,
    ions,
    shares: new Map([[name, 1]]),
    acid: matrix?.molarity ?? ("mass" in stock && salt?.dissolving ? UNSTATED_ACID : 0),
    acidIons: matrix ? new Map([[ACID_ANIONS[matrix.acid], matrix.molarity]]) : new Map(),
  };
}

function filled(
  solution: Solution,
  known: ReadonlyMap<string, Liquid>,
  room: RoomTemperature,
): PreparedSolution {
  const { name, flask, day = "day of preparation", matrix } = solution;
  const mark = volumeOf(flask, { solution: name, day, volume: flask.volume, times: 1 }, room);
  const terms = new Map<string, MeasuredValue[]>();
  const shares = new Map<string, number>();
  const acidIons = new Map<string, number>(matrix ? [[ACID_ANIONS[matrix.acid], matrix.molarity]] : []);
  let acid = matrix?.molarity ?? 0;
  for (const { from, pipette, volume = pipette.volume, times: n = 1 } of solution.aliquots) {
    const parent = known.get(from) as Liquid;
    const part = over(volumeOf(pipette, { solution: name, of: from, day, volume, times: n }, room), mark);
    for (const [of, content] of parent.ions) {
      const list = terms.get(of) ?? [];
      list.push(times(content, part));
      terms.set(of, list);
    }
    acid += parent.acid * part.value;
    addShares(shares, parent.shares, part.value);
    addShares(acidIons, parent.acidIons, part.value);
  }
  const ions = new Map(
    [...terms].map(([of, list]) => [
      of,
      combineLinear(
        list.map((value) => ({ value, factor: 1 })),
        "mg/L",
      ),
    ]),
  );
  const made: Liquid = { name, ions, shares, acid, acidIons };
  const parents = solution.aliquots.map(({ from }) => contentOf(known.get(from) as Liquid));
  return {
    ...made,
    solution,
    cautions: [...checkCompatible(contentOf(made), parents), ...wideSteps(solution)],
  };
}

function addShares(sum: Map<string, number>, parent: ReadonlyMap<string, number>, part: number): void {
  for (const [name, share] of parent) sum.set(name, (sum.get(name) ?? 0) + share * part);
}

function contentOf(made: Liquid): FlaskContent {
  const molar = new Map([...made.ions].map(([of, { value }]) => [of, molesOf(of, value)]));
  addShares(molar, made.acidIons, 1);
  return { name: made.name, molar, acid: made.acid };
}

function wideSteps({ name, flask, aliquots }: Solution): readonly string[] {
  return aliquots
    .filter(
      ({ pipette, volume = pipette.volume, times: n = 1 }) => flask.volume / (volume * n) > LARGEST_DILUTION,
    )
    .map(
      ({ from, pipette, volume = pipette.volume, times: n = 1 }) =>
        `${name}: ${from} is diluted 1:${Math.round(flask.volume / (volume * n))} in one step; 1:${LARGEST_DILUTION} is the usual limit`,
    );
}

/** @throws IonbookError "bad-solution", "bad-flask", "unknown-parent", "bad-aliquot", "flask-too-small" */
function checkSolution(solution: Solution, known: ReadonlyMap<string, Liquid>): void {
  const { name, flask, aliquots } = solution ?? {};
  if (typeof name !== "string" || name === "" || !Array.isArray(aliquots) || aliquots.length === 0) {
    throw new IonbookError(
      "bad-solution",
      "A solution has a name, a flask and aliquots: { name, flask: volumetricFlask(100), aliquots: [{ from, pipette: pipette(10) }] }",
    );
  }
  if (flask?.kind !== "flask") {
    throw new IonbookError(
      "bad-flask",
      `"${name}" is made up to the mark of a volumetric flask: volumetricFlask(100)`,
    );
  }
  requireMatrix(solution.matrix, name);
  let sum = 0;
  for (const aliquot of aliquots) sum += checkedAliquot(aliquot, name, known);
  if (sum > flask.volume) {
    throw new IonbookError(
      "flask-too-small",
      `The aliquots of "${name}" make ${sum} mL, its flask holds ${flask.volume} mL`,
    );
  }
}

function checkedAliquot(aliquot: Aliquot, into: string, known: ReadonlyMap<string, Liquid>): number {
  const { from, pipette, volume = pipette?.volume, times: n = 1 } = aliquot ?? {};
  if (!known.has(from)) {
    throw new IonbookError(
      "unknown-parent",
      `"${into}" takes from "${from}", which is neither a stock nor a solution before it. There are ${[...known.keys()].join(", ")}`,
    );
  }
  if (pipette?.kind !== "pipette" && pipette?.kind !== "piston pipette") {
    throw new IonbookError(
      "bad-aliquot",
      `The aliquot of "${from}" for "${into}" needs a pipette: pipette(10)`,
    );
  }
  if (!(Number.isInteger(n) && n >= 1)) {
    throw new IonbookError("bad-aliquot", `"${into}" takes "${from}" ${n} times; give a whole number from 1`);
  }
  const within = volume >= pipette.smallest * (1 - 1e-9) && volume <= pipette.volume * (1 + 1e-9);
  if (!within) {
    const range =
      pipette.smallest === pipette.volume
        ? `${pipette.volume} mL`
        : `${pipette.smallest} to ${pipette.volume} mL`;
    throw new IonbookError(
      "bad-aliquot",
      `"${into}" takes ${volume} mL of "${from}" with the ${pipette.name}, which is trusted for ${range}`,
    );
  }
  return volume * n;
}

/** @throws IonbookError "not-enough" where more is taken of a solution than its flask holds */
function requireEnough(solutions: readonly Solution[], taken: ReadonlyMap<string, number>): void {
  for (const { name, flask } of solutions) {
    const sum = taken.get(name) ?? 0;
    if (sum <= flask.volume) continue;
    throw new IonbookError(
      "not-enough",
      `${sum} mL of "${name}" are taken, its flask holds ${flask.volume} mL`,
    );
  }
}
