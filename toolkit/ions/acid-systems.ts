import { ACIDS, acidWithForm } from "./acids.js";
import { asciiFormula, formulaReadings } from "./formula.js";
import type { AcidEntry } from "./ion-entry.js";
import { allIons, type Ion, ion, nameKey } from "./ion-table.js";
import { ORGANIC_ACIDS } from "./organic-acids.js";
import { sourceText } from "./sources.js";

/** One form of an acid or base. */
export interface AcidForm {
  readonly name: string;
  readonly formula: string;
  readonly charge: number;
  /** The ion of the table; undefined for a neutral form and for ions without an entry. */
  readonly ion: Ion | undefined;
}

/** An acid with all its forms, from the most to the least protonated. */
export interface AcidSystem {
  readonly name: string;
  readonly forms: readonly AcidForm[];
  /** One between each two neighbouring forms; 25 °C, zero ionic strength. */
  readonly pKa: readonly number[];
  readonly source: string;
  readonly note: string | undefined;
  /** True for organic acids and amines. */
  readonly organic: boolean;
}

/**
 * The acid an ion or base belongs to: all its forms and pKa values; undefined for an ion that is no acid or base.
 * Takes the system's name ("carbonate", "ammonia"), an ion's name or formula, or the name of a neutral form.
 *
 * @throws IonbookError "unknown-ion" when the text names nothing known
 * @source each system states its own
 */
export function acidSystem(nameOrFormula: string): AcidSystem | undefined {
  if (!found.has(nameOrFormula)) found.set(nameOrFormula, findSystem(nameOrFormula));
  return found.get(nameOrFormula);
}

/** Systems looked up so far: a water asks for the same few again and again. */
const found = new Map<string, AcidSystem | undefined>();

function findSystem(nameOrFormula: string): AcidSystem | undefined {
  const wanted = nameKey(nameOrFormula);
  const entry = ACIDS.find(
    ({ system, forms }) => nameKey(system) === wanted || forms.some(([name]) => nameKey(name) === wanted),
  );
  if (entry) return buildSystem(entry);
  const { name } = ion(nameOrFormula);
  const holder = acidWithForm(name);
  return holder ? buildSystem(holder) : undefined;
}

/** The names of all acids and bases that can be speciated. */
export function acidSystemNames(): readonly string[] {
  return ACIDS.map(({ system }) => system);
}

function buildSystem(entry: AcidEntry): AcidSystem {
  return {
    name: entry.system,
    forms: entry.forms.map(([name, formula]) => {
      const [{ body, charge }] = formulaReadings(formula);
      return { name, formula: asciiFormula(body, charge), charge, ion: tableIon(name, charge) };
    }),
    pKa: entry.pKa,
    source: sourceText(entry.source),
    note: entry.note,
    organic: ORGANIC_ACIDS.includes(entry),
  };
}

/** A neutral form may share its name with an alias of its cation ("methylamine"), hence the look at the charge. */
function tableIon(name: string, charge: number): Ion | undefined {
  return allIons().find((each) => each.name === name && each.charge === charge);
}
