import type { ScenarioInjection } from "./scenario.js";

export const BLANK: ScenarioInjection = { kind: "blank", solution: "" };
export const AFTER_HIGHEST: ScenarioInjection = { ...BLANK, remark: "after the highest standard" };

/** The levels L1, L2 … from the lowest up, each once. */
export function calibrationSeries(levels: readonly number[]): readonly ScenarioInjection[] {
  return levels.map((_, i) => ({ kind: "calibration", solution: `L${i + 1}` }));
}

/** What closes a block of samples. */
export function closing(check: string): readonly ScenarioInjection[] {
  return [{ kind: "continuing check", solution: check }, BLANK];
}
