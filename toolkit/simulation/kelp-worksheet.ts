import { AFTER_HIGHEST, BLANK, calibrationSeries, closing } from "./day-order.js";
import type { ScenarioInjection } from "./scenario.js";
import { SEVEN_LEVELS } from "./standard-solutions.js";

/** The three dilutions that are tried: for the giants, for what is in between, for what is small. */
const STRONG = 100;
const MIDDLE = 20;
const WEAK = 4;

/**
 * The day's order: blank, levels twice with a blank after the highest, second source, a blank that went through the whole
 * extraction, then extracts in blocks closed by a check and a blank, the strongly diluted before the others.
 */
export function kelpWorksheet(): readonly ScenarioInjection[] {
  return [
    BLANK,
    ...CALIBRATION,
    AFTER_HIGHEST,
    ...CALIBRATION,
    AFTER_HIGHEST,
    { kind: "second source", solution: "second source" },
    ...closing("check mid"),
    { ...BLANK, remark: "water taken through the whole extraction" },
    ...extract("1 h", [STRONG, MIDDLE]),
    { kind: "duplicate", solution: "1 h", parent: "1 h", dilution: MIDDLE },
    ...extract("1 h", [WEAK]),
    ...extract("10 min", [MIDDLE, WEAK]),
    ...closing("check high"),
    ...extract("1 h portion 2", [MIDDLE, WEAK]),
    ...extract("1 h portion 3", [MIDDLE, WEAK]),
    ...[MIDDLE, WEAK].map(spiked),
    ...closing("check mid"),
    ...extract("24 h", [MIDDLE, WEAK]),
    ...extract("second water", [WEAK]),
    ...extract("third water", [1]),
    ...closing("check high"),
  ];
}

const CALIBRATION = calibrationSeries(SEVEN_LEVELS);

function extract(sample: string, dilutions: readonly number[]): readonly ScenarioInjection[] {
  return dilutions.map((dilution) => ({ kind: "sample", solution: sample, dilution }));
}

function spiked(dilution: number): ScenarioInjection {
  return {
    kind: "matrix spike",
    solution: "spike",
    parent: "1 h",
    dilution,
    spikedShare: 0.01,
    remark: "0.5 mL added to 50 mL of the extract",
  };
}
