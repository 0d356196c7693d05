import type { Chromatogram } from "../../signal/chromatogram.js";
import { areaBetween } from "./area-between.js";
import type { Integration } from "./integrate-chromatogram.js";
import type { IntegratedPeak } from "./integrated-peak.js";
import type { PublishedPeak } from "./published-peaks.js";

/** A published area, ours, and the way from one to the other in two steps; areas in the signal's unit times s. */
export interface PublishedComparison {
  readonly number: number;
  readonly published: number;
  /** Between the published limits above the published line. */
  readonly sameLimitsSameLine: number;
  /** Between the published limits above our baseline. */
  readonly sameLimitsOwnBaseline: number;
  /** Ours altogether; undefined where we found no peak between the published limits. */
  readonly own: number | undefined;
  readonly ownPeak: IntegratedPeak | undefined;
  /** Published line less our baseline, mean between the published limits, in the signal's unit. */
  readonly lineAboveBaseline: number;
  /** How the difference comes about, one sentence with figures. */
  readonly because: string;
}

const SECONDS = 60;

/**
 * Compares an automatic integration with areas that were published with their limits and straight baselines: what the
 * other baseline makes of the difference, and what the other limits and rule make of it.
 *
 * @param integration of the record that the publisher integrated
 * @throws IonbookError `bad-limits` for limits outside the record
 */
export function comparePublished(
  integration: Integration,
  published: readonly PublishedPeak[],
): readonly PublishedComparison[] {
  const { chromatogram, baseline } = integration;
  const seconds = chromatogram.time.map((time) => SECONDS * time);
  const above = chromatogram.signal.map((value, i) => value - baseline.values[i]);
  return published.map((peak) => {
    const { line } = peak;
    const sameLimitsSameLine = areaBetween(seconds, chromatogram.signal, line);
    const sameLimitsOwnBaseline = areaBetween(seconds, above, { ...line, startValue: 0, endValue: 0 });
    const ownPeak = tallestInside(integration.peaks, line.start, line.end);
    const own = ownPeak === undefined ? undefined : SECONDS * ownPeak.area.value;
    const lineAboveBaseline = (sameLimitsOwnBaseline - sameLimitsSameLine) / (line.end - line.start);
    const figures = { sameLimitsSameLine, sameLimitsOwnBaseline, own, ownPeak, lineAboveBaseline };
    const because = inWords(peak, figures, chromatogram);
    return { number: peak.number, published: peak.area, ...figures, because };
  });
}

function tallestInside(
  peaks: readonly IntegratedPeak[],
  start: number,
  end: number,
): IntegratedPeak | undefined {
  const inside = peaks.filter(({ retentionTime }) => {
    const time = SECONDS * retentionTime;
    return time > start && time < end;
  });
  return inside.sort((a, b) => b.height - a.height)[0];
}

function inWords(
  { area, line }: PublishedPeak,
  figures: Omit<PublishedComparison, "number" | "published" | "because">,
  { signalUnit }: Chromatogram,
): string {
  const { sameLimitsOwnBaseline, own, ownPeak, lineAboveBaseline } = figures;
  const side = lineAboveBaseline >= 0 ? "above" : "below";
  const byBaseline = `the published line runs ${Math.abs(lineAboveBaseline).toPrecision(2)} ${signalUnit} ${side} our baseline on average: ${change(sameLimitsOwnBaseline - figures.sameLimitsSameLine, area)}`;
  if (own === undefined || ownPeak === undefined)
    return `${byBaseline}; no peak of ours lies between the limits`;
  const limits = `${(SECONDS * ownPeak.start).toFixed(0)}–${(SECONDS * ownPeak.end).toFixed(0)} s instead of ${line.start.toFixed(0)}–${line.end.toFixed(0)} s`;
  const how = ownPeak.rule === "summation" ? `limits ${limits}` : `${ownPeak.rule} over ${limits}`;
  return `${byBaseline}; ${how}: ${change(own - sameLimitsOwnBaseline, area)}; together ${change(own - area, area)}`;
}

function change(difference: number, whole: number): string {
  const percent = (100 * difference) / whole;
  return `${percent < 0 ? "−" : "+"}${Math.abs(percent).toFixed(1)} %`;
}
