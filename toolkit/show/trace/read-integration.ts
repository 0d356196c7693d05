import type { FoundDip } from "../../peaks/detection/find-dips.js";
import type { Integration } from "../../peaks/integration/integrate-chromatogram.js";
import type { IntegratedPeak } from "../../peaks/integration/integrated-peak.js";
import { indexAt } from "../../signal/time-axis.js";
import { ionColor } from "../color/ion-colors.js";
import { peakName } from "../text/ion-names.js";
import { measuredText } from "../text/measured-text.js";
import { fixed, quantity, significant } from "../text/numbers.js";
import type { DrawnPeak, DrawnTrace } from "./drawn-trace.js";
import { scatter, signalAxis } from "./read-record.js";

/** A peak of an integration as far as its picture and its words need it; `name` where an ion was assigned. */
export type ShownIntegratedPeak = Omit<IntegratedPeak, "sigma" | "tau" | "shoulders"> & {
  readonly name?: string;
};

/** An integration as far as its picture and its words need it. */
export interface ShownIntegration
  extends Pick<Integration, "kind" | "chromatogram" | "dips" | "residuals" | "toString"> {
  readonly baseline: Pick<Integration["baseline"], "values">;
  readonly noise: Pick<Integration["noise"], "rms">;
  readonly peaks: readonly ShownIntegratedPeak[];
}

/** Rules whose area is that of a fitted curve; the others sum the signal itself. */
export const FITTED = /^(joint fit|rider )/;

/** A peak taller than this many noise standard deviations hides the level of traces. */
const HIDES_TRACES = 400;
/** Height of the trace level where no small peak sets it, in noise standard deviations. */
const TRACE_LEVEL = 40;

/** An integrated record as the drawing sees it: names, unknowns and dips, fits filled, refused peaks open. */
export function readIntegration(integration: ShownIntegration): DrawnTrace {
  const { chromatogram, baseline, peaks, dips } = integration;
  const { time, signal, signalUnit } = chromatogram;
  const noise = integration.noise.rms > 0 ? integration.noise.rms : scatter(signal);
  const axis = signalAxis(signalUnit);
  const fits = peaks.filter(({ rule }) => FITTED.test(rule));
  const tallest = Math.max(0, ...peaks.map(({ height }) => height));
  return {
    axis,
    time,
    signal,
    baseline: baseline.values,
    noise,
    peaks: [...peaks.map(drawnPeak), ...dips.map(drawnDip)],
    components: fits.map((peak) => ({
      color: colorOf(peak),
      first: peak.component.first,
      values: peak.component.values,
      refused: !peak.quantifiable,
    })),
    sum: fits.length > 0,
    strip: { title: `residual${axis.slice(axis.indexOf(" /"))}`, values: residualOf(integration) },
    ...(tallest > HIDES_TRACES * noise ? { traceLevel: { span: TRACE_LEVEL * noise } } : {}),
  };
}

/** What fits leave over; not-a-number under summed peaks, which have no model that could leave anything. */
function residualOf({ chromatogram, peaks, residuals }: ShownIntegration): Float64Array {
  const rest = residuals.slice();
  for (const { rule, start, end } of peaks) {
    if (FITTED.test(rule)) continue;
    rest.fill(Number.NaN, indexAt(chromatogram.time, start), indexAt(chromatogram.time, end) + 1);
  }
  return rest;
}

/** The name of a peak, or the time at which it stands. */
export function integratedName({ name, retentionTime }: ShownIntegratedPeak): string {
  return name === undefined ? quantity(fixed(retentionTime, 2), "min") : peakName(name);
}

/** Ions in their colour; what has no name is grey. */
export function colorOf({ name }: ShownIntegratedPeak): string {
  return name === undefined ? "unknown" : ionColor(name);
}

function drawnPeak(peak: ShownIntegratedPeak): DrawnPeak {
  const { retentionTime, start, end, height, area, signalToNoise, rule, quantifiable } = peak;
  const name = integratedName(peak);
  const about = [
    name,
    `area ${measuredText(area)}`,
    `signal to noise ${significant(signalToNoise, 2)}`,
    rule,
  ];
  return {
    label: quantifiable ? name : `${name} (not quantified)`,
    color: colorOf(peak),
    named: peak.name !== undefined,
    system: false,
    time: retentionTime,
    start,
    end,
    height,
    about: (quantifiable ? about : [...about, `not quantified: ${peak.refusal?.reason ?? "refused"}`]).join(
      " · ",
    ),
    fitted: FITTED.test(rule),
    refused: !quantifiable,
  };
}

function drawnDip({ retentionTime, depth, start, end, signalToNoise }: FoundDip): DrawnPeak {
  return {
    label: "dip",
    color: "system",
    named: false,
    system: true,
    time: retentionTime,
    start,
    end,
    height: -depth,
    about: `dip · signal to noise ${significant(signalToNoise, 2)}`,
    fitted: false,
  };
}
