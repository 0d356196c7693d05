import type { ScenarioMethodIon, ScenarioStock } from "./scenario.js";

/** An ion of the method with its highest calibration level, mg/L. */
export interface CalibratedIon extends ScenarioMethodIon {
  readonly top: number;
}

/** Relative standard uncertainty of a certificate. */
const U_STOCK = 0.002;

/** One certified stock for each ion, and a second one of another maker. */
export function stocksOfTwoMakers(ions: readonly { readonly ion: string }[]): readonly ScenarioStock[] {
  return ["A", "B"].flatMap((maker) =>
    ions.map(({ ion }) => ({ stock: stockName(ion, maker), ion, relativeU: U_STOCK })),
  );
}

export function stockName(ion: string, maker: string): string {
  return `${ion} stock ${maker}`;
}

/** Without the binary dust of a product. */
export function plain(value: number): number {
  return Number(value.toPrecision(10));
}
