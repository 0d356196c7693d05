import type { MeasuredValue } from "../../uncertainty/measured.js";
import { quantity, type RoundedPair, roundedPair } from "./numbers.js";

/** A measured value rounded by its uncertainty, the uncertainty expanded to 95 % coverage. */
export function roundedMeasured(measured: MeasuredValue): RoundedPair {
  return roundedPair(measured.value, expanded(measured));
}

/** Half the width of the 95 % coverage interval, in the unit of the value. */
export function expanded(measured: MeasuredValue): number {
  const { low, high } = measured.interval();
  return (high - low) / 2;
}

/** "12.40 ± 0.31 mg/L", the uncertainty expanded to 95 % coverage; never broken over two lines. */
export function measuredText(measured: MeasuredValue, unit = measured.unit): string {
  const pair = roundedMeasured(measured);
  return quantity(
    pair.uncertainty === "" ? pair.value : `${pair.value}\u00a0±\u00a0${pair.uncertainty}`,
    unit,
  );
}
