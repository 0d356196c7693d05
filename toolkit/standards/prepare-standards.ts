import { IonbookError } from "../errors.js";
import { ion } from "../ions/ion-table.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { analyteOf } from "./analyte.js";
import { type Caution, cautionsFor } from "./cautions.js";
import { dilute, type PreparedSolution } from "./dilution.js";
import { likelySlip } from "./form-slips.js";
import { Preparation } from "./preparation.js";
import { type OwnSolubility, solubilityTable } from "./solubility.js";
import type { Solution, WeighedSolution } from "./solution.js";
import { type Stock, type StockContent, stockContent } from "./stock.js";
import type { StandardsPreparation } from "./types.js";

/** Stocks and flasks as they are to be made. */
export interface StandardsRecipe {
  readonly stocks: readonly Stock[];
  /** In the order of work: a solution takes from stocks and from solutions before it. */
  readonly solutions: readonly (Solution | WeighedSolution)[];
}

export interface PreparationOptions {
  /** Heading of the card. @default "Calibration standards" */
  readonly title?: string;
  /** Ions that are counted on. @default those on certificates and in declarations; where there are none, all */
  readonly ions?: readonly string[];
  /** The room lies within 20 °C ± this. @default 4 */
  readonly temperatureHalfWidth?: number;
  /** Solubility products in place of those of the table, or beside them. */
  readonly solubility?: readonly OwnSolubility[];
}

const KNOWN = { title: true, ions: true, temperatureHalfWidth: true, solubility: true } as const;
const TITLE = "Calibration standards";

/**
 * The levels that a set of stocks and dilutions gives, with u and covariance, checked for what cannot share a flask, and
 * the card to prepare them by.
 *
 *     c = Σ c_stock·Π(V_aliquot/V_flask),   cov(c_i, c_j) = Σ over common sources
 *
 * Concentrations in mg/L, volumes in mL at 20 °C, masses of salts in mg. Every content counts what all stocks bring, counter-ions
 * too. Sources have names: the weighing, purity or certificate of a stock, the calibration of each piece, every
 * filling and pipetting, and the temperature of the day, which cancels between pipette and flask of one day. To first
 * order; atomic masses are taken as exact.
 *
 * Flask and pipette can each give way to a balance (`balance`, `mass` in g as read in air, `density`): then
 * V = R·(1 − ρ_air/ρ_weights)/(ρ − ρ_air) stands for its volume, with weighing, balance, air of the day and densities
 * as sources.
 *
 * @throws IonbookError "incompatible-ions" for ions that precipitate or react in a flask; "form-slip" for a stock "as N"
 *   given as the ion; "stock-not-as-declared" and "level-not-as-declared" with the likely slip; "acid-holds-ion";
 *   "bad-recipe", "bad-stock", "bad-mass", "bad-purity", "bad-matrix", "bad-concentration", "unknown-salt", "salt-without-ion",
 *   "bad-solution", "bad-flask", "bad-aliquot", "unknown-parent", "flask-too-small", "not-enough", "same-name",
 *   "bad-balance", "bad-density", "no-density", "mass-too-small", "ion-not-there", "unknown-option", "bad-option"
 * @source Eurachem/CITAC CG 4 (QUAM), example A1; covariance: JCGM 100:2008, F.1.2.3
 */
export function prepareStandards(
  recipe: StandardsRecipe,
  options: PreparationOptions = {},
): StandardsPreparation {
  requireRecipe(recipe);
  requireKnownOptions(options, KNOWN, "prepareStandards");
  const { title = TITLE, temperatureHalfWidth = 4 } = options;
  if (!(temperatureHalfWidth >= 0 && temperatureHalfWidth <= 30)) {
    throw new IonbookError(
      "bad-option",
      `temperatureHalfWidth is ${temperatureHalfWidth}; the room lies within 20 °C ± 0 to 30 °C`,
    );
  }
  const room = { halfWidth: temperatureHalfWidth };
  const stocks = recipe.stocks.map((stock) => stockContent(stock, room));
  const solutions = dilute(stocks, recipe.solutions, room, solubilityTable(options.solubility));
  const parents = new Set(recipe.solutions.flatMap(({ aliquots }) => aliquots.map(({ from }) => from)));
  const levels = solutions.filter(({ name }) => !parents.has(name));
  const ions = countedOn(stocks, solutions, options.ions);
  for (const level of levels) {
    requireNoAcidIon(level, options.ions === undefined ? [] : ions);
    requireAsDeclared(level, stocks);
  }
  const cautions = allCautions(stocks, solutions, levels, ions);
  return new Preparation({ title, stocks, solutions, levels, ions, cautions, temperatureHalfWidth });
}

