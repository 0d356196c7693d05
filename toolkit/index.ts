import { registerAllViews } from "./show/register-views.js";

registerAllViews();

export type { IonLimitOptions, LimitOptions } from "./batch/quantify/limit-options.js";
export type { CalibrationChange } from "./batch/quantify/method-changes.js";
export { type AcceptanceLimits, DEFAULT_ACCEPTANCE } from "./batch/quantify/quality-checks.js";
export { type QuantifyOptions, quantify } from "./batch/quantify/quantify.js";
export { readChromatogram } from "./batch/reading/chromatogram.js";
export { openBatch } from "./batch/reading/open-batch.js";
export type { ReadOptions } from "./batch/reading/read-options.js";
export { requireCalibration } from "./batch/reading/require-calibration.js";
export type { SampleWater } from "./batch/sample-water.js";
export type * from "./batch/types.js";
export { followUnknowns } from "./batch/unknowns/follow-unknowns.js";
export type { PeakBeforeOrAfter, SpikeRequest } from "./batch/unknowns/spike-confirmation.js";
export { spikeConfirmation } from "./batch/unknowns/spike-confirmation.js";
export { peakFrame, resultFrame } from "./batch/writing/frame.js";
export { resultTables } from "./batch/writing/result-tables.js";
export { writeFolderAtomically } from "./batch/writing/write-folder.js";
export type * from "./calibration/addition/addition-study.js";
export { studyStandardAddition } from "./calibration/addition/addition-study.js";
export type { StandardAddition, StandardAdditionOptions } from "./calibration/addition/standard-addition.js";
export { standardAddition } from "./calibration/addition/standard-addition.js";
export type * from "./calibration/choice/choose-calibration.js";
export { chooseCalibration } from "./calibration/choice/choose-calibration.js";
export { calibrate } from "./calibration/curve/calibrate.js";
export type * from "./calibration/curve/errors-in-both.js";
export { lineWithErrorsInBoth } from "./calibration/curve/errors-in-both.js";
export type * from "./calibration/curve/fieller.js";
export { fiellerInterval } from "./calibration/curve/fieller.js";
export type * from "./calibration/curve/fit-tests.js";
export { fitTests } from "./calibration/curve/fit-tests.js";
export type * from "./calibration/range/linear-range.js";
export { validateLinearRange } from "./calibration/range/linear-range.js";
export type * from "./calibration/response/types.js";
export type * from "./calibration/sequence/between-standards.js";
export { betweenStandards } from "./calibration/sequence/between-standards.js";
export type * from "./calibration/sequence/bracketing.js";
export { bracketSamples } from "./calibration/sequence/bracketing.js";
export type * from "./calibration/sequence/internal-standard.js";
export { internalStandard } from "./calibration/sequence/internal-standard.js";
export type * from "./calibration/sequence/response-drift.js";
export { responseDrift } from "./calibration/sequence/response-drift.js";
export type { AnalysisOfVariance } from "./calibration/tests-of-fit/analysis-of-variance.js";
export { analysisOfVariance } from "./calibration/tests-of-fit/analysis-of-variance.js";
export { dixonCritical } from "./calibration/tests-of-fit/dixon-distribution.js";
export type { JudgedTest } from "./calibration/tests-of-fit/judged-test.js";
export type * from "./calibration/tests-of-fit/outlier-tests.js";
export { dixonTest, grubbsCritical, grubbsTest } from "./calibration/tests-of-fit/outlier-tests.js";
export type * from "./calibration/tests-of-fit/variance-homogeneity.js";
export { cochranCritical, cochranTest } from "./calibration/tests-of-fit/variance-homogeneity.js";
export type * from "./calibration/tests-of-fit/variance-tests.js";
export { leveneTest, varianceRatioTest } from "./calibration/tests-of-fit/variance-tests.js";
export type * from "./calibration/theory/slope-check.js";
export { slopeAgainstTheory } from "./calibration/theory/slope-check.js";
export { type Slip, slipsOf } from "./calibration/theory/slope-slips.js";
export { compareSeries } from "./compare/compare-series.js";
export type {
  ComparisonOptions,
  OnePlaceOptions,
  TwoPlaceOptions,
} from "./compare/comparison-options.js";
export type * from "./compare/decision.js";
export { decide } from "./compare/decision.js";
export type * from "./compare/difference.js";
export { compareResults } from "./compare/difference.js";
export type { EquivalenceTest } from "./compare/equivalence.js";
export { holmAdjusted } from "./compare/holm.js";
export type { OneVisit } from "./compare/mean-contrast.js";
export type { PermutationTest } from "./compare/permutation.js";
export { makeSeries, type Series, type SeriesParts, type Visit } from "./compare/series.js";
export type {
  ComparedPlace,
  PlaceLevel,
  SeriesComparison,
  SeriesDesign,
  SeriesVerdict,
} from "./compare/series-comparison.js";
export type { Period, VisitDay } from "./compare/visit-days.js";
export { DISPLAY, type DisplayBundle } from "./display.js";
export { type ErrorPlace, IonbookError, isIonbookError } from "./errors.js";
export type * from "./ions/acid-systems.js";
export { acidSystem, acidSystemNames } from "./ions/acid-systems.js";
export { limitingDiffusionCoefficient } from "./ions/diffusion.js";
export type * from "./ions/formula.js";
export { molarMassOf, parseFormula } from "./ions/formula.js";
export { allIons, type Ion, ion } from "./ions/ion-table.js";
export { convert, isUnit, type Unit } from "./ions/units.js";
export type * from "./limits/blank-watch-types.js";
export type * from "./limits/calibration-limits.js";
export { calibrationLimits } from "./limits/calibration-limits.js";
export type * from "./limits/counting-limits.js";
export { countingLimits } from "./limits/counting-limits.js";
export type * from "./limits/currie-limits.js";
export { currieLimits } from "./limits/currie-limits.js";
export type * from "./limits/ladder-types.js";
export { LIMIT_DEFINITIONS, limitLadder } from "./limits/limit-ladder.js";
export type * from "./limits/limits-in-force.js";
export { limitsInForce } from "./limits/limits-in-force.js";
export type * from "./limits/method-detection-limit.js";
export { methodDetectionLimit } from "./limits/method-detection-limit.js";
export type * from "./limits/minimum-reporting-level.js";
export { minimumReportingLevel } from "./limits/minimum-reporting-level.js";
export { detectionNoncentrality } from "./limits/noncentrality.js";
export type * from "./limits/power-curve.js";
export { powerCurve } from "./limits/power-curve.js";
export type * from "./limits/reported-result.js";
export { reportedResult, roundedUp } from "./limits/reported-result.js";
export type * from "./limits/sample-limits.js";
export { sampleLimits } from "./limits/sample-limits.js";
export { pooledStandardDeviation, type SpreadFactors, spreadFactors } from "./limits/spread.js";
export type * from "./limits/sum-with-bounds.js";
export { ratioWithBounds, sumWithBounds } from "./limits/sum-with-bounds.js";
export type * from "./limits/verify-detection-limit.js";
export { verifyDetectionLimit } from "./limits/verify-detection-limit.js";
export { watchBlanks } from "./limits/watch-blanks.js";
export { type Recorded, type RecordOptions, record } from "./notebook/record.js";
export { studentCdf, studentQuantile } from "./numeric/distributions.js";
export type * from "./numeric/fit-curve.js";
export { fitCurve } from "./numeric/fit-curve.js";
export type * from "./numeric/fit-polynomial.js";
export { fitPolynomial } from "./numeric/fit-polynomial.js";
export { childSeed, createRandom, type Random } from "./numeric/random.js";
export { mean, standardDeviation } from "./numeric/summary.js";
export type * from "./peaks/detection/find-dips.js";
export { findDips } from "./peaks/detection/find-dips.js";
export { type FindPeaksOptions, type FoundPeak, findPeaks } from "./peaks/detection/find-peaks.js";
export type * from "./peaks/figures/figure-definitions.js";
export { figureDefinitions } from "./peaks/figures/figure-definitions.js";
export type * from "./peaks/figures/figure-replicas.js";
export { figureUncertainties } from "./peaks/figures/figure-replicas.js";
export {
  type PeakFigures,
  type PeakFiguresOptions,
  peakFigures,
  peakResolution,
  type ResolvablePeak,
} from "./peaks/figures/peak-figures.js";
export type * from "./peaks/figures/peak-pairs.js";
export {
  effectiveOverlaps,
  peakToValley,
  requiredResolution,
  resolutions,
} from "./peaks/figures/peak-pairs.js";
export type * from "./peaks/fitting/choose-peak-count.js";
export { choosePeakCount } from "./peaks/fitting/choose-peak-count.js";
export type { FitDiagnostics } from "./peaks/fitting/fit-diagnostics.js";
export type * from "./peaks/fitting/fit-injections.js";
export { fitInjections } from "./peaks/fitting/fit-injections.js";
export {
  type FitPeaksOptions,
  type FittedPeaks,
  fitPeaks,
  type PeakOfFit,
} from "./peaks/fitting/fit-peaks.js";
export type { FitStart } from "./peaks/fitting/fit-starts.js";
export type { UnseenTail } from "./peaks/fitting/unseen-tails.js";
export { areaBetween } from "./peaks/integration/area-between.js";
export type * from "./peaks/integration/integrate-chromatogram.js";
export { integrateChromatogram } from "./peaks/integration/integrate-chromatogram.js";
export { learnPeakShapes } from "./peaks/integration/learn-peak-shapes.js";
export type * from "./peaks/riders/major-profile.js";
export { majorProfile } from "./peaks/riders/major-profile.js";
export type { PeakMoments, PeakShape, PeakTrace } from "./peaks/shape/peak-shape.js";
export type { FittedShapeName, PeakShapeName } from "./peaks/shape/shape-kernels.js";
export type { AtStrength, ChargeFromStrengths, TwoStrengths } from "./separation/charge-from-strengths.js";
export { chargeFromStrengths } from "./separation/charge-from-strengths.js";
export type * from "./separation/eluent-program.js";
export { eluentConcentration, eluentSegments } from "./separation/eluent-program.js";
export { ELUTION_ORDERS, type ElutionOrder } from "./separation/elution-order.js";
export type * from "./separation/fit-retention.js";
export { fitRetention } from "./separation/fit-retention.js";
export type * from "./separation/hold-up-time.js";
export { holdUpTime, retentionFactorWith } from "./separation/hold-up-time.js";
export type * from "./separation/peak-capacity.js";
export {
  peakCapacityGradient,
  peakCapacityIsocratic,
  peakCapacitySegments,
} from "./separation/peak-capacity.js";
export type * from "./separation/peak-width.js";
export { predictPeak } from "./separation/peak-width.js";
export type * from "./separation/retention.js";
export { crossingConcentration, predictRetention, retentionFactor } from "./separation/retention.js";
export type * from "./separation/separation.js";
export { predictSeparation } from "./separation/separation.js";
export { preparationPage } from "./show/page/preparation-page.js";
export { reportPage } from "./show/page/report-page.js";
export { type Prose, type ProsePart, prose } from "./show/writing/prose.js";
export { shown } from "./show/writing/shown.js";
export { type Table, type TableCell, table } from "./show/writing/table.js";
export type * from "./signal/autocovariance.js";
export { noiseAutocovariance } from "./signal/autocovariance.js";
export {
  type Baseline,
  type BaselineMethod,
  type BaselineOptions,
  endOfVoid,
  estimateBaseline,
  type Stiffness,
} from "./signal/baseline.js";
export type { Chromatogram } from "./signal/chromatogram.js";
export { type ChromatogramParts, makeChromatogram } from "./signal/make-chromatogram.js";
export { estimateNoise, type Noise, type NoiseWindows } from "./signal/noise.js";
export type * from "./signal/pharmacopoeial-noise.js";
export { pharmacopoeialNoise } from "./signal/pharmacopoeial-noise.js";
export type * from "./signal/savitzky-golay.js";
export { smoothSavitzkyGolay } from "./signal/savitzky-golay.js";
export type * from "./signal/subtract-blank.js";
export { subtractBlank } from "./signal/subtract-blank.js";
export { weightedNoise } from "./signal/weighted-noise.js";
export { glasshouseScenario } from "./simulation/glasshouse-scenario.js";
export { kelpScenario } from "./simulation/kelp-scenario.js";
export { roadSaltScenario } from "./simulation/road-salt-scenario.js";
export type { Scenario } from "./simulation/scenario.js";
export type * from "./simulation/simulate-batch.js";
export { simulateBatch } from "./simulation/simulate-batch.js";
export { writeBatch } from "./simulation/write-batch.js";
export type { AcidMatrix } from "./standards/acid-matrix.js";
export { type AirConditions, airDensity } from "./standards/air-density.js";
export {
  type LaboratoryBalance,
  type LaboratoryBalanceOptions,
  laboratoryBalance,
  type StatedQuantity,
} from "./standards/balance.js";
export type { PreparedSolution } from "./standards/dilution.js";
export type * from "./standards/glassware.js";
export { pipette, pistonPipette, volumetricFlask } from "./standards/glassware.js";
export type { PlanOptions, StandardsWish } from "./standards/plan-standards.js";
export { planStandards } from "./standards/plan-standards.js";
export type { PreparationOptions, StandardsRecipe } from "./standards/prepare-standards.js";
export { prepareStandards } from "./standards/prepare-standards.js";
export { allSalts, type OwnSalt, type Salt, salt } from "./standards/salts.js";
export {
  type OwnSolubility,
  type Saturation,
  SPARINGLY_SOLUBLE,
  type SparinglySoluble,
} from "./standards/solubility.js";
export type { Aliquot, Solution, WeighedAliquot, WeighedSolution } from "./standards/solution.js";
export type { CertifiedContent, CertifiedStock, Stock } from "./standards/stock.js";
export type { PlannedStandard, StandardsCovariance, StandardsPreparation } from "./standards/types.js";
export type { WeighedStock } from "./standards/weighed-stock.js";
export { buoyancyFactor } from "./standards/weighing.js";
export * from "./uncertainty/measured.js";
export { alkalinityByDifference } from "./water/alkalinity/alkalinity-by-difference.js";
export {
  type CarbonateRequest,
  type CarbonateSystem,
  carbonateSystem,
} from "./water/alkalinity/carbonate-system.js";
export type * from "./water/alkalinity/gran-alkalinity.js";
export { granAlkalinity } from "./water/alkalinity/gran-alkalinity.js";
export { ionicStrength } from "./water/analysis/ionic-strength.js";
export type { Concentrations, WaterOptions } from "./water/analysis/water-input.js";
export type * from "./water/balance/balance-coverage.js";
export { COVERAGE_RULES } from "./water/balance/balance-coverage.js";
export type * from "./water/balance/balance-criteria.js";
export { BALANCE_CRITERIA } from "./water/balance/balance-criteria.js";
export {
  type BalanceOptions,
  type BalancePart,
  type ChargeBalance,
  chargeBalance,
} from "./water/balance/charge-balance.js";
export type { BalanceConvention, ConventionLetter } from "./water/balance/conventions.js";
export type { BoundedCharge, DifferenceWithUnknowns, UnknownCharge } from "./water/balance/unknown-charge.js";
export { hydrogenOverCarbonicAcid } from "./water/conductivity/carbonic-acid.js";
export {
  type ComputedForm,
  type ConductivityComparison,
  type ConductivityComparisonOptions,
  compareConductivity,
} from "./water/conductivity/compare-conductivity.js";
export { type ConductivityOptions, computedConductivity } from "./water/conductivity/conductivity.js";
export {
  CONDUCTIVITY_CRITERIA,
  type ConductivityCriterion,
  type ConductivityCriterionResult,
  type ConductivityMeasure,
} from "./water/conductivity/conductivity-criteria.js";
export {
  type ConductingForm,
  type ConductivityForm,
  conductivityModel,
} from "./water/conductivity/conductivity-model.js";
export { effectiveMolarConductivity, weakAcidFactor } from "./water/conductivity/effective-conductivity.js";
export { ION_PAIRS, type IonPair } from "./water/conductivity/ion-pairs.js";
export type { SuppressedSignal } from "./water/conductivity/suppressed-signal.js";
export { carbonicAcidOfBackground, suppressedSignal } from "./water/conductivity/suppressed-signal.js";
export {
  conductivityAt25,
  conductivityAtTemperature,
  TEMPERATURE_RULES,
  type TemperatureRule,
  type TemperatureRuleChoice,
} from "./water/conductivity/temperature.js";
export { BASE_RATES } from "./water/diagnosis/base-rates.js";
export { diagnoseBalance } from "./water/diagnosis/diagnose-balance.js";
export type { BatchDiagnosis, BatchPairing, BatchWater } from "./water/diagnosis/diagnose-batch.js";
export { diagnoseBatch } from "./water/diagnosis/diagnose-batch.js";
export type { BalanceDiagnosis, DiagnosedHypothesis, Standing } from "./water/diagnosis/diagnosis-types.js";
export type { DiagnosedChange, HypothesisFamily } from "./water/diagnosis/hypothesis.js";
export type { WaterType } from "./water/diagnosis/water-types.js";
export { WATER_TYPES } from "./water/diagnosis/water-types.js";
export type { DiagnosisOptions } from "./water/diagnosis/weigh-water.js";
export type * from "./water/diagrams/balance-bars.js";
export { balanceBars } from "./water/diagrams/balance-bars.js";
export type * from "./water/diagrams/balance-series.js";
export { balanceSeries } from "./water/diagrams/balance-series.js";
export type { ChargeGroupOptions } from "./water/diagrams/charge-groups.js";
export type {
  BalanceInputs,
  DrawnBalance,
  DrawnBalanceOptions,
  DrawnPart,
} from "./water/diagrams/drawn-balance.js";
export type * from "./water/diagrams/named-water.js";
export type * from "./water/diagrams/piper-coordinates.js";
export { anionPoint, cationPoint, diamondPoint } from "./water/diagrams/piper-coordinates.js";
export type { PiperDiagram, PiperOptions, PiperPoint } from "./water/diagrams/piper-diagram.js";
export { piperDiagram } from "./water/diagrams/piper-diagram.js";
export type { PiperPlace } from "./water/diagrams/piper-place.js";
export type * from "./water/diagrams/schoeller-diagram.js";
export { schoellerDiagram } from "./water/diagrams/schoeller-diagram.js";
export type { ChargeDiagramOptions } from "./water/diagrams/six-groups.js";
export type * from "./water/diagrams/stiff-diagram.js";
export { stiffDiagram } from "./water/diagrams/stiff-diagram.js";
export type * from "./water/published/published-analyses.js";
export { balancePublishedAnalysis, readPublishedAnalyses } from "./water/published/published-analyses.js";
export type { PublishedWater } from "./water/published/published-row.js";
export { openPublishedWaters, type PublishedWaters } from "./water/published/published-waters.js";
export {
  type WaterAnalysis,
  type WaterAnalysisOptions,
  waterAnalysis,
} from "./water/published/water-analysis.js";
export type { DescribedColumn, Quantity } from "./water/published/water-description.js";
export type { BoundedFigure, Term } from "./water/ratios/bounded.js";
export type { BoundedConcentrations } from "./water/ratios/figure-input.js";
export { FIGURE_RANGES, type FigureRange } from "./water/ratios/figure-ranges.js";
export type { SeaSalt, SeaSaltPart } from "./water/ratios/sea-salt.js";
export { SEA_WATER, type SeaWater } from "./water/ratios/sea-water.js";
export {
  type JudgedRange,
  type WaterFigure,
  type WaterFigureOptions,
  type WaterFigures,
  waterFigures,
} from "./water/ratios/water-figures.js";
export { type ActivityOptions, activityCoefficient } from "./water/speciation/activity.js";
export { type IonActivityOptions, ionActivityCoefficient } from "./water/speciation/ion-activity.js";
export { meanCharge, type SpeciationOptions, speciate } from "./water/speciation/speciation.js";
export type { ReferenceAtArea } from "./water/unknowns/reference-products.js";
export type { UnknownCell, WeakAcidFactor } from "./water/unknowns/unknown-cell.js";
export type { UnknownClass } from "./water/unknowns/unknown-class.js";
export type * from "./water/unknowns/unknown-equivalents.js";
export { isStrongIon, unknownAnionEquivalents } from "./water/unknowns/unknown-equivalents.js";
