import type { EvaluatedTrace, PeakResult } from "../../batch/types.js";
import { ionColor } from "../color/ion-colors.js";
import { peakName } from "../text/ion-names.js";
import { measuredText } from "../text/measured-text.js";
import { significant } from "../text/numbers.js";
import type { DrawnPeak, DrawnTrace } from "./drawn-trace.js";
import { FITTED } from "./read-integration.js";

/** An evaluated injection as the drawing sees it; where peaks were fitted, with what their fits leave over. */
export function readTrace(trace: EvaluatedTrace): DrawnTrace {
  // A summed peak is the area between signal and baseline itself; only a fit has a curve of its own.
  const fits = trace.peaks.filter((peak) => FITTED.test(peak.rule));
  const components = trace.components.filter((component) => fits.some((peak) => peak.ion === component.ion));
  const fitted = new Set(components.map((component) => component.ion));
  return {
    axis: "conductivity / (µS/cm)",
    time: trace.time,
    signal: trace.signal,
    baseline: trace.baseline,
    noise: trace.noise,
    peaks: trace.peaks.map((peak) => readPeak(peak, fitted.has(peak.ion))),
    components: components.map((component) => ({
      color: ionColor(component.ion),
      first: component.first,
      values: component.values,
    })),
    ...(components.length > 0 ? { strip: { title: "residual / (µS/cm)" } } : {}),
  };
}

function readPeak(peak: PeakResult, fitted: boolean): DrawnPeak {
  const system = peak.identity === "system";
  const color = system ? "system" : peak.identity === "unknown" ? "unknown" : ionColor(peak.ion);
  const about = [
    peakName(peak.ion),
    `area ${measuredText(peak.area)}`,
    `signal to noise ${significant(peak.signalToNoise, 2)}`,
    peak.rule,
    peak.identity,
  ];
  return {
    label: peakName(peak.ion),
    color,
    named: color !== "system" && color !== "unknown",
    system,
    time: peak.retentionTime,
    start: peak.start,
    end: peak.end,
    height: peak.height,
    about: about.join(" · "),
    fitted,
  };
}
