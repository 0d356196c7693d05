import type { Random } from "../numeric/random.js";

/** How far the instrument is from its nominal state during one injection. */
export interface RunState {
  /** Relative deviation of the flow. */
  readonly flow: number;
  /** Relative deviation of the eluent's strength. */
  readonly eluent: number;
  /** Deviation of the column's temperature, K. */
  readonly temperature: number;
  /** Capacity left, relative to the first injection. */
  readonly capacity: number;
}

/** Change from one injection to the next, as standard deviation. Invented, in the range of common practice. */
const STEP = { flow: 0.0005, eluent: 0.001, temperature: 0.2 };
/** Flow and temperature are controlled, so they wander about their set point and keep this share of a deviation;
 * the eluent's strength is not, so it walks freely. */
const KEPT = { flow: 0.866, temperature: 0.866 };
const CAPACITY_LOST = 0.0002;

/** The states of `runs` injections in a row, starting from the nominal one. */
export function instrumentDrift(runs: number, random: Random): readonly RunState[] {
  const states: RunState[] = [];
  let [flow, eluent, temperature] = [0, 0, 0];
  for (let run = 0; run < runs; run++) {
    states.push({ flow, eluent, temperature, capacity: (1 - CAPACITY_LOST) ** run });
    flow = KEPT.flow * flow + STEP.flow * random.normal();
    eluent += STEP.eluent * random.normal();
    temperature = KEPT.temperature * temperature + STEP.temperature * random.normal();
  }
  return states;
}
