import type { FigureTrend } from "../batch/figure-trend.js";
import type {
  Batch,
  EvaluatedTrace,
  Explanation,
  IonCalibration,
  Results,
  SampleBalance,
  SpikeConfirmation,
  UnknownPeaks,
  UnknownRegister,
} from "../batch/types.js";
import type { AdditionStudy } from "../calibration/addition/addition-study.js";
import type { CalibrationChoice } from "../calibration/choice/choose-calibration.js";
import type { LinearRange } from "../calibration/range/linear-range.js";
import type { Calibration } from "../calibration/response/types.js";
import type { Bracketing } from "../calibration/sequence/bracketing.js";
import type { InternalStandardStudy } from "../calibration/sequence/internal-standard.js";
import type { ResponseDrift } from "../calibration/sequence/response-drift.js";
import type { JudgedTest } from "../calibration/tests-of-fit/judged-test.js";
import type { SlopeCheck } from "../calibration/theory/slope-check.js";
import type { Decision } from "../compare/decision.js";
import type { Difference } from "../compare/difference.js";
import type { Series } from "../compare/series.js";
import type { SeriesComparison } from "../compare/series-comparison.js";
import { registerView } from "../display.js";
import type { Ion } from "../ions/ion-table.js";
import type { BlankWatch } from "../limits/blank-watch-types.js";
import type { CalibrationLimits } from "../limits/calibration-limits.js";
import type { CountingLimits } from "../limits/counting-limits.js";
import type { CurrieLimits } from "../limits/currie-limits.js";
import type { LimitLadder } from "../limits/ladder-types.js";
import type { LimitsInForce } from "../limits/limits-in-force.js";
import type { MethodDetectionLimit } from "../limits/method-detection-limit.js";
import type { MinimumReportingLevel } from "../limits/minimum-reporting-level.js";
import type { PowerCurve } from "../limits/power-curve.js";
import type { DetectionLimitVerification } from "../limits/verify-detection-limit.js";
import type { PeakFigures } from "../peaks/figures/peak-figures.js";
import type { PeakCountChoice } from "../peaks/fitting/choose-peak-count.js";
import type { JointFit } from "../peaks/fitting/fit-injections.js";
import type { FittedPeaks } from "../peaks/fitting/fit-peaks.js";
import type { Integration } from "../peaks/integration/integrate-chromatogram.js";
import type { MajorProfile } from "../peaks/riders/major-profile.js";
import type { ChargeFromStrengths } from "../separation/charge-from-strengths.js";
import type { RetentionFit } from "../separation/fit-retention.js";
import type { HoldUpTime } from "../separation/hold-up-time.js";
import type { Separation } from "../separation/separation.js";
import type { Autocovariance } from "../signal/autocovariance.js";
import type { Baseline } from "../signal/baseline.js";
import type { Chromatogram } from "../signal/chromatogram.js";
import type { Noise } from "../signal/noise.js";
import type { PharmacopoeialNoise } from "../signal/pharmacopoeial-noise.js";
import type { BlankSubtraction } from "../signal/subtract-blank.js";
import type { StandardsPreparation } from "../standards/types.js";
import type { MeasuredValue } from "../uncertainty/measured.js";
import type { MonteCarloResult } from "../uncertainty/monte-carlo.js";
import type { SecondOrderResult } from "../uncertainty/second-order.js";
import type { CarbonateSystem } from "../water/alkalinity/carbonate-system.js";
import type { GranAlkalinity } from "../water/alkalinity/gran-alkalinity.js";
import type { ChargeBalance } from "../water/balance/charge-balance.js";
import type { ConductivityComparison } from "../water/conductivity/compare-conductivity.js";
import type { BatchDiagnosis } from "../water/diagnosis/diagnose-batch.js";
import type { BalanceDiagnosis } from "../water/diagnosis/diagnosis-types.js";
import type { BalanceBars } from "../water/diagrams/balance-bars.js";
import type { BalanceSeries } from "../water/diagrams/balance-series.js";
import type { PiperDiagram } from "../water/diagrams/piper-diagram.js";
import type { SchoellerDiagram } from "../water/diagrams/schoeller-diagram.js";
import type { StiffDiagram } from "../water/diagrams/stiff-diagram.js";
import type { PublishedWaters } from "../water/published/published-waters.js";
import type { WaterFigures } from "../water/ratios/water-figures.js";
import type { UnknownEquivalents } from "../water/unknowns/unknown-equivalents.js";

/**
 * Makes our pictures the way results show themselves in a notebook. Costs nothing until something is shown: every view
 * loads what draws it, and vega with it, on first use.
 */
