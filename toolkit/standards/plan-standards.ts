import { IonbookError } from "../errors.js";
import { ion } from "../ions/ion-table.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { solveLeastSquares } from "../numeric/dense.js";
import { analyteOf } from "./analyte.js";
import {
  aliquotOf,
  bestIntermediate,
  type Delivery,
  directLevels,
  knownPipettes,
  type Shelf,
  type StockGroup,
} from "./choose-volumes.js";
import { type Glassware, pipette, pistonPipette, volumetricFlask } from "./glassware.js";
import { type PreparationOptions, prepareStandards } from "./prepare-standards.js";
import type { Aliquot, Solution } from "./solution.js";
import { type Stock, type StockContent, stockContent } from "./stock.js";
import type { StandardsPreparation } from "./types.js";

/** What is wanted. */
export interface StandardsWish {
  readonly stocks: readonly Stock[];
  /** Contents of the levels by ion, mg/L; every list has one number for each level. */
  readonly levels: Readonly<Record<string, readonly number[]>>;
}

export interface PlanOptions extends Omit<PreparationOptions, "ions"> {
  /** In which every level is made up. @default a 100 mL flask of class A for each */
  readonly levelFlask?: Glassware;
  /** For intermediate solutions. @default class A of 50, 100 and 250 mL */
  readonly flasks?: readonly Glassware[];
  /** @default class A one-mark pipettes of 1 to 25 mL, and piston pipettes of 1 and 5 mL */
  readonly pipettes?: readonly Glassware[];
  /** How far a level may lie from what is wanted, relative: its content is computed from the volumes. @default 0.05 */
  readonly closeness?: number;
}

const KNOWN = {
  title: true,
  levelFlask: true,
  flasks: true,
  pipettes: true,
  closeness: true,
  temperatureHalfWidth: true,
  solubility: true,
} as const;

/** Intermediate solutions of one group. */
const MOST_INTERMEDIATES = 3;

/**
 * The dilution tree for wanted levels: from the stocks over one intermediate to each level (over two only where one
 * does not reach), every volume with the pipette that makes it least uncertain, and the card. Handed to
 * `prepareStandards`, which refuses what cannot share a flask and gives values, u and covariance.
 *
 * Counter-ions are counted: the volumes solve content = Σ stocks, so chloride that KCl brings is not taken from NaCl
 * again. Levels in one proportion of ions are made from mixtures, others from an intermediate of each stock. No step
 * dilutes more than 1:200; no volume is below a tenth of a piston pipette's range.
 *
 * @throws IonbookError "bad-wish", "bad-levels" for lists of unequal length or contents not above 0, "no-stock" for an
 *   ion that none holds, "counter-ion-too-much" where counter-ions alone exceed what is wanted, "levels-do-not-fit"
 *   where one stock fixes a proportion that is not wanted, "out-of-reach" for a level that no pipette makes;
 *   "bad-option", "unknown-option"; and what `prepareStandards` throws
 * @source common practice, no source
 */
export function planStandards(wish: StandardsWish, options: PlanOptions = {}): StandardsPreparation {
  const wanted = requireWish(wish);
  requireKnownOptions(options, KNOWN, "planStandards");
  const { title = "Calibration standards", closeness = 0.05, temperatureHalfWidth = 4 } = options;
  if (!(closeness > 0 && closeness < 0.5)) {
    throw new IonbookError(
      "bad-option",
      `closeness is ${closeness}; give a part of the content, 0.05 for 5 %`,
    );
  }
  requireGlass("flasks", options.flasks, ["flask"]);
  requireGlass("levelFlask", options.levelFlask && [options.levelFlask], ["flask"]);
  requireGlass("pipettes", options.pipettes, ["pipette", "piston pipette"]);
  // Two steps and two roundings of volumes share the distance.
  const shelf: Shelf = {
    levelFlask: options.levelFlask ?? volumetricFlask(100),
    flasks: options.flasks ?? [50, 100, 250].map((volume) => volumetricFlask(volume)),
    pipettes: knownPipettes(options.pipettes ?? usualPipettes()),
    closeness: closeness / 2,
  };
  const stocks = wish.stocks.map((stock) => stockContent(stock, { halfWidth: temperatureHalfWidth }));
  const shares = sharesOf(wanted, stocks);
  const solutions = solutionsOf(groupsOf(shares, stocks), shelf, wanted.count);
  const ions = [...wanted.contents.keys()];
  const { solubility } = options;
  return prepareStandards(
    { stocks: wish.stocks, solutions },
    { title, ions, temperatureHalfWidth, ...(solubility && { solubility }) },
  );
}

