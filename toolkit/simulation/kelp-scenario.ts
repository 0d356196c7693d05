import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import type { ColumnSolute } from "./instrument.js";
import { kelpSamples } from "./kelp-samples.js";
import { kelpWorksheet } from "./kelp-worksheet.js";
import {
  ANION_INSTRUMENT,
  ANION_SOLUTES,
  CATION_INSTRUMENT,
  CATION_SOLUTES,
} from "./road-salt-instruments.js";
import type { Scenario, ScenarioChannel } from "./scenario.js";
import { sevenLevelSolutions } from "./standard-solutions.js";
import { type CalibratedIon, stocksOfTwoMakers } from "./standard-stocks.js";

/** What can be changed in the story. */
export interface KelpOptions {
  /** Organic acids that no standard contains, as many times what the kelp of the story holds. @default 1 */
  readonly organicAnions?: number;
  /** Charge on dissolved polymers, which leave no column as a peak, as many times that of the story; 0 is none. @default 1 */
  readonly polyanions?: number;
}

const MOST = 3;

/** Models and ranges an analyst would choose for this instrument. */
const ANIONS: readonly CalibratedIon[] = [
  { ion: "fluoride", window: 0.2, model: "quadratic", weighting: "1/x^2", top: 1 },
  { ion: "chloride", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 100 },
  { ion: "nitrite", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 2 },
  { ion: "bromide", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 10 },
  { ion: "nitrate", window: 0.25, model: "linear", weighting: "1/x^2", top: 20 },
  { ion: "sulfate", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 80 },
  { ion: "phosphate", window: 0.3, model: "quadratic", weighting: "1/x^2", top: 20 },
];

const CATIONS: readonly CalibratedIon[] = [
  { ion: "sodium", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 60 },
  { ion: "ammonium", window: 0.25, model: "weak", weighting: "1/x^2", top: 2 },
  { ion: "potassium", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 100 },
  { ion: "magnesium", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 20 },
  { ion: "calcium", window: 0.25, model: "quadratic", weighting: "1/x^2", top: 20 },
  { ion: "strontium", window: 0.25, model: "linear", weighting: "1/x^2", top: 2 },
];

/** The organic acids of the kelp; two of them leave the column together. Invented, as all numbers of a column. */
const ORGANIC_SOLUTES: readonly ColumnSolute[] = [
  solute("acetate", 1.12, 0.95, 6500),
  solute("lactate", 1.135, 0.95, 6500),
  solute("oxalate", 3.78, 1.95, 6000),
];

function solute(ion: string, a: number, b: number, plates: number): ColumnSolute {
  return { ion, a, b, plates, tailing: 0.3, overload: 12, temperatureSlope: -0.0007 };
}

/** Added to the extract, mg/L: about what it held before, or twice that; not the giants. */
const ANION_SPIKE = { fluoride: 1, nitrite: 2, bromide: 10, nitrate: 10, sulfate: 120, phosphate: 30 };
const CATION_SPIKE = { ammonium: 3, magnesium: 30, calcium: 20, strontium: 1 };

const REMARK =
  "All data of this batch are invented: a simulated laboratory tries its two channels on water extracts of kelp from a pier, rinsed, dried at 60 °C and ground. Extracts of 1 g in 100 mL, centrifuged and filtered.";

/**
 * The story of the third demo batch, invented: *can the two channels of a water laboratory be used on extracts of kelp?* One
 * powder, extracted for three times and three times over, at up to three dilutions beside giants of sodium, potassium and
 * chloride; organic acids that no standard contains, and polymers whose charge no column shows.
 *
 * @throws IonbookError "bad-amount" for amounts outside 0 to 3, "unknown-option"
 */
export function kelpScenario(options: KelpOptions = {}): Scenario {
  requireKnownOptions(options, { organicAnions: true, polyanions: true }, "kelpScenario");
  const { organicAnions = 1, polyanions = 1 } = options;
  for (const [name, amount] of Object.entries({ organicAnions, polyanions })) {
    if (typeof amount === "number" && amount >= 0 && amount <= MOST) continue;
    throw new IonbookError(
      "bad-amount",
      `${name} ${String(amount)} is not a multiple that fits the story of the kelp: choose 0 to ${MOST}, 1 is the story as told`,
    );
  }
  return {
    kind: "scenario",
    name: "kelp extracts",
    remark: REMARK,
    samples: kelpSamples(organicAnions, polyanions),
    channels: [anionChannel(), cationChannel()],
    variation: { site: 0.03, visit: 0.012 },
    answer: { "organic anions, times": organicAnions, "charge on polymers, times": polyanions },
  };
}

/** Half of the readings of the first story are enough here, and make half of the files. */
const SAMPLING_RATE = 2.5;

function anionChannel(): ScenarioChannel {
  return {
    folder: "anions",
    title: "Kelp from a pier, water extracts: anions (invented)",
    instrument: { ...ANION_INSTRUMENT, samplingRate: SAMPLING_RATE },
    solutes: [...ANION_SOLUTES, ...ORGANIC_SOLUTES],
    method: method(ANIONS),
    notMeasured: ["hydrogencarbonate", "iodide"],
    signalUnit: "µS/cm",
    startedAt: "2026-06-15T08:00:00",
    cycle: 26,
    stocks: stocksOfTwoMakers(ANIONS),
    solutions: sevenLevelSolutions(ANIONS, ANION_SPIKE),
    worksheet: kelpWorksheet(),
    relativeUDilution: 0.003,
    contamination: { chloride: { mean: 0.01, deviation: 0.004 }, sulfate: { mean: 0.006, deviation: 0.003 } },
  };
}

function cationChannel(): ScenarioChannel {
  return {
    folder: "cations",
    title: "Kelp from a pier, water extracts: cations (invented)",
    instrument: { ...CATION_INSTRUMENT, samplingRate: SAMPLING_RATE },
    solutes: CATION_SOLUTES,
    method: method(CATIONS),
    notMeasured: [],
    signalUnit: "nS/cm",
    startedAt: "2026-06-15T08:10:00",
    cycle: 26,
    stocks: stocksOfTwoMakers(CATIONS),
    solutions: sevenLevelSolutions(CATIONS, CATION_SPIKE),
    worksheet: kelpWorksheet(),
    relativeUDilution: 0.003,
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
