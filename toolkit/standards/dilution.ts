import { IonbookError } from "../errors.js";
import { combineLinear, type MeasuredValue, over, times } from "../uncertainty/measured.js";
import { ACID_ANIONS } from "./acid-matrix.js";
import type { LaboratoryBalance } from "./balance.js";
import { type RoomTemperature, volumeOf } from "./glassware.js";
import { checkCompatible, type FlaskContent, molesOf } from "./incompatible.js";
import { type Saturation, type SparinglySoluble, saturations } from "./solubility.js";
import {
  type Aliquot,
  balanceOf,
  checkSolution,
  isWeighed,
  pipetted,
  type Solution,
  type WeighedAliquot,
  type WeighedSolution,
} from "./solution.js";
import type { StockContent } from "./stock.js";
import { densityOf, smallWeighing, weighedVolume } from "./weighing.js";

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
  /** g/mL at 20 °C, `undefined` where nobody has stated it. */
  readonly density: MeasuredValue | undefined;
}

/** A flask that is filled, and what to mind of it. */
export interface PreparedSolution extends Liquid {
  readonly solution: Solution | WeighedSolution;
  readonly cautions: readonly string[];
  /** The sparingly soluble salt that it stands closest to, with the constant it was judged by; `undefined` without any. */
  readonly saturation: Saturation | undefined;
}

/** One step of dilution is trusted to this ratio (common practice, no source). */
const LARGEST_DILUTION = 200;
const USUAL_DAY = "day of preparation";

/** Every solution of the tree from the stocks down. */
export function dilute(
  stocks: readonly StockContent[],
  solutions: readonly (Solution | WeighedSolution)[],
  room: RoomTemperature,
  table: readonly SparinglySoluble[],
): readonly PreparedSolution[] {
  const known = new Map<string, Liquid>();
  const taken = new Map<string, number>();
  const held = new Map<string, number>();
  for (const stock of stocks) {
    add(known, stockAsLiquid(stock));
    if (stock.volume !== undefined) held.set(stock.name, stock.volume);
  }
  const made = solutions.map((solution) => {
    checkSolution(solution, known);
    const { prepared, volume, parts } = filled(solution, known, room, table);
    for (const { from, amount } of parts) taken.set(from, (taken.get(from) ?? 0) + amount);
    held.set(solution.name, volume);
    add(known, prepared);
    return prepared;
  });
  requireEnough(held, taken);
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
    density: densityOf(name, stock.density),
  };
}

/** A solution, its volume at 20 °C and what was taken for it, mL. */
interface Filled {
  readonly prepared: PreparedSolution;
  readonly volume: number;
  readonly parts: readonly { readonly from: string; readonly amount: number }[];
}

function filled(
  solution: Solution | WeighedSolution,
  known: ReadonlyMap<string, Liquid>,
  room: RoomTemperature,
  table: readonly SparinglySoluble[],
): Filled {
  const { name, matrix } = solution;
  const density = densityOf(name, solution.density);
  const whole = wholeOf(solution, density, room);
  const terms = new Map<string, MeasuredValue[]>();
  const shares = new Map<string, number>();
  const acidIons = new Map<string, number>(matrix ? [[ACID_ANIONS[matrix.acid], matrix.molarity]] : []);
  let acid = matrix?.molarity ?? 0;
  const parts = solution.aliquots.map((aliquot, i) => {
    const parent = known.get(aliquot.from) as Liquid;
    const amount = amountOf(aliquot, i, solution, parent, room);
    const part = over(amount, whole);
    for (const [of, content] of parent.ions) {
      const list = terms.get(of) ?? [];
      list.push(times(content, part));
      terms.set(of, list);
    }
    acid += parent.acid * part.value;
    addShares(shares, parent.shares, part.value);
    addShares(acidIons, parent.acidIons, part.value);
    return { from: aliquot.from, amount: nominal(aliquot, amount), ratio: 1 / part.value };
  });
  const made: Liquid = { name, ions: summed(terms), shares, acid, acidIons, density };
  const parents = solution.aliquots.map(({ from }) => contentOf(known.get(from) as Liquid));
  const cautions = [
    ...checkCompatible(contentOf(made), parents, table),
    ...wideSteps(name, parts),
    ...lightSteps(solution),
  ];
  const [saturation] = saturations(contentOf(made).molar, table);
  const volume = isWeighed(solution) ? whole.value : solution.flask.volume;
  return { prepared: { ...made, solution, cautions, saturation }, volume, parts };
}

