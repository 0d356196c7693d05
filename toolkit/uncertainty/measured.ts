// The face of this room: what other rooms import.
export { combineLinear, minus, over, plus, times } from "./arithmetic.js";
export { correlation, covariance } from "./covariance.js";
export { coverageFactor, wholeDof } from "./coverage.js";
export { conciseForm, readConciseForm, roundedBy } from "./expression.js";
export { inUnit } from "./in-unit.js";
export {
  type AboutInput,
  exactly,
  fromReadings,
  fromSources,
  type InputUncertainty,
  measured,
  type SourceContribution,
} from "./inputs.js";
export { fromCovariance, fromSimultaneousReadings } from "./joint.js";
export { type MonteCarloOptions, type MonteCarloResult, monteCarlo } from "./monte-carlo.js";
export { type Model, type ModelInputs, propagate } from "./propagate.js";
export { propagateSecondOrder, type SecondOrderResult } from "./second-order.js";
export type { Source, SourceShape } from "./source.js";
export { type TopDownData, type TopDownUncertainty, topDownUncertainty } from "./top-down.js";
export { type BudgetRow, type CoverageInterval, isMeasuredValue, type MeasuredValue } from "./value.js";