function requireGlass(name: string, given: unknown, kinds: readonly Glassware["kind"][]): void {
  const fits = (each: unknown): boolean => kinds.includes((each as Glassware | undefined)?.kind as "flask");
  if (given === undefined || (Array.isArray(given) && given.length > 0 && given.every(fits))) return;
  throw new IonbookError(
    "bad-option",
    `${name} holds ${kinds.join("s and ")}s, from volumetricFlask(100), pipette(10) or pistonPipette(1)`,
  );
}

function usualPipettes(): readonly Glassware[] {
  const oneMark = [1, 2, 5, 10, 20, 25].map((volume) => pipette(volume));
  return [...oneMark, pistonPipette(1), pistonPipette(5)];
}

interface Wanted {
  /** By ion, mg/L for each level. */
  readonly contents: ReadonlyMap<string, readonly number[]>;
  readonly count: number;
}

function requireWish(wish: StandardsWish): Wanted {
  const { stocks, levels } = wish ?? {};
  if (!Array.isArray(stocks) || stocks.length === 0 || typeof levels !== "object" || levels === null) {
    throw new IonbookError(
      "bad-wish",
      "A plan needs stocks and levels: planStandards({ stocks: […], levels: { chloride: [1, 2, 5, 10] } })",
    );
  }
  const contents = new Map<string, readonly number[]>();
  for (const [given, list] of Object.entries(levels)) {
    const usable = Array.isArray(list) && list.length > 0 && list.every((x) => x > 0 && Number.isFinite(x));
    if (!usable) {
      throw new IonbookError(
        "bad-levels",
        `The levels of ${given} are ${String(list)}; give mg/L above 0, lowest first`,
      );
    }
    contents.set(analyteOf(ion(given).name), list);
  }
  const lengths = new Set([...contents.values()].map(({ length }) => length));
  if (lengths.size === 1) return { contents, count: [...lengths][0] };
  throw new IonbookError(
    "bad-levels",
    `Every ion needs as many levels as the others: ${[...contents].map(([name, { length }]) => `${name} ${length}`).join(", ") || "there is none"}`,
  );
}

/** How far the sum of stocks may miss a wanted content before the wish contradicts itself. */
const CONTRADICTION = 0.005;

/** mL of each stock in one mL of each level: Σ share·content = wanted for every ion. */
function sharesOf(
  { contents, count }: Wanted,
  stocks: readonly StockContent[],
): readonly (readonly number[])[] {
  for (const name of contents.keys()) {
    if (stocks.some(({ ions }) => ions.has(name))) continue;
    throw new IonbookError("no-stock", `No stock holds ${name}: add one, or leave it out of the levels`);
  }
  const names = [...contents.keys()];
  const needed = stocks.filter(({ ions }) => names.some((name) => ions.has(name)));
  return Array.from({ length: count }, (_, level) => {
    const want = (name: string): number => (contents.get(name) as readonly number[])[level];
    const solution = solved(names, needed, want);
    return stocks.map((stock) => {
      const at = needed.indexOf(stock);
      return at < 0 ? 0 : solution[at];
    });
  });
}

function solved(
  names: readonly string[],
  stocks: readonly StockContent[],
  want: (name: string) => number,
): readonly number[] {
  if (stocks.length > names.length) {
    throw new IonbookError(
      "levels-do-not-fit",
      `${stocks.length} stocks hold ${names.length} wanted ions: leave out a stock, or name the levels of every ion`,
    );
  }
  const rows = new Float64Array(names.length * stocks.length);
  names.forEach((name, i) => {
    stocks.forEach(({ ions }, j) => {
      rows[i * stocks.length + j] = (ions.get(name)?.value ?? 0) / want(name);
    });
  });
  const ones = new Float64Array(names.length).fill(1);
  const shares = Array.from(solveLeastSquares(rows, ones, names.length, stocks.length).solution);
  names.forEach((name) => {
    const made = stocks.reduce((sum, { ions }, j) => sum + shares[j] * (ions.get(name)?.value ?? 0), 0);
    if (Math.abs(made / want(name) - 1) > CONTRADICTION) throw doesNotFit(name, made, want(name));
  });
  const negative = shares.findIndex((share) => share < -1e-12);
  if (negative < 0) return shares.map((share) => Math.max(0, share));
  throw new IonbookError(
    "counter-ion-too-much",
    `Other stocks bring more of an ion of "${stocks[negative].name}" as counter-ion than its levels ask for: take salts with another counter-ion, or raise the levels`,
  );
}