export function registerAllViews(): void {
  registerView<Results>("results", async (value) =>
    (await import("./view/results-view.js")).resultsView(value),
  );
  registerView<Batch>("batch", async (value) => (await import("./view/batch-view.js")).batchView(value));
  registerView<EvaluatedTrace>("trace", async (value) =>
    (await import("./view/trace-view.js")).traceView(value),
  );
  registerView<Chromatogram>("chromatogram", async (value) =>
    (await import("./view/trace-view.js")).chromatogramView(value),
  );
  registerView<Integration>("integration", async (value) =>
    (await import("./view/integration-view.js")).integrationView(value),
  );
  registerView<Baseline>("baseline", async (value) =>
    (await import("./view/baseline-view.js")).baselineView(value),
  );
  registerView<BlankSubtraction>("blank-subtraction", async (value) =>
    (await import("./view/blank-subtraction-view.js")).blankSubtractionView(value),
  );
  registerView<Noise>("noise", async (value) => (await import("./view/noise-view.js")).noiseView(value));
  registerView<Autocovariance>("autocovariance", async (value) =>
    (await import("./view/autocovariance-view.js")).autocovarianceView(value),
  );
  registerView<PharmacopoeialNoise>("pharmacopoeial-noise", async (value) =>
    (await import("./view/pharmacopoeial-noise-view.js")).pharmacopoeialNoiseView(value),
  );
  registerView<FittedPeaks>("fitted-peaks", async (value) =>
    (await import("./view/fitted-peaks-view.js")).fittedPeaksView(value),
  );
  registerView<PeakCountChoice>("peak-count", async (value) =>
    (await import("./view/peak-count-view.js")).peakCountView(value),
  );
  registerView<PeakFigures>("peak-figures", async (value) =>
    (await import("./view/peak-figures-view.js")).peakFiguresView(value),
  );
  registerView<JointFit>("joint-fit", async (value) =>
    (await import("./view/joint-fit-view.js")).jointFitView(value),
  );
  registerView<IonCalibration>("ion-calibration", async (value) =>
    (await import("./view/calibration-view.js")).ionCalibrationView(value),
  );
  registerView<Calibration>("calibration", async (value) =>
    (await import("./view/curve-view.js")).curveView(value),
  );
  registerView<CalibrationChoice>("calibration-choice", async (value) =>
    (await import("./view/calibration-choice-view.js")).calibrationChoiceView(value),
  );
  registerView<JudgedTest>("judged-test", async (value) =>
    (await import("./view/calibration-choice-view.js")).judgedTestView(value),
  );
  registerView<SampleBalance>("sample-balance", async (value) =>
    (await import("./view/balance-view.js")).sampleBalanceView(value),
  );
  registerView<ChargeBalance>("charge-balance", async (value) =>
    (await import("./view/balance-view.js")).chargeBalanceView(value),
  );
  registerView<GranAlkalinity>("gran-alkalinity", async (value) =>
    (await import("./view/alkalinity-view.js")).granAlkalinityView(value),
  );
  registerView<CarbonateSystem>("carbonate-system", async (value) =>
    (await import("./view/alkalinity-view.js")).carbonateSystemView(value),
  );
  registerView<ConductivityComparison>("conductivity-comparison", async (value) =>
    (await import("./view/conductivity-view.js")).conductivityView(value),
  );
  registerView<BalanceDiagnosis>("balance-diagnosis", async (value) =>
    (await import("./view/diagnosis-view.js")).balanceDiagnosisView(value),
  );
  registerView<BatchDiagnosis>("batch-diagnosis", async (value) =>
    (await import("./view/diagnosis-view.js")).batchDiagnosisView(value),
  );
  registerView<PublishedWaters>("published-waters", async (value) =>
    (await import("./view/published-waters-view.js")).publishedWatersView(value),
  );
  registerView<WaterFigures>("water-figures", async (value) =>
    (await import("./view/water-figures-view.js")).waterFiguresView(value),
  );
  registerView<Explanation>("explanation", async (value) =>
    (await import("./view/explanation-view.js")).explanationView(value),
  );
  registerView<UnknownRegister>("unknown-register", async (value) =>
    (await import("./view/unknown-register-view.js")).unknownRegisterView(value),
  );
  registerView<SpikeConfirmation>("spike-confirmation", async (value) =>
    (await import("./view/unknown-register-view.js")).spikeConfirmationView(value),
  );
  registerView<ChargeFromStrengths>("charge-from-strengths", async (value) =>
    (await import("./view/unknown-register-view.js")).chargeFromStrengthsView(value),
  );
  registerView<UnknownPeaks>("unknowns", async (value) =>
    (await import("./view/unknowns-view.js")).unknownsView(value),
  );
  registerView<AdditionStudy>("standard-addition", async (value) =>
    (await import("./view/addition-view.js")).additionView(value),
  );
  registerView<InternalStandardStudy>("internal-standard", async (value) =>
    (await import("./view/sequence-views.js")).internalStandardView(value),
  );
  registerView<Bracketing>("bracketing", async (value) =>
    (await import("./view/sequence-views.js")).bracketingView(value),
  );
  registerView<ResponseDrift>("response-drift", async (value) =>
    (await import("./view/sequence-views.js")).driftView(value),
  );
  registerView<StandardsPreparation>("standards-preparation", async (value) =>
    (await import("./view/preparation-view.js")).preparationView(value),
  );
  registerView<Series>("series", async (value) => (await import("./view/series-view.js")).seriesView(value));
  registerView<SeriesComparison>("series-comparison", async (value) =>
    (await import("./view/comparison-view.js")).comparisonView(value),
  );
  registerView<MeasuredValue>("measured-value", async (value) =>
    (await import("./view/measured-value-view.js")).measuredValueView(value),
  );
  registerView<FigureTrend>("figure-trend", async (value) =>
    (await import("./view/trend-view.js")).trendView(value),
  );
  registerView<SlopeCheck>("slope-check", async (value) =>
    (await import("./view/slope-check-view.js")).slopeCheckView(value),
  );
  registerView<LinearRange>("linear-range", async (value) =>
    (await import("./view/linear-range-view.js")).linearRangeView(value),
  );
  registerView<RetentionFit>("retention-fit", async (value) =>
    (await import("./view/retention-fit-view.js")).retentionFitView(value),
  );
  registerView<Separation>("separation", async (value) =>
    (await import("./view/separation-view.js")).separationView(value),
  );
  registerView<HoldUpTime>("hold-up-time", async (value) =>
    (await import("./view/hold-up-time-view.js")).holdUpTimeView(value),
  );
  registerView<MajorProfile>("major-profile", async (value) =>
    (await import("./view/major-profile-view.js")).majorProfileView(value),
  );
  registerView<Decision>("decision", async (value) =>
    (await import("./view/decision-view.js")).decisionView(value),
  );
  registerView<Difference>("difference", async (value) =>
    (await import("./view/difference-view.js")).differenceView(value),
  );
  registerView<MonteCarloResult>("monte-carlo", async (value) =>
    (await import("./view/monte-carlo-view.js")).monteCarloView(value),
  );
  registerView<SecondOrderResult>("second-order", async (value) =>
    (await import("./view/monte-carlo-view.js")).secondOrderView(value),
  );
  registerView<UnknownEquivalents>("unknown-equivalents", async (value) =>
    (await import("./view/unknown-equivalents-view.js")).unknownEquivalentsView(value),
  );
  registerView<PiperDiagram>("piper-diagram", async (value) =>
    (await import("./view/piper-view.js")).piperView(value),
  );
  registerView<StiffDiagram>("stiff-diagram", async (value) =>
    (await import("./view/stiff-view.js")).stiffView(value),
  );
  registerView<SchoellerDiagram>("schoeller-diagram", async (value) =>
    (await import("./view/schoeller-view.js")).schoellerView(value),
  );
  registerView<BalanceBars>("balance-bars", async (value) =>
    (await import("./view/balance-diagrams-view.js")).balanceBarsView(value),
  );
  registerView<BalanceSeries>("balance-series", async (value) =>
    (await import("./view/balance-diagrams-view.js")).balanceSeriesView(value),
  );
  registerView<Ion>("ion", async (value) => (await import("./view/ion-view.js")).ionView(value));
  registerLimitViews();
}

