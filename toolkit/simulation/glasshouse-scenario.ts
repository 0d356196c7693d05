import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { glasshouseSamples } from "./glasshouse-samples.js";
import { glasshouseSolutions, glasshouseWorksheet } from "./glasshouse-worksheet.js";
import {
  ANION_INSTRUMENT,
  ANION_SOLUTES,
  CATION_INSTRUMENT,
  CATION_SOLUTES,
} from "./road-salt-instruments.js";
import type { Scenario, ScenarioChannel } from "./scenario.js";
import { type CalibratedIon, stocksOfTwoMakers } from "./standard-stocks.js";

/** What can be changed in the story. */
export interface GlasshouseOptions {
  /** Conductivity at which the detectors show 1/√2 of what is there, µS/cm; they bend earlier with less. @default 4000 */
  readonly detectorBend?: number;
}

const LEAST_BEND = 300;

const ANIONS: readonly CalibratedIon[] = [
  { ion: "chloride", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 250 },
  { ion: "nitrate", window: 0.35, model: "quadratic", weighting: "1/x^2", top: 250 },
  { ion: "sulfate", window: 0.3, model: "quadratic", weighting: "1/x^2", top: 250 },
  { ion: "phosphate", window: 0.3, model: "quadratic", weighting: "1/x^2", top: 50 },
];

const CATIONS: readonly CalibratedIon[] = [
  { ion: "sodium", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 100 },
  { ion: "ammonium", window: 0.25, model: "weak", weighting: "1/x^2", top: 20 },
  { ion: "potassium", window: 0.3, model: "quadratic", weighting: "1/x^2", top: 100 },
  { ion: "magnesium", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 50 },
  { ion: "calcium", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 150 },
];

const REMARK =
  "All data of this batch are invented: a simulated laboratory validates ammonium and chloride for the drain water of a glasshouse. Drains filtered on the spot and kept at 4 °C in the dark.";

/**
 * The story of the second demo batch, invented: *over which range may ammonium and chloride in the drain of a glasshouse be
 * reported?* Eleven levels in three series, low spikes and blanks, a second source, and drains, on both channels.
 *
 * @throws IonbookError "bad-bend" for a bend below 300 µS/cm, "unknown-option"
 */
export function glasshouseScenario(options: GlasshouseOptions = {}): Scenario {
  requireKnownOptions(options, { detectorBend: true }, "glasshouseScenario");
  const { detectorBend = 4000 } = options;
  if (!(detectorBend >= LEAST_BEND)) {
    throw new IonbookError(
      "bad-bend",
      `A detector that bends at ${detectorBend} µS/cm shows no level of this story straight: choose ${LEAST_BEND} µS/cm or more`,
    );
  }
  return {
    kind: "scenario",
    name: "glasshouse drain",
    remark: REMARK,
    samples: glasshouseSamples(),
    channels: [anionChannel(detectorBend), cationChannel(detectorBend)],
    variation: { site: 0.04, visit: 0.015 },
    answer: { "detector bend, µS/cm": detectorBend },
  };
}

/** Half of the readings of the first story are enough here, and make half of the files. */
const SAMPLING_RATE = 2.5;

function anionChannel(detectorBend: number): ScenarioChannel {
  return {
    folder: "anions",
    title: "Glasshouse drain, validation: anions (invented)",
    instrument: { ...ANION_INSTRUMENT, samplingRate: SAMPLING_RATE, detectorBend },
    solutes: ANION_SOLUTES,
    method: method(ANIONS),
    notMeasured: ["hydrogencarbonate"],
    signalUnit: "µS/cm",
    startedAt: "2026-05-18T08:00:00",
    cycle: 26,
    stocks: stocksOfTwoMakers(ANIONS),
    solutions: glasshouseSolutions(ANIONS, {
      low: { chloride: 0.06, nitrate: 0.06, sulfate: 0.06, phosphate: 0.05 },
      spike: { chloride: 60, nitrate: 300, sulfate: 150, phosphate: 40 },
    }),
    worksheet: glasshouseWorksheet(),
    relativeUDilution: 0.004,
    contamination: {
      chloride: { mean: 0.008, deviation: 0.003 },
      sulfate: { mean: 0.005, deviation: 0.002 },
    },
  };
}

function cationChannel(detectorBend: number): ScenarioChannel {
  return {
    folder: "cations",
    title: "Glasshouse drain, validation: cations (invented)",
    instrument: { ...CATION_INSTRUMENT, samplingRate: SAMPLING_RATE, detectorBend },
    solutes: CATION_SOLUTES,
    method: method(CATIONS),
    notMeasured: [],
    signalUnit: "nS/cm",
    startedAt: "2026-05-18T08:10:00",
    cycle: 26,
    stocks: stocksOfTwoMakers(CATIONS),
    solutions: glasshouseSolutions(CATIONS, {
      low: { sodium: 0.05, ammonium: 0.02, potassium: 0.05, magnesium: 0.03, calcium: 0.06 },
      spike: { sodium: 40, ammonium: 2, potassium: 120, magnesium: 30, calcium: 100 },
    }),
    worksheet: glasshouseWorksheet(),
    relativeUDilution: 0.004,
    contamination: {
      sodium: { mean: 0.006, deviation: 0.003 },
      ammonium: { mean: 0.003, deviation: 0.0012 },
      calcium: { mean: 0.006, deviation: 0.003 },
    },
  };
}

function method(ions: readonly CalibratedIon[]): ScenarioChannel["method"] {
  return ions.map(({ ion, window, model, weighting }) => ({ ion, window, model, weighting }));
}
