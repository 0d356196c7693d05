import type { Unit } from "../ions/units.js";
import { convert } from "../ions/units.js";
import type { AcidMatrix } from "./acid-matrix.js";
import { ALWAYS, keeping } from "./cautions.js";
import type { PreparedSolution } from "./dilution.js";
import {
  type Aliquot,
  balanceOf,
  isWeighed,
  type Solution,
  type WeighedAliquot,
  type WeighedSolution,
} from "./solution.js";
import type { StockContent } from "./stock.js";
import type { StandardsPreparation } from "./types.js";

/** What goes into a flask, as it is read at the bench. */
export interface CardAliquot {
  /** "2 × 5 mL", or "10.0123 g" */
  readonly amount: string;
  readonly from: string;
  /** Pipette, or balance where it is weighed. */
  readonly pipette: string;
}

/** One step of the card. */
export interface CardStep {
  /** What comes of it. */
  readonly makes: string;
  /** Or the bottle that is filled on a balance. */
  readonly flask: string;
  readonly aliquots: readonly CardAliquot[];
  /** What it is filled up with and how far; empty for a stock. */
  readonly filling: string;
  /** Filled on a balance and to no mark. */
  readonly byMass: boolean;
  /** What is to be done beside taking aliquots; empty where nothing is. */
  readonly words: string;
}

type Shown = Pick<StandardsPreparation, "title" | "stocks" | "solutions" | "levels" | "ions" | "cautions">;

/** The steps of the work in their order: weighed stocks, intermediates, levels. */
export function cardSteps({ stocks, solutions }: Shown): readonly CardStep[] {
  return [...stocks.flatMap((stock) => weighingStep(stock)), ...solutions.map((each) => dilutionStep(each))];
}

function weighingStep({ name, stock, salt }: StockContent): readonly CardStep[] {
  if (!("mass" in stock) || salt === undefined) return [];
  const solvent = salt.dissolving ?? "water";
  const acid = stock.matrix ? `, ${acidWords(stock.matrix)}` : "";
  const on = stock.balance === undefined ? "" : ` (${stock.balance.name})`;
  const start = `${salt.formula}: ${salt.drying}. Weigh ${stock.mass} mg${on}, dissolve in ${solvent}`;
  const { flask, solutionMass, solutionBalance = stock.balance } = stock;
  if (flask !== undefined) {
    const words = `${start}, rinse into the flask${acid}, let it come to 20 °C, fill to the mark, mix.`;
    return [{ makes: name, flask: flask.name, aliquots: [], filling: "", byMass: false, words }];
  }
  const words = `${start}, rinse into the bottle${acid}, water until all of it weighs ${solutionMass} g (${solutionBalance?.name}), mix.`;
  return [{ makes: name, flask: BOTTLE, aliquots: [], filling: "", byMass: false, words }];
}

/** What is filled on a balance. */
const BOTTLE = "dry bottle, tared";

function dilutionStep({ name, solution }: PreparedSolution): CardStep {
  const acid = solution.matrix ? sentence(acidWords(solution.matrix)) : "";
  const aliquots = solution.aliquots.map((aliquot) => cardAliquot(aliquot, solution));
  if (!isWeighed(solution)) {
    const filling = "fill to the mark with water, mix.";
    return { makes: name, flask: solution.flask.name, aliquots, filling, byMass: false, words: acid };
  }
  const { balance, mass } = solution;
  const words = [acid, airWords(solution)].filter((each) => each !== "").join(" ");
  const filling = `water until all of it weighs ${mass} g (${balance.name}), mix.`;
  return { makes: name, flask: BOTTLE, aliquots, filling, byMass: true, words };
}

function cardAliquot(aliquot: Aliquot | WeighedAliquot, into: Solution | WeighedSolution): CardAliquot {
  const { from } = aliquot;
  if (isWeighed(aliquot))
    return { amount: `${aliquot.mass} g`, from, pipette: balanceOf(aliquot, into)?.name ?? "" };
  const { pipette, volume = pipette.volume, times = 1 } = aliquot;
  const amount = `${times > 1 ? `${times} × ` : ""}${numberText(volume)} mL`;
  return { amount, from, pipette: pipette.name };
}

