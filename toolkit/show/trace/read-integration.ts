import type { FoundPeak } from "../../peaks/detection/find-peaks.js";
import type { Chromatogram } from "../../signal/chromatogram.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { ionColor } from "../color/ion-colors.js";
import { peakName } from "../text/ion-names.js";
import { measuredText } from "../text/measured-text.js";
import { fixed, quantity, significant } from "../text/numbers.js";
import type { DrawnPeak, DrawnTrace } from "./drawn-trace.js";
import { scatter, signalAxis } from "./read-record.js";
import { indexAt } from "./trace-paths.js";

/** A peak of an integration with what was done to it and why. */
export interface ShownIntegratedPeak extends FoundPeak {
  /** An ion, where one was assigned. */
  readonly name?: string;
  readonly area: MeasuredValue;
  readonly rule: string;
  /** Why this rule, one sentence. */
  readonly because: string;
  readonly alternatives: readonly {
    readonly rule: string;
    readonly area: number;
    readonly difference: number;
  }[];
  readonly quantifiable: boolean;
  readonly refusal?: { readonly reason: string; readonly advice: string; readonly estimatedError: number };
  /** Height above the baseline from index `first` of the record on. */
  readonly component: { readonly first: number; readonly values: Float64Array };
}

/** A dip, listed as such; times in min, depth in the signal's unit. */
export interface ShownDip {
  readonly retentionTime: number;
  readonly depth: number;
  readonly start: number;
  readonly end: number;
  readonly signalToNoise: number;
}

/** An integration with everything that its picture is made of. */
export interface ShownIntegration {
  readonly kind: "integration";
  readonly chromatogram: Chromatogram;
  readonly baseline: { readonly values: Float64Array };
  readonly noise: { readonly rms: number };
  readonly peaks: readonly ShownIntegratedPeak[];
  readonly dips: readonly ShownDip[];
  /** Record less baseline, fitted peaks and the backgrounds of riders, over the whole record. */
  readonly residuals: Float64Array;
  toString(): string;
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

function drawnDip({ retentionTime, depth, start, end, signalToNoise }: ShownDip): DrawnPeak {
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