function requireRecipe(recipe: StandardsRecipe): void {
  const fits =
    typeof recipe === "object" &&
    recipe !== null &&
    Array.isArray(recipe.stocks) &&
    Array.isArray(recipe.solutions) &&
    recipe.stocks.length > 0;
  if (fits) return;
  throw new IonbookError(
    "bad-recipe",
    'Standards need stocks and solutions: prepareStandards({ stocks: [{ name: "chloride", … }], solutions: [{ name: "level 1", flask, aliquots }] })',
  );
}

function countedOn(
  stocks: readonly StockContent[],
  solutions: readonly PreparedSolution[],
  wanted: readonly string[] | undefined,
): readonly string[] {
  const there = new Set([...stocks, ...solutions].flatMap(({ ions }) => [...ions.keys()]));
  if (wanted !== undefined) {
    if (!Array.isArray(wanted)) {
      throw new IonbookError("bad-option", 'ions is a list of names: { ions: ["chloride", "sulfate"] }');
    }
    const named = [...new Set(wanted.map((each) => analyteOf(ion(each).name)))];
    const missing = named.find((name) => !there.has(name));
    if (missing === undefined) return named;
    throw new IonbookError("ion-not-there", `No stock holds ${missing}; they hold ${[...there].join(", ")}`);
  }
  const named = new Set(stocks.flatMap(({ certified }) => certified));
  for (const { stock } of stocks) {
    if ("mass" in stock && stock.declared) named.add(analyteOf(ion(stock.declared.ion).name));
  }
  for (const { solution } of solutions) {
    for (const name of Object.keys(solution.declared ?? {})) named.add(analyteOf(ion(name).name));
  }
  return named.size > 0 ? [...named].filter((name) => there.has(name)) : [...there];
}

/** @throws IonbookError "acid-holds-ion" for an ion that an acid brings in an amount nobody has certified */
function requireNoAcidIon({ name, acidIons }: PreparedSolution, ions: readonly string[]): void {
  for (const of of ions) {
    const content = acidIons.get(of) ?? 0;
    if (content === 0) continue;
    throw new IonbookError(
      "acid-holds-ion",
      `"${name}" gets ${Number((content * ion(of).molarMass * 1000).toPrecision(2))} mg/L of ${of} from an acid, uncertified: take another acid, or leave ${of} out of the ions`,
    );
  }
}

/** Closer than this a level is what it is declared as: nominal contents are rounded. */
const NOMINAL = 0.01;

function requireAsDeclared(level: PreparedSolution, stocks: readonly StockContent[]): void {
  for (const [given, declared] of Object.entries(level.solution.declared ?? {})) {
    const name = analyteOf(ion(given).name);
    const found = level.ions.get(name);
    if (found === undefined) {
      throw new IonbookError(
        "ion-not-there",
        `"${level.name}" is declared to hold ${name}, but no aliquot brings it`,
      );
    }
    const off = Math.abs(found.value / declared - 1);
    if (off <= NOMINAL || Math.abs(found.value - declared) <= 3 * found.u) continue;
    throw new IonbookError(
      "level-not-as-declared",
      `"${level.name}" is declared with ${declared} mg/L ${name}, but the dilution gives ${Number(found.value.toPrecision(4))} mg/L: ${whyDifferent(level, stocks, name, declared)}`,
    );
  }
}

