import type {
  Batch,
  EvaluatedTrace,
  Explanation,
  IonCalibration,
  Results,
  SampleBalance,
  UnknownPeaks,
} from "../batch/types.js";
import type { Calibration } from "../calibration/types.js";
import type { Series } from "../compare/series.js";
import type { SeriesComparison } from "../compare/series-comparison.js";
import { registerView } from "../display.js";
import type { PeakFigures } from "../peaks/figures/peak-figures.js";
import type { Chromatogram } from "../signal/chromatogram.js";
import type { Noise } from "../signal/noise.js";
import type { MeasuredValue } from "../uncertainty/measured.js";
import type { ChargeBalance } from "../water/charge-balance.js";
import type { ShownFit } from "./trace/read-fit.js";
import type { ShownIntegration } from "./trace/read-integration.js";
import type { ShownAutocovariance } from "./view/autocovariance-view.js";
import type { ShownBaseline } from "./view/baseline-view.js";
import type { ShownBlankSubtraction } from "./view/blank-subtraction-view.js";
import type { ShownJointFit } from "./view/joint-fit-view.js";
import type { ShownPeakCount } from "./view/peak-count-view.js";
import type { ShownPharmacopoeialNoise } from "./view/pharmacopoeial-noise-view.js";

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
  registerView<ShownIntegration>("integration", async (value) =>
    (await import("./view/integration-view.js")).integrationView(value),
  );
  registerView<ShownBaseline>("baseline", async (value) =>
    (await import("./view/baseline-view.js")).baselineView(value),
  );
  registerView<ShownBlankSubtraction>("blank-subtraction", async (value) =>
    (await import("./view/blank-subtraction-view.js")).blankSubtractionView(value),
  );
  registerView<Noise>("noise", async (value) => (await import("./view/noise-view.js")).noiseView(value));
  registerView<ShownAutocovariance>("autocovariance", async (value) =>
    (await import("./view/autocovariance-view.js")).autocovarianceView(value),
  );
  registerView<ShownPharmacopoeialNoise>("pharmacopoeial-noise", async (value) =>
    (await import("./view/pharmacopoeial-noise-view.js")).pharmacopoeialNoiseView(value),
  );
  registerView<ShownFit>("peak-fit", async (value) =>
    (await import("./view/peak-fit-view.js")).peakFitView(value),
  );
  registerView<ShownPeakCount>("peak-count", async (value) =>
    (await import("./view/peak-count-view.js")).peakCountView(value),
  );
  registerView<PeakFigures>("peak-figures", async (value) =>
    (await import("./view/peak-figures-view.js")).peakFiguresView(value),
  );
  registerView<ShownJointFit>("joint-fit", async (value) =>
    (await import("./view/joint-fit-view.js")).jointFitView(value),
  );
  registerView<IonCalibration>("ion-calibration", async (value) =>
    (await import("./view/calibration-view.js")).ionCalibrationView(value),
  );
  registerView<Calibration>("calibration", async (value) =>
    (await import("./view/calibration-view.js")).curveView(value),
  );
  registerView<SampleBalance>("sample-balance", async (value) =>
    (await import("./view/balance-view.js")).sampleBalanceView(value),
  );
  registerView<ChargeBalance>("charge-balance", async (value) =>
    (await import("./view/balance-view.js")).chargeBalanceView(value),
  );
  registerView<Explanation>("explanation", async (value) =>
    (await import("./view/explanation-view.js")).explanationView(value),
  );
  registerView<UnknownPeaks>("unknowns", async (value) =>
    (await import("./view/unknowns-view.js")).unknownsView(value),
  );
  registerView<Series>("series", async (value) => (await import("./view/series-view.js")).seriesView(value));
  registerView<SeriesComparison>("series-comparison", async (value) =>
    (await import("./view/comparison-view.js")).comparisonView(value),
  );
  registerView<MeasuredValue>("measured-value", async (value) =>
    (await import("./view/measured-value-view.js")).measuredValueView(value),
  );
}
