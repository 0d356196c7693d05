import type { AcidForm, AcidSystem } from "../../ions/acid-systems.js";
import { ion } from "../../ions/ion-table.js";

/** Constants of hydrolysis as steps: M(OH)ᵢ + H2O = M(OH)ᵢ₊₁ + H⁺. */
interface HydrolysisEntry {
  readonly ion: string;
  readonly symbol: string;
  readonly pKa: readonly number[];
}

const SOURCE =
  "hydrolysis constants at 25 °C and ionic strength 0 of the USGS geochemical database phreeqc.dat [from memory]";
const NOTE =
  "single metal ions only: what is bound to organic matter, to fluoride or as colloid carries less charge than this";

const ENTRIES: readonly HydrolysisEntry[] = [
  // Cumulative 5.00, 10.1, 16.9, 22.7.
  { ion: "aluminium", symbol: "Al", pKa: [5.0, 5.1, 6.8, 5.8] },
  // Cumulative 2.19, 5.67, 12.56, 21.6.
  { ion: "iron(III)", symbol: "Fe", pKa: [2.19, 3.48, 6.89, 9.04] },
];

const WORDS = ["", "hydroxido", "dihydroxido", "trihydroxido", "tetrahydroxido"];

const SYSTEMS: ReadonlyMap<string, AcidSystem> = new Map(
  ENTRIES.map((entry) => [
    entry.ion,
    { name: entry.ion, forms: formsOf(entry), pKa: entry.pKa, source: SOURCE, note: NOTE, organic: false },
  ]),
);

function formsOf({ ion: name, symbol, pKa }: HydrolysisEntry): readonly AcidForm[] {
  return [...pKa, 0].map((_, i) => {
    const charge = 3 - i;
    const sign = charge > 0 ? "+" : charge < 0 ? "-" : "";
    const number = Math.abs(charge) > 1 ? `^${charge}` : "";
    const groups = i === 0 ? "" : i === 1 ? "OH" : `(OH)${i}`;
    return {
      name: `${WORDS[i]}${name}`,
      formula: i === 0 ? `${symbol}3+` : `${symbol}${groups}${number}${sign}`,
      charge,
      ion: i === 0 ? ion(name) : undefined,
    };
  });
}

/**
 * The hydrolysis of a metal ion as an acid that gives off protons of its water; undefined for metals that carry their whole
 * charge in waters.
 *
 * @param name name of the ion in the ion table
 * @source stated by the system
 */
export function metalHydrolysis(name: string): AcidSystem | undefined {
  return SYSTEMS.get(name);
}
