import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import {
  ANION_INSTRUMENT,
  ANION_SOLUTES,
  CATION_INSTRUMENT,
  CATION_SOLUTES,
} from "./road-salt-instruments.js";
import { roadSaltSamples } from "./road-salt-samples.js";
import { roadSaltWorksheet } from "./road-salt-worksheet.js";
import type { Scenario, ScenarioChannel } from "./scenario.js";
import { sevenLevelSolutions } from "./standard-solutions.js";
import { type CalibratedIon, stocksOfTwoMakers } from "./standard-stocks.js";

/** What can be changed in the story. */
export interface RoadSaltOptions {
  /** Rise of chloride in well 3 after the thaw, mg/L; 0 is no effect, negative a fall. @default 24 */
  readonly chlorideRise?: number;
  /** Visits to well 3 and to the spring in each period, 1 to 3. @default 3 */
  readonly visits?: number;
}

const LARGEST_FALL = -20;
const LARGEST_RISE = 50;

/** Models and ranges an analyst would choose for this instrument: each describes the response within 0.5 %. */
const ANIONS: readonly CalibratedIon[] = [
  { ion: "fluoride", window: 0.2, model: "quadratic", weighting: "1/x^2", top: 1 },
  { ion: "chloride", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 100 },
  { ion: "nitrite", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 2 },
  { ion: "bromide", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 4 },
  { ion: "nitrate", window: 0.25, model: "linear", weighting: "1/x^2", top: 60 },
  { ion: "sulfate", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 80 },
  { ion: "phosphate", window: 0.3, model: "linear", weighting: "1/x^2", top: 5 },
];

const CATIONS: readonly CalibratedIon[] = [
  { ion: "lithium", window: 0.25, model: "linear", weighting: "1/x^2", top: 0.5 },
  { ion: "sodium", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 60 },
  { ion: "ammonium", window: 0.25, model: "weak", weighting: "1/x^2", top: 2 },
  { ion: "potassium", window: 0.25, model: "linear", weighting: "1/x^2", top: 10 },
  { ion: "magnesium", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 20 },
  { ion: "calcium", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 60 },
  { ion: "strontium", window: 0.25, model: "linear", weighting: "1/x^2", top: 4 },
];

/** Added to the rain, mg/L. */
const ANION_SPIKE = {
  fluoride: 0.1,
  chloride: 2,
  nitrite: 0.1,
  bromide: 0.2,
  nitrate: 3,
  sulfate: 3,
  phosphate: 0.25,
};
const CATION_SPIKE = {
  lithium: 0.02,
  sodium: 1.5,
  ammonium: 0.6,
  potassium: 0.3,
  magnesium: 0.4,
  calcium: 1.5,
  strontium: 0.1,
};

const REMARK =
  "All data of this batch are invented: a simulated village asks whether winter road salt reaches its wells. Waters filtered in the field, kept at 4 °C in the dark.";

/**
 * The story of the demo batch, invented: *a village asks whether winter road salt reaches its wells*. Four wells, a
 * spring as reference, a salty melt-water ditch, rain and a soil by the road, before and after the thaw, on both
 * channels; two organic anions that no standard knows in well 2.
 *
 * @throws IonbookError "bad-effect" for a rise outside −20 … 50 mg/L; "bad-visits" for visits other than 1, 2 or 3, "unknown-option"
 */
export function roadSaltScenario(options: RoadSaltOptions = {}): Scenario {
  requireKnownOptions(options, { chlorideRise: true, visits: true }, "roadSaltScenario");
  const { chlorideRise = 24, visits = 3 } = options;
  if (!(chlorideRise >= LARGEST_FALL && chlorideRise <= LARGEST_RISE)) {
    throw new IonbookError(
      "bad-effect",
      `A chloride rise of ${chlorideRise} mg/L does not fit the story: well 3 holds 38 mg/L and the calibration ends at 100. Choose ${LARGEST_FALL} to ${LARGEST_RISE}`,
    );
  }
  if (![1, 2, 3].includes(visits)) {
    throw new IonbookError("bad-visits", `The story has 1, 2 or 3 visits in each period, not ${visits}`);
  }
  return {
    kind: "scenario",
    name: "road salt in wells",
    remark: REMARK,
    samples: roadSaltSamples(chlorideRise, visits),
    channels: [anionChannel(visits), cationChannel(visits)],
    variation: { site: 0.06, visit: 0.015 },
    answer: { "chloride rise in well 3, mg/L": chlorideRise },
  };
}

function anionChannel(visits: number): ScenarioChannel {
  return {
    folder: "anions",
    title: "Village wells, late winter: anions (invented)",
    instrument: ANION_INSTRUMENT,
    solutes: ANION_SOLUTES,
    method: method(ANIONS),
    notMeasured: ["hydrogencarbonate"],
    signalUnit: "µS/cm",
    startedAt: "2026-03-16T08:00:00",
    cycle: 26,
    stocks: stocksOfTwoMakers(ANIONS),
    solutions: sevenLevelSolutions(ANIONS, ANION_SPIKE),
    worksheet: roadSaltWorksheet(visits, { groundwater: 1, ditch: [10, 100] }),
    relativeUDilution: 0.004,
    contamination: { chloride: { mean: 0.01, deviation: 0.004 }, sulfate: { mean: 0.006, deviation: 0.003 } },
  };
}

function cationChannel(visits: number): ScenarioChannel {
  return {
    folder: "cations",
    title: "Village wells, late winter: cations (invented)",
    instrument: CATION_INSTRUMENT,
    solutes: CATION_SOLUTES,
    method: method(CATIONS),
    notMeasured: [],
    signalUnit: "nS/cm",
    startedAt: "2026-03-16T08:10:00",
    cycle: 26,
    stocks: stocksOfTwoMakers(CATIONS),
    solutions: sevenLevelSolutions(CATIONS, CATION_SPIKE),
    worksheet: roadSaltWorksheet(visits, { groundwater: 2, ditch: [10, 100] }),
    relativeUDilution: 0.004,
    contamination: { sodium: { mean: 0.006, deviation: 0.003 }, calcium: { mean: 0.006, deviation: 0.003 } },
  };
}

function method(ions: readonly CalibratedIon[]): ScenarioChannel["method"] {
  return ions.map(({ ion, window, model, weighting }) => ({ ion, window, model, weighting }));
}