/** All of a solution, mL at 20 °C. */
function wholeOf(
  solution: Solution | WeighedSolution,
  density: MeasuredValue | undefined,
  room: RoomTemperature,
): MeasuredValue {
  const { name, day = USUAL_DAY } = solution;
  if (!isWeighed(solution)) {
    const { flask } = solution;
    return volumeOf(flask, { solution: name, day, volume: flask.volume, times: 1 }, room);
  }
  const use = { act: `weighing all of ${name}`, day, mass: solution.mass };
  return weighedVolume(solution.balance, use, density as MeasuredValue);
}

/** What is taken of a parent, mL at 20 °C. */
function amountOf(
  aliquot: Aliquot | WeighedAliquot,
  at: number,
  solution: Solution | WeighedSolution,
  parent: Liquid,
  room: RoomTemperature,
): MeasuredValue {
  const { name, day = USUAL_DAY } = solution;
  const { from } = aliquot;
  if (!isWeighed(aliquot)) {
    const { pipette, volume = pipette.volume, times: n = 1 } = aliquot;
    return volumeOf(pipette, { solution: name, of: from, day, volume, times: n }, room);
  }
  // Two weighings of one parent into one bottle are two acts.
  const again = solution.aliquots.findIndex((each) => each.from === from && isWeighed(each)) < at;
  const act = `weighing ${from} into ${name}${again ? `, aliquot ${at + 1}` : ""}`;
  const used = balanceOf(aliquot, solution) as LaboratoryBalance;
  return weighedVolume(used, { act, day, mass: aliquot.mass }, parent.density as MeasuredValue);
}

/** Without the rounding of products where a whole volume is taken. */
function nominal(aliquot: Aliquot | WeighedAliquot, amount: MeasuredValue): number {
  return isWeighed(aliquot) ? amount.value : pipetted(aliquot);
}

function summed(terms: ReadonlyMap<string, readonly MeasuredValue[]>): ReadonlyMap<string, MeasuredValue> {
  const sum = (list: readonly MeasuredValue[]) =>
    combineLinear(
      list.map((value) => ({ value, factor: 1 })),
      "mg/L",
    );
  return new Map([...terms].map(([of, list]) => [of, sum(list)]));
}

function addShares(sum: Map<string, number>, parent: ReadonlyMap<string, number>, part: number): void {
  for (const [name, share] of parent) sum.set(name, (sum.get(name) ?? 0) + share * part);
}

function contentOf(made: Liquid): FlaskContent {
  const molar = new Map([...made.ions].map(([of, { value }]) => [of, molesOf(of, value)]));
  addShares(molar, made.acidIons, 1);
  return { name: made.name, molar, acid: made.acid };
}

function wideSteps(
  name: string,
  parts: readonly { readonly from: string; readonly ratio: number }[],
): readonly string[] {
  return parts
    .filter(({ ratio }) => ratio > LARGEST_DILUTION * (1 + 1e-9))
    .map(
      ({ from, ratio }) =>
        `${name}: ${from} is diluted 1:${Math.round(ratio)} in one step; 1:${LARGEST_DILUTION} is the usual limit`,
    );
}

/** Weighings that are too small for their balance. */
function lightSteps(solution: Solution | WeighedSolution): readonly string[] {
  return solution.aliquots.flatMap((aliquot) => {
    const used = isWeighed(aliquot) ? balanceOf(aliquot, solution) : undefined;
    if (used === undefined || !isWeighed(aliquot)) return [];
    return smallWeighing(used, aliquot.mass, `${aliquot.from} into ${solution.name}`) ?? [];
  });
}

/** @throws IonbookError "not-enough" where more is taken of a solution than its flask holds */
function requireEnough(held: ReadonlyMap<string, number>, taken: ReadonlyMap<string, number>): void {
  for (const [name, volume] of held) {
    const sum = taken.get(name) ?? 0;
    if (sum <= volume * (1 + 1e-12)) continue;
    const [wanted, there] = [sum, volume].map((each) => Number(each.toPrecision(6)));
    throw new IonbookError("not-enough", `${wanted} mL of "${name}" are taken, its flask holds ${there} mL`);
  }
}
