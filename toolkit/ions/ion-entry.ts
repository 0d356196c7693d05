import type { SourceTag } from "./sources.js";

/** One ion as the data files state it; everything else about an ion is computed from this. */
export interface IonEntry {
  /** IUPAC English name. */
  readonly name: string;
  /** Formula with charge as people like to read it. */
  readonly formula: string;
  readonly aliases?: readonly string[];
  /** Limiting conductivity at 25 °C per equivalent, S·cm²/eq, and where it comes from. */
  readonly perEquivalent?: readonly [value: number, source: SourceTag];
  /** What a user should know before relying on the numbers. */
  readonly note?: string;
}

/** One acid with its ions, from the most to the least protonated form. */
export interface AcidEntry {
  /** Name of the system, after its usual ion or base. */
  readonly system: string;
  /** Forms from the most to the least protonated: name and formula. */
  readonly forms: readonly (readonly [name: string, formula: string])[];
  /** Acid constants at 25 °C and ionic strength 0, one between each two neighbours. */
  readonly pKa: readonly number[];
  readonly source: SourceTag;
  readonly note?: string;
}
