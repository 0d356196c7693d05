import { ion } from "../../ions/ion-table.js";

/** How an ion or a peak is called on a page: "chloride", "unknown 1", "system 2". */
export function peakName(key: string): string {
  return key.replace(/^(unknown|system)-(\d+)$/, "$1 $2");
}

/** The printed formula of an ion, "SO₄²⁻"; undefined for anything the ion table does not hold. */
export function ionFormula(name: string): string | undefined {
  try {
    return ion(name).formulaText;
  } catch {
    return undefined;
  }
}