/** A counter-ion that was not thought of, else a slip of the trade, else what to look at. */
function whyDifferent(
  level: PreparedSolution,
  stocks: readonly StockContent[],
  name: string,
  declared: number,
): string {
  const parts = partsOf(level, stocks, name);
  const own = parts.find(({ amount }) => Math.abs(amount / declared - 1) <= NOMINAL);
  if (own && parts.length > 1) {
    const others = parts.filter((part) => part !== own);
    const words = others.map(
      ({ stock, amount }) => `${stock} brings ${Number(amount.toPrecision(3))} mg/L more`,
    );
    return `${words.join(", ")} as counter-ion. Count it, or take a salt without ${name}`;
  }
  const [solid] = stocks.filter(({ ions }) => ions.has(name)).map(({ salt }) => salt);
  const found = parts.reduce((sum, { amount }) => sum + amount, 0);
  const slip = likelySlip(found / declared, name, solid);
  return slip === undefined ? "look at aliquots and flasks" : `${slip}. Mend the stock or the declaration`;
}

interface StockPart {
  readonly stock: string;
  /** mg/L */
  readonly amount: number;
}

/** What each stock brings of an ion. */
function partsOf(
  { shares }: PreparedSolution,
  stocks: readonly StockContent[],
  name: string,
): readonly StockPart[] {
  return stocks
    .map((stock) => ({
      stock: stock.name,
      amount: (shares.get(stock.name) ?? 0) * (stock.ions.get(name)?.value ?? 0),
    }))
    .filter(({ amount }) => amount > 0);
}

function allCautions(
  stocks: readonly StockContent[],
  solutions: readonly PreparedSolution[],
  levels: readonly PreparedSolution[],
  ions: readonly string[],
): readonly Caution[] {
  const bench = stocks.flatMap(({ name, stock, salt, ions: held }) => {
    const dissolved = "mass" in stock && salt?.dissolving !== undefined;
    const acid = stock.matrix?.acid ?? (dissolved ? "nitric acid" : undefined);
    return cautionsFor(
      [...held.keys(), ...(acid === undefined ? [] : [acid])],
      salt && "mass" in stock ? salt.formula : name,
      "mass" in stock,
    );
  });
  const acids = solutions.flatMap(({ name, solution }) =>
    solution.matrix ? cautionsFor([solution.matrix.acid], name, true) : [],
  );
  // The card names the solution before each of its cautions.
  const mixing = solutions.flatMap(({ name, cautions }) =>
    cautions.map((text) => ({
      about: name,
      text: text.startsWith(`${name}: `) ? text.slice(name.length + 2) : text,
    })),
  );
  const weighings = stocks.flatMap(({ name, cautions }) => cautions.map((text) => ({ about: name, text })));
  return joined([...bench, ...weighings, ...acids, ...mixing, ...severalStocks(stocks, levels, ions)]);
}

/** Ions that more than one stock brings: counted, and said. */
function severalStocks(
  stocks: readonly StockContent[],
  levels: readonly PreparedSolution[],
  ions: readonly string[],
): readonly Caution[] {
  const last = levels[levels.length - 1];
  if (last === undefined) return [];
  return ions.flatMap((name) => {
    const parts = partsOf(last, stocks, name);
    if (parts.length < 2) return [];
    const sum = parts.reduce((total, { amount }) => total + amount, 0);
    const words = parts.map(
      ({ stock, amount }) => `${Number(((100 * amount) / sum).toPrecision(2))} % from ${stock}`,
    );
    return [{ about: name, text: `comes from ${parts.length} stocks, all counted: ${words.join(", ")}` }];
  });
}

/** The same words about several substances are said once. */
function joined(cautions: readonly Caution[]): readonly Caution[] {
  const byText = new Map<string, Set<string>>();
  for (const { about, text } of cautions) byText.set(text, (byText.get(text) ?? new Set()).add(about));
  return [...byText].map(([text, about]) => ({ about: [...about].join(", "), text }));
}
