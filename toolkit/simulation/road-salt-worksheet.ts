import { AFTER_HIGHEST, BLANK, calibrationSeries, closing } from "./day-order.js";
import { sampleName, visitDays } from "./road-salt-samples.js";
import type { ScenarioInjection } from "./scenario.js";
import { SEVEN_LEVELS } from "./standard-solutions.js";

/** Dilutions of a channel: of the wells and the spring, and the two of the salty ditch. */
export interface Dilutions {
  readonly groundwater: number;
  readonly ditch: readonly [weak: number, strong: number];
}

/**
 * The day's order: blank, levels twice with a blank after the highest, second source, then blocks of at most twelve
 * injections closed by a check and a blank; dilute samples before concentrated ones.
 */
export function roadSaltWorksheet(
  visits: number,
  { groundwater, ditch }: Dilutions,
): readonly ScenarioInjection[] {
  const [winter] = visitDays("before", 1);
  const [thaw] = visitDays("after", 1);
  return [
    BLANK,
    ...CALIBRATION,
    AFTER_HIGHEST,
    ...CALIBRATION,
    AFTER_HIGHEST,
    { kind: "second source", solution: "second source" },
    ...closing("check mid"),
    sample("rain", thaw, 1),
    spiked("rain", thaw),
    ...roundOfVisits(visitDays("before", visits), winter, groundwater),
    duplicate("well 1", winter, groundwater),
    ...closing("check high"),
    ...roundOfVisits(visitDays("after", visits), thaw, groundwater),
    duplicate("well 3", thaw, groundwater),
    ...closing("check mid"),
    sample("roadside soil", thaw, 1),
    sample("ditch", thaw, ditch[1]),
    { ...sample("ditch", thaw, ditch[0]), remark: "for the minor ions" },
    ...closing("check high"),
  ];
}

const CALIBRATION = calibrationSeries(SEVEN_LEVELS);

function sample(site: string, day: string, dilution: number): ScenarioInjection {
  return { kind: "sample", solution: sampleName(site, day), dilution };
}

function duplicate(site: string, day: string, dilution: number): ScenarioInjection {
  const name = sampleName(site, day);
  return { kind: "duplicate", solution: name, parent: name, dilution };
}

function spiked(site: string, day: string): ScenarioInjection {
  return {
    kind: "matrix spike",
    solution: "spike",
    parent: sampleName(site, day),
    spikedShare: 0.002,
    remark: "0.1 mL added to 50 mL",
  };
}

/** Spring and wells of one period: the spring and well 3 on all its days, the others on the middle one. */
function roundOfVisits(
  days: readonly string[],
  middle: string,
  dilution: number,
): readonly ScenarioInjection[] {
  return [
    ...days.map((day) => sample("spring", day, dilution)),
    sample("well 4", middle, dilution),
    sample("well 1", middle, dilution),
    ...days.map((day) => sample("well 3", day, dilution)),
    sample("well 2", middle, dilution),
  ];
}
