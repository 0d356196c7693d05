import { DISPLAY, type DisplayBundle, displayOf } from "../display.js";
import { IonbookError } from "../errors.js";
import { acidWithForm } from "./acids.js";
import { atomicWeightSource } from "./atomic-weights.js";
import {
  asciiFormula,
  countAtoms,
  formulaReadings,
  htmlFormula,
  molarMassOf,
  prettyFormula,
} from "./formula.js";
import { INORGANIC_IONS } from "./inorganic-ions.js";
import type { IonEntry } from "./ion-entry.js";
import { nearestNames } from "./nearest-names.js";
import { ORGANIC_IONS } from "./organic-ions.js";
import { sourceText } from "./sources.js";

/** An ion with everything the toolkit knows of it. */
export interface Ion {
  readonly kind: "ion";
  /** IUPAC English name; the key in results. */
  readonly name: string;
  /** Plain formula with charge: "SO4^2-", "Cl-". */
  readonly formula: string;
  /** Printed formula: "SO₄²⁻". */
  readonly formulaText: string;
  /** Printed formula in HTML: "SO<sub>4</sub><sup>2−</sup>". */
  readonly formulaHtml: string;
  /** Signed charge number. */
  readonly charge: number;
  readonly elements: Readonly<Record<string, number>>;
  /** g/mol */
  readonly molarMass: number;
  /** S·cm²/mol at 25 °C: per mole, which is the charge number times the value per equivalent. */
  readonly limitingMolarConductivity?: number;
  /** pKa at 25 °C and zero ionic strength, from the fully protonated form on; for a cation such as ammonium its own. */
  readonly acidConstants?: readonly number[];
  readonly aliases: readonly string[];
  /** Where the numbers come from. */
  readonly sources: {
    readonly molarMass: string;
    readonly limitingMolarConductivity?: string;
    readonly acidConstants?: string;
  };
  /** What to know before relying on the numbers. */
  readonly notes: readonly string[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

interface Table {
  readonly ions: readonly Ion[];
  readonly byName: ReadonlyMap<string, Ion>;
  readonly byFormula: ReadonlyMap<string, readonly Ion[]>;
  readonly byComposition: ReadonlyMap<string, readonly Ion[]>;
}

let table: Table | undefined;
const found = new Map<string, Ion>();

/**
 * The ion of a name or formula. Names are those of IUPAC in English and common aliases, without regard to
 * case, spaces and hyphens; formulas carry their charge: "Cl-", "SO4^2-", "SO4 2-", "SO₄²⁻", "Ca^{2+}", "Ca2+".
 *
 * Isomers that share a formula (fumarate and maleate) are found by name or by a structural formula.
 *
 * @throws IonbookError "unknown-ion", with the nearest names
 * @source names: IUPAC Nomenclature of Inorganic Chemistry (2005); numbers: see `Ion.sources`
 */
export function ion(nameOrFormula: string): Ion {
  const known = found.get(nameOrFormula);
  if (known) return known;
  if (typeof nameOrFormula !== "string") {
    throw new IonbookError(
      "unknown-ion",
      `an ion is called by its name or formula, ion("sulfate") or ion("SO4^2-"), not by ${String(nameOrFormula)}`,
    );
  }
  const result = findByName(nameOrFormula) ?? findByFormula(nameOrFormula);
  if (!result) throw unknownIon(nameOrFormula);
  found.set(nameOrFormula, result);
  return result;
}

/** All ions of the table: inorganic cations, inorganic anions, organic ions. */
export function allIons(): readonly Ion[] {
  return ionTable().ions;
}

/** True when the atoms, whatever the charge, are those of an ion of the table. */
export function isCompositionOfIon(elements: Readonly<Record<string, number>>): boolean {
  const wanted = compositionKey(elements, 0);
  return allIons().some((each) => compositionKey(each.elements, 0) === wanted);
}

function ionTable(): Table {
  table ??= buildTable([...INORGANIC_IONS, ...ORGANIC_IONS]);
  return table;
}

function buildTable(entries: readonly IonEntry[]): Table {
  const ions = entries.map(buildIon);
  const byName = new Map<string, Ion>();
  const byFormula = new Map<string, Ion[]>();
  const byComposition = new Map<string, Ion[]>();
  for (const each of ions) {
    for (const name of [each.name, ...each.aliases]) byName.set(nameKey(name), each);
    push(byFormula, each.formula, each);
    push(byComposition, compositionKey(each.elements, each.charge), each);
  }
  return { ions, byName, byFormula, byComposition };
}

function buildIon(entry: IonEntry): Ion {
  const [{ body, charge }] = formulaReadings(entry.formula);
  const elements = countAtoms(body);
  if (!elements) throw new Error(`the ion table holds the formula "${entry.formula}", which cannot be read`);
  const acid = acidWithForm(entry.name);
  const perEquivalent = entry.perEquivalent;
  const notes = [entry.note, acid?.note].filter((note) => note !== undefined);
  const built: Ion = {
    kind: "ion",
    name: entry.name,
    formula: asciiFormula(body, charge),
    formulaText: prettyFormula(body, charge),
    formulaHtml: htmlFormula(body, charge),
    charge,
    elements,
    molarMass: molarMassOf(elements),
    ...(perEquivalent && { limitingMolarConductivity: perMole(perEquivalent[0], charge) }),
    ...(acid && { acidConstants: acid.pKa }),
    aliases: entry.aliases ?? [],
    sources: {
      molarMass: molarMassSource(elements),
      ...(perEquivalent && { limitingMolarConductivity: sourceText(perEquivalent[1]) }),
      ...(acid && { acidConstants: sourceText(acid.source) }),
    },
    notes,
    toString: () => describe(built),
    [DISPLAY]: () => displayOf(built),
  };
  return Object.freeze(built);
}

function molarMassSource(elements: Readonly<Record<string, number>>): string {
  const remembered = Object.keys(elements).filter(
    (symbol) => atomicWeightSource(symbol) === "iupac-2021-memory",
  );
  const read = `sum over the formula, ${sourceText("iupac-2021")}`;
  return remembered.length === 0 ? read : `${read}; ${remembered.join(", ")} from memory`;
}

function perMole(perEquivalent: number, charge: number): number {
  // Table values have at most two decimals: rounding removes the binary dust of the product.
  return Math.round(perEquivalent * Math.abs(charge) * 1e6) / 1e6;
}

function describe(of: Ion): string {
  const lambda =
    of.limitingMolarConductivity === undefined
      ? ""
      : `, λ° ${of.limitingMolarConductivity} S·cm²/mol (25 °C)`;
  const acid = of.acidConstants === undefined ? "" : `, pKa ${of.acidConstants.join(", ")}`;
  return `${of.name} ${of.formulaText}, ${of.molarMass} g/mol${lambda}${acid}`;
}

/** A name without case, spaces and hyphens: what two spellings of a name have in common. */
export function nameKey(name: string): string {
  return name.toLowerCase().replaceAll(/[\s\-_]/g, "");
}

function findByName(text: string): Ion | undefined {
  const { byName } = ionTable();
  const direct = byName.get(nameKey(text));
  if (direct) return direct;
  // A name with its charge, "oxalate2-": the charge must be the ion's own.
  const written = /^([a-z].*?)\s*\^?(\d?)([+-])$/i.exec(text.trim());
  const named = written && byName.get(nameKey(written[1]));
  if (!written || !named) return undefined;
  const magnitude = written[2] === "" ? 1 : Number(written[2]);
  return named.charge === (written[3] === "-" ? -magnitude : magnitude) ? named : undefined;
}

function findByFormula(text: string): Ion | undefined {
  const { byFormula, byComposition } = ionTable();
  for (const { body, charge } of formulaReadings(text)) {
    if (charge === 0) continue;
    const written = byFormula.get(asciiFormula(body, charge));
    if (written?.length === 1) return written[0];
    const elements = countAtoms(body);
    const composed = elements && byComposition.get(compositionKey(elements, charge));
    if (composed?.length === 1) return composed[0];
    if (composed && composed.length > 1) throw severalIons(text, composed);
  }
  return undefined;
}

function severalIons(text: string, ions: readonly Ion[]): IonbookError {
  const names = ions.map(({ name }) => name).join(", ");
  return new IonbookError(
    "unknown-ion",
    `"${text}" is the formula of several ions: use the name, one of ${names}`,
  );
}

function unknownIon(text: string): IonbookError {
  const names = suggestions(text);
  const hint = names.length > 0 ? `; nearest are ${names.join(", ")}` : "";
  return new IonbookError(
    "unknown-ion",
    `there is no ion "${text}"${hint}. Write the English name ("sulfate") or the formula with its charge ("SO4^2-")`,
  );
}

/** Ions of the same composition (a forgotten or wrong charge) come before names that are spelled alike. */
function suggestions(text: string): readonly string[] {
  const compositions = formulaReadings(text).map(({ body }) => countAtoms(body));
  const alike = allIons().filter((each) =>
    compositions.some(
      (atoms) => atoms !== undefined && compositionKey(atoms, 0) === compositionKey(each.elements, 0),
    ),
  );
  if (alike.length > 0) return alike.slice(0, 4).map((each) => `${each.name} (${each.formula})`);
  return nearestNames(text, [...new Set(allIons().flatMap((each) => [each.name, ...each.aliases]))]);
}

function compositionKey(elements: Readonly<Record<string, number>>, charge: number): string {
  const atoms = Object.entries(elements).map(([symbol, count]) => `${symbol}${count}`);
  return `${atoms.sort().join("")}|${charge}`;
}

function push<T>(map: Map<string, T[]>, key: string, value: T): void {
  const list = map.get(key);
  if (list) list.push(value);
  else map.set(key, [value]);
}
