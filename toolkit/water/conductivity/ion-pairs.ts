import { IonbookError } from "../../errors.js";

/** An ion pair, as data: edit or replace the list in the option `ionPairs`. */
export interface IonPair {
  readonly name: string;
  /** Name of the free cation among the forms of a water. */
  readonly cation: string;
  /** Name of the free anion. */
  readonly anion: string;
  /** Decimal logarithm of the association constant at 25 °C and ionic strength 0, L/mol. */
  readonly logK: number;
  /** Limiting conductivity of a charged pair per equivalent, S·cm²/eq; 0 for a neutral one. */
  readonly perEquivalent: number;
  readonly source: string;
}

const CONSTANTS = "constants of a public geochemical database (from memory)";

/**
 * The pairs that matter in fresh waters. The conductivities of the charged ones are known to a factor of two at best; all
 * of them together move the conductivity of the waters tested by less than 0.4 %.
 */
export const ION_PAIRS: readonly IonPair[] = [
  pair("CaSO4", "calcium", "sulfate", 2.3, 0),
  pair("MgSO4", "magnesium", "sulfate", 2.37, 0),
  pair("NaSO4-", "sodium", "sulfate", 0.7, 50),
  pair("KSO4-", "potassium", "sulfate", 0.85, 56),
  pair("CaHCO3+", "calcium", "hydrogencarbonate", 1.11, 19),
  pair("MgHCO3+", "magnesium", "hydrogencarbonate", 1.07, 18),
];

function pair(name: string, cation: string, anion: string, logK: number, perEquivalent: number): IonPair {
  return { name, cation, anion, logK, perEquivalent, source: CONSTANTS };
}

/** The list an option stands for. @throws IonbookError "bad-option" */
export function pairsInForce(option: boolean | readonly IonPair[]): readonly IonPair[] {
  if (option === true) return ION_PAIRS;
  if (option === false) return [];
  if (!Array.isArray(option)) {
    throw new IonbookError(
      "bad-option",
      `ionPairs is true, false or a list of pairs such as ION_PAIRS, not ${String(option)}`,
    );
  }
  for (const each of option as readonly IonPair[]) requirePair(each);
  return option;
}

function requirePair(each: IonPair): void {
  const isPair =
    typeof each === "object" &&
    each !== null &&
    typeof each.cation === "string" &&
    typeof each.anion === "string" &&
    Number.isFinite(each.logK) &&
    Number.isFinite(each.perEquivalent);
  if (isPair) return;
  throw new IonbookError(
    "bad-option",
    'an ion pair says { name: "CaSO4", cation: "calcium", anion: "sulfate", logK: 2.3, perEquivalent: 0, source }',
  );
}
