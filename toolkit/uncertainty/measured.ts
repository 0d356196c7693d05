// The face of this room: what other rooms import.
export { combineLinear, minus, over, plus, times } from "./arithmetic.js";
export { correlation, covariance } from "./covariance.js";
export { coverageFactor } from "./coverage.js";
export { conciseForm, readConciseForm } from "./expression.js";
export {
  type AboutInput,
  exactly,
  fromReadings,
  fromSources,
  type InputUncertainty,
  measured,
  type SourceContribution,
} from "./inputs.js";
export { type MonteCarloOptions, type MonteCarloResult, monteCarlo } from "./monte-carlo.js";
export { type Model, type ModelInputs, propagate } from "./propagate.js";
export type { Source, SourceShape } from "./source.js";
export { type BudgetRow, type CoverageInterval, isMeasuredValue, type MeasuredValue } from "./value.js";
