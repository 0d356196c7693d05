import type { ScenarioInjection, ScenarioSolution } from "./scenario.js";
import { type CalibratedIon, plain, stockName } from "./standard-stocks.js";

/** Seven levels, each about 2.4 times the one below, as shares of the highest. */
const LEVELS = [1, 2.5, 6, 15, 35, 85, 200].map((share) => share / 200);

/** Standard uncertainties, relative: a solution made with good glassware, and one of the two lowest. */
const U_SOLUTION = 0.0035;
const U_DILUTE_SOLUTION = 0.005;

/** The three dilutions that are tried: for the giants, for what is in between, for what is small. */
const STRONG = 100;
const MIDDLE = 20;
const WEAK = 4;

/** Calibration levels, checks from the same stocks, the second source, and what is added to the spiked extract. */
export function kelpSolutions(
  ions: readonly CalibratedIon[],
  spike: Readonly<Record<string, number>>,
): readonly ScenarioSolution[] {
  const mixture = (
    solution: string,
    share: number,
    maker = "A",
    relativeU = U_SOLUTION,
  ): ScenarioSolution => ({
    solution,
    ions: ions.map(({ ion, top }) => ({
      ion,
      concentration: plain(top * share),
      stock: stockName(ion, maker),
    })),
    relativeU,
  });
  return [
    ...LEVELS.map((share, i) => mixture(`L${i + 1}`, share, "A", i < 2 ? U_DILUTE_SOLUTION : U_SOLUTION)),
    mixture("second source", 0.2, "B"),
    mixture("check mid", 0.1),
    mixture("check high", 0.5),
    {
      solution: "spike",
      ions: Object.entries(spike).map(([ion, concentration]) => ({
        ion,
        concentration,
        stock: stockName(ion, "B"),
      })),
      relativeU: U_DILUTE_SOLUTION,
    },
  ];
}

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

const BLANK: ScenarioInjection = { kind: "blank", solution: "" };
const AFTER_HIGHEST: ScenarioInjection = { ...BLANK, remark: "after the highest standard" };
const CALIBRATION: readonly ScenarioInjection[] = LEVELS.map((_, i) => ({
  kind: "calibration",
  solution: `L${i + 1}`,
}));

function closing(check: string): readonly ScenarioInjection[] {
  return [{ kind: "continuing check", solution: check }, BLANK];
}

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
