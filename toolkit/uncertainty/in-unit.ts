import { convert, type Unit } from "../ions/units.js";
import { combineLinear } from "./arithmetic.js";
import type { MeasuredValue } from "./value.js";

/**
 * The same measured value in another unit, its sources kept, so that it stays correlated with what it was computed
 * from: c₂ = f·c₁ and u₂ = f·u₁, f the exact factor between the units for this ion.
 *
 *     inUnit(chloride, "meq/L", "chloride")     23.4 mg/L  →  0.660 meq/L
 *
 * @param of ion whose amount it is: molar mass and charge come from it
 * @throws IonbookError "unknown-unit", "unit-mismatch" and "unknown-ion" as `convert` does
 * @source JCGM 100:2008 (GUM), 5.1.2 with an exact factor
 */
export function inUnit(value: MeasuredValue, to: Unit, of: string): MeasuredValue {
  return combineLinear([{ value, factor: convert(1, value.unit as Unit, to, of) }], to);
}
