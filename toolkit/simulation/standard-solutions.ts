import type { ScenarioSolution } from "./scenario.js";
import { type CalibratedIon, plain, stockName } from "./standard-stocks.js";

/** Concentrations by ion, mg/L. */
export type Amounts = Readonly<Record<string, number>>;

/** Standard uncertainties, relative: a solution made with good glassware, and one that is very dilute. */
export const U_SOLUTION = 0.0035;
export const U_DILUTE_SOLUTION = 0.005;

/** A solution of these ions, each from its stock of one maker. */
export function solutionOf(
  solution: string,
  amounts: Amounts,
  maker: "A" | "B",
  relativeU: number,
): ScenarioSolution {
  const ions = Object.entries(amounts).map(([ion, concentration]) => ({
    ion,
    concentration,
    stock: stockName(ion, maker),
  }));
  return { solution, ions, relativeU };
}

/** All ions of a method at the same share of their highest levels. */
export function shareOfTops(ions: readonly CalibratedIon[], share: number): Amounts {
  return Object.fromEntries(ions.map(({ ion, top }) => [ion, plain(top * share)]));
}

/** Seven levels, each about 2.4 times the one below, as shares of the highest. */
export const SEVEN_LEVELS: readonly number[] = [1, 2.5, 6, 15, 35, 85, 200].map((share) => share / 200);

/** Seven calibration levels, two checks from the same stocks, the second source, and what is added to a spiked sample. */
export function sevenLevelSolutions(
  ions: readonly CalibratedIon[],
  spike: Amounts,
): readonly ScenarioSolution[] {
  const mixture = (solution: string, share: number, maker: "A" | "B" = "A", relativeU = U_SOLUTION) =>
    solutionOf(solution, shareOfTops(ions, share), maker, relativeU);
  return [
    ...SEVEN_LEVELS.map((share, i) =>
      mixture(`L${i + 1}`, share, "A", i < 2 ? U_DILUTE_SOLUTION : U_SOLUTION),
    ),
    mixture("second source", 0.2, "B"),
    mixture("check mid", 0.1),
    mixture("check high", 0.5),
    solutionOf("spike", spike, "B", U_DILUTE_SOLUTION),
  ];
}