function registerLimitViews(): void {
  registerView<CountingLimits>("counting-limits", async (value) =>
    (await import("./view/limits-view.js")).countingLimitsView(value),
  );
  registerView<LimitLadder>("limit-ladder", async (value) =>
    (await import("./view/limit-ladder-view.js")).limitLadderView(value),
  );
  registerView<BlankWatch>("blank-watch", async (value) =>
    (await import("./view/blank-watch-view.js")).blankWatchView(value),
  );
  registerView<DetectionLimitVerification>("detection-limit-verification", async (value) =>
    (await import("./view/detection-limit-verification-view.js")).detectionLimitVerificationView(value),
  );
  registerView<PowerCurve>("power-curve", async (value) =>
    (await import("./view/power-curve-view.js")).powerCurveView(value),
  );
  registerView<LimitsInForce>("limits-in-force", async (value) =>
    (await import("./view/limits-view.js")).limitsInForceView(value),
  );
  registerView<CalibrationLimits>("calibration-limits", async (value) =>
    (await import("./view/limits-view.js")).calibrationLimitsView(value),
  );
  registerView<CurrieLimits>("currie-limits", async (value) =>
    (await import("./view/limits-view.js")).currieLimitsView(value),
  );
  registerView<MethodDetectionLimit>("method-detection-limit", async (value) =>
    (await import("./view/limits-view.js")).methodDetectionLimitView(value),
  );
  registerView<MinimumReportingLevel>("minimum-reporting-level", async (value) =>
    (await import("./view/limits-view.js")).minimumReportingLevelView(value),
  );
}