/** By what its weighings are corrected. */
function airWords({ balance, density }: WeighedSolution): string {
  return `Density ${density.value} g/mL, air ${balance.airDensity.value} kg/m³.`;
}

/** What is to be known of masses, so that nobody corrects them twice; empty where none is weighed. */
export function weighingNote({ stocks, solutions }: Shown): string {
  const weighs = solutions.some(
    ({ solution }) => isWeighed(solution) || solution.aliquots.some((each) => isWeighed(each)),
  );
  const corrected = stocks.some(
    ({ stock }) => "mass" in stock && (stock.solidDensity !== undefined || stock.solutionMass !== undefined),
  );
  if (!weighs && !corrected) return "";
  return "Masses as the balance shows them in air: buoyancy is reckoned with. Write down what it shows and reckon again with that.";
}

function sentence(words: string): string {
  return `${words[0].toUpperCase()}${words.slice(1)}.`;
}

function stepText({ makes, flask, aliquots, filling, words }: CardStep, i: number): string {
  const taken = aliquots.map(({ amount, from, pipette }) => `${amount} ${from} (${pipette})`).join(", ");
  const work = aliquots.length > 0 ? ` ${taken}; ${filling}` : "";
  return `${i + 1}. ${makes}, ${flask}:${work}${words === "" ? "" : ` ${words}`}`;
}

function acidWords({ acid, molarity }: AcidMatrix): string {
  return `${acid} to ${molarity} mol/L`;
}

/** How else a stock's content can be written: nitrate also as N. */
const ALSO_AS: Readonly<Record<string, string>> = {
  nitrate: "N",
  nitrite: "N",
  ammonium: "N",
  phosphate: "P",
  sulfate: "S",
};

/** "1000 mg/L nitrate, the same as 225.9 mg/L as N"; undefined where only one form is in use. */
export function otherForm(ion: string, milligrams: number): string | undefined {
  const element = ALSO_AS[ion];
  if (element === undefined) return undefined;
  const unit: Unit = `mg/L as ${element}`;
  return `${numberText(convert(milligrams, "mg/L", unit, ion))} ${unit}`;
}

/** How long a solution keeps. */
export function keepingOf(solution: PreparedSolution, ions: readonly string[]): string {
  const contents = ions.flatMap((name) => solution.ions.get(name)?.value ?? []);
  return keeping(solution.ions.keys(), Math.min(...contents));
}

/** The whole card as plain text. */
export function preparationText(preparation: Shown): string {
  const { title, stocks, solutions, ions, cautions } = preparation;
  const steps = cardSteps(preparation).map(stepText);
  const note = weighingNote(preparation);
  const stockLines = stocks.flatMap((stock) =>
    [...stock.ions]
      .filter(([name]) => ions.includes(name))
      .map(([name, content]) => {
        const form = otherForm(name, content.value);
        return `  ${stock.name}: ${name} ${content}${form === undefined ? "" : `, that is ${form}`}`;
      }),
  );
  const contentLines = solutions.flatMap((solution) => [
    `  ${solution.name}, keeps ${keepingOf(solution, ions)}`,
    ...ions.flatMap((name) => {
      const content = solution.ions.get(name);
      return content ? [`    ${name} ${content}, u ${numberText(content.u, 2)} mg/L`] : [];
    }),
  ]);
  return [
    title,
    "Cautions",
    `  ${ALWAYS}`,
    ...cautions.map(({ about, text }) => `  ${about}: ${text}`),
    "Stocks",
    ...stockLines,
    "Steps",
    ...steps.map((step) => `  ${step}`),
    ...(note === "" ? [] : [`  ${note}`]),
    ...(solutions.length > 0 ? ["Contents", ...contentLines] : []),
    "Prepared by ____________  Date ________  Balance and pipettes ____________  Checked by ____________",
  ].join("\n");
}

function numberText(value: number, digits = 4): string {
  return String(Number(value.toPrecision(digits)));
}
