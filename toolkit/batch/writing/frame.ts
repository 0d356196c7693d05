import { createRequire } from "node:module";
import type { DataFrame } from "danfojs-node";
import type { PeakResult, Results, SampleResult } from "../types.js";

/** One row of results.csv as a frame holds it: not-a-number and empty text stand for "does not apply". */
export interface ResultRow {
  readonly sample: string;
  readonly ion: string;
  readonly channel: string;
  readonly value: number;
  readonly unit: string;
  /** Standard uncertainty, in `unit`. */
  readonly u: number;
  readonly dof: number;
  /** Ends of the 95 % interval, in `unit`. */
  readonly low95: number;
  readonly high95: number;
  readonly status: string;
  readonly dilution: number;
  readonly injection: string;
  readonly flags: string;
}

/** One row of peaks.csv as a frame holds it; times in min, areas in µS/cm·min, heights in µS/cm. */
export interface PeakRow {
  readonly injection: string;
  readonly ion: string;
  readonly retention_time: number;
  readonly area: number;
  readonly u_area: number;
  readonly height: number;
  readonly width_half: number;
  readonly tailing: number;
  readonly resolution_next: number;
  readonly signal_to_noise: number;
  readonly identity: string;
}

/** The rows of results.csv as plain records. */
export function resultRows(results: Results): readonly ResultRow[] {
  return results.samples.map(resultRow);
}

/** The rows of peaks.csv as plain records. */
export function peakRows(results: Results): readonly PeakRow[] {
  return results.peaks.map(peakRow);
}

/**
 * The results as a danfojs frame, one row for each sample and ion, for anything we did not think of. danfojs is loaded
 * on the first call.
 */
export function resultFrame(results: Results): DataFrame {
  return frameOf(resultRows(results));
}

/** All peaks, named or not, as a danfojs frame. */
export function peakFrame(results: Results): DataFrame {
  return frameOf(peakRows(results));
}

// danfojs is CommonJS: required on the first call, it keeps `frame()` free of an await and the package light.
const require = createRequire(import.meta.url);

function frameOf(rows: readonly object[]): DataFrame {
  const danfo = require("danfojs-node") as typeof import("danfojs-node");
  return new danfo.DataFrame([...rows]);
}

function resultRow(result: SampleResult): ResultRow {
  const interval = result.value?.interval();
  return {
    sample: result.sample,
    ion: result.ion,
    channel: result.channel,
    value: result.value?.value ?? Number.NaN,
    unit: result.unit,
    u: result.value?.u ?? Number.NaN,
    dof: result.value?.dof ?? Number.NaN,
    low95: interval?.low ?? Number.NaN,
    high95: interval?.high ?? Number.NaN,
    status: result.status,
    dilution: result.dilution ?? Number.NaN,
    injection: result.injection ?? "",
    flags: result.flags.join(";"),
  };
}

function peakRow(peak: PeakResult): PeakRow {
  return {
    injection: peak.injection,
    ion: peak.ion,
    retention_time: peak.retentionTime,
    area: peak.area.value,
    u_area: peak.area.u,
    height: peak.height,
    width_half: peak.widthHalf ?? Number.NaN,
    tailing: peak.tailing ?? Number.NaN,
    resolution_next: peak.resolutionNext ?? Number.NaN,
    signal_to_noise: peak.signalToNoise,
    identity: peak.identity,
  };
}