function doesNotFit(name: string, made: number, wanted: number): IonbookError {
  const [found, asked] = [made, wanted].map((x) => Number(x.toPrecision(3)));
  return new IonbookError(
    "levels-do-not-fit",
    `The stocks cannot give ${asked} mg/L ${name} with the other ions: it would be ${found} mg/L. One stock fixes their proportion; add a stock of ${name} alone`,
  );
}

/** One group for levels in one proportion, else one for each stock. */
function groupsOf(
  shares: readonly (readonly number[])[],
  stocks: readonly StockContent[],
): readonly StockGroup[] {
  const used = stocks
    .map(({ name }, i) => ({ name, i }))
    .filter(({ i }) => shares.some((level) => level[i] > 0));
  const top = shares.reduce((most, level) => (sum(level) > sum(most) ? level : most));
  const strengths = shares.map((level) => sum(level) / sum(top));
  const proportional = shares.every((level, j) =>
    level.every((share, i) => Math.abs(share - strengths[j] * top[i]) <= 1e-3 * strengths[j] * top[i]),
  );
  if (proportional) {
    return [{ stocks: used.map(({ name }) => name), unit: used.map(({ i }) => top[i]), levels: strengths }];
  }
  return used.map(({ name, i }) => ({ stocks: [name], unit: [1], levels: shares.map((level) => level[i]) }));
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

/** Intermediates first, then the levels, each with what every group gives it. */
function solutionsOf(groups: readonly StockGroup[], shelf: Shelf, count: number): readonly Solution[] {
  const intermediates: Solution[] = [];
  const aliquots: Aliquot[][] = Array.from({ length: count }, () => []);
  groups.forEach((group) => {
    for (const { solution, serves } of plannedGroup(group, shelf, groups.length > 1)) {
      if (solution) intermediates.push(solution);
      for (const [level, parts] of serves) aliquots[level].push(...parts);
    }
  });
  const levels = aliquots.map((list, i) => ({
    name: `level ${i + 1}`,
    flask: shelf.levelFlask,
    aliquots: list,
  }));
  return [...intermediates, ...levels];
}

/** An intermediate, or none where the levels come straight from the stocks, and what goes into the levels. */
interface Branch {
  readonly solution?: Solution;
  readonly serves: ReadonlyMap<number, readonly Aliquot[]>;
}

function plannedGroup(group: StockGroup, shelf: Shelf, ownName: boolean): readonly Branch[] {
  const direct = directLevels(group, shelf);
  const all = group.levels.flatMap((strength, level) => (strength > 0 ? [level] : []));
  const straight = (levels: readonly number[]): Branch => ({
    serves: new Map(
      levels.map((level) => [
        level,
        (direct.get(level) as readonly Delivery[]).map((part, i) => aliquotOf(group.stocks[i], part)),
      ]),
    ),
  });
  // One stock needs no mixture that only costs another step.
  if (group.stocks.length === 1 && all.every((level) => direct.has(level))) return [straight(all)];
  const branches: Branch[] = [];
  const from: StockGroup[] = [group];
  let left = all;
  while (left.length > 0 && branches.length < MOST_INTERMEDIATES) {
    const served = left;
    // Straight from the stocks where that reaches; else a third step, from the mixture before.
    const parent = from.find((each) => bestIntermediate(each, served, shelf) !== undefined);
    const found = parent && bestIntermediate(parent, served, shelf);
    if (!parent || !found) break;
    const letter = "ABC"[branches.length];
    const name = ownName ? `${group.stocks[0]} ${letter}` : `mixture ${letter}`;
    const aliquots = found.parts.map((part, i) => aliquotOf(parent.stocks[i], part));
    branches.push({
      solution: { name, flask: found.flask, aliquots },
      serves: new Map([...found.serves].map(([level, part]) => [level, [aliquotOf(name, part)]])),
    });
    from.push({ stocks: [name], unit: [1 / found.strength], levels: group.levels });
    left = left.filter((level) => !found.serves.has(level));
  }
  const unreached = left.find((level) => !direct.has(level));
  if (unreached === undefined) return left.length > 0 ? [...branches, straight(left)] : branches;
  throw new IonbookError(
    "out-of-reach",
    `Level ${unreached + 1} cannot be made from ${group.stocks.join(", ")} in steps of at most 1:200 with these pipettes: add a pipette, take a larger levelFlask, a weaker stock, or allow more closeness`,
  );
}
