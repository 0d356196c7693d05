import { AFTER_HIGHEST, BLANK, calibrationSeries, closing } from "./day-order.js";
import { bottleName } from "./glasshouse-samples.js";
import type { ScenarioInjection, ScenarioSolution } from "./scenario.js";
import {
  type Amounts,
  shareOfTops,
  solutionOf,
  U_DILUTE_SOLUTION,
  U_SOLUTION,
} from "./standard-solutions.js";
import type { CalibratedIon } from "./standard-stocks.js";

/** Eleven levels over three and a half decades, as shares of the highest: wide on purpose, to find both ends. */
const LEVELS = [0.4, 1, 2.5, 5, 10, 25, 50, 100, 250, 500, 1000].map((share) => share / 1000);
const SERIES = 3;
const LOW_SPIKES = 8;

/** Levels, checks from the same stocks, the second source, the low spike and what is added to the spiked drain, mg/L. */
export function glasshouseSolutions(
  ions: readonly CalibratedIon[],
  { low, spike }: { readonly low: Amounts; readonly spike: Amounts },
): readonly ScenarioSolution[] {
  const mixture = (share: number) => shareOfTops(ions, share);
  return [
    ...LEVELS.map((share, i) =>
      solutionOf(`L${i + 1}`, mixture(share), "A", i < 3 ? U_DILUTE_SOLUTION : U_SOLUTION),
    ),
    solutionOf("second source", mixture(0.06), "B", U_SOLUTION),
    solutionOf("check low", mixture(0.02), "A", U_SOLUTION),
    solutionOf("check mid", mixture(0.08), "A", U_SOLUTION),
    solutionOf("low spike", low, "A", U_DILUTE_SOLUTION),
    solutionOf("spike", spike, "B", U_SOLUTION),
  ];
}

/**
 * The order of the days: three series of the levels, rising, with a blank after each; low spikes and blanks in turn;
 * the second source; drains in blocks closed by a check and a blank.
 */
export function glasshouseWorksheet(): readonly ScenarioInjection[] {
  return [
    BLANK,
    ...Array.from({ length: SERIES }, () => [...CALIBRATION, AFTER_HIGHEST]).flat(),
    ...Array.from({ length: LOW_SPIKES }, () => [LOW_SPIKE, BLANK]).flat(),
    { kind: "second source", solution: "second source" },
    ...closing("check mid"),
    drain("feed", 20),
    drain("gutter 1", 10),
    drain("gutter 2", 10),
    { ...drain("gutter 2", 2), remark: "for ammonium" },
    drain("gutter 3", 10),
    { kind: "duplicate", solution: bottleName("gutter 3"), parent: bottleName("gutter 3"), dilution: 10 },
    ...closing("check low"),
    ...[0, 1, 2].map((visit) => drain("drain tank", 10, visit)),
    {
      kind: "matrix spike",
      solution: "spike",
      parent: bottleName("drain tank"),
      dilution: 10,
      spikedShare: 0.004,
      remark: "0.2 mL added to 50 mL",
    },
    ...closing("check mid"),
  ];
}

const LOW_SPIKE: ScenarioInjection = { kind: "fortified blank", solution: "low spike" };
const CALIBRATION = calibrationSeries(LEVELS);

function drain(site: string, dilution: number, visit = 0): ScenarioInjection {
  return { kind: "sample", solution: bottleName(site, visit), dilution };
}
