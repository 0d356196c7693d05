import { DISPLAY, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { median, robustStandardDeviation } from "../../numeric/robust.js";
import { type FigureName, figureDefinitions } from "../../peaks/figures/figure-definitions.js";
import type { FigureTrend, TrendFigure, TrendPoint } from "../figure-trend.js";
import { figuresOfPeak } from "../quantify/figures-of-peak.js";
import type { EvaluatedTrace, PeakResult, Results } from "../types.js";
import { findIon } from "./find-ion.js";
import { nameKey, quotedList, requireName, suggestion } from "./find-name.js";

/** Figures that no definition of peaks holds. */
const PLAIN: Readonly<Record<string, { name: string; unit: string; formula: string; standard: string }>> = {
  retentionTime: { name: "retention time", unit: "min", formula: "t of the apex", standard: "IUPAC 1993" },
  area: { name: "area", unit: "µS/cm·min", formula: "∫ signal dt", standard: "IUPAC 1993" },
  height: { name: "height", unit: "µS/cm", formula: "signal at the apex", standard: "IUPAC 1993" },
};
const FIGURES: readonly TrendFigure[] = [
  "retentionTime",
  "area",
  "height",
  "widthAtHalfHeight",
  "widthAtTenthHeight",
  "baseWidth",
  "plateNumber",
  "plateNumberTangent",
  "plateNumberFiveSigma",
  "plateNumberFoleyDorsey",
  "asymmetry",
  "tailing",
  "resolution",
  "signalToNoiseRms",
];
/** Below this the samples alone do not tell a width (common practice, no source: measure the fit instead). */
const LEAST_SNR = 50;
const FEWEST = 5;
const LIMIT = 3;

/**
 * A figure of an ion's peaks over the batch, with median and warning limits by the robust spread: what drifts, and which
 * injection is unlike the others.
 *
 * Widths, plates and shape are measured on the record less its baseline, or on the fitted component of a peak that was
 * fitted, by the same functions as `peakFigures`; plates are apparent where the eluent is a gradient, so follow the width
 * at half height there.
 *
 * @throws IonbookError "not-a-name", "unknown-figure", "unknown-ion", "not-measured"
 * @source definitions as `figureDefinitions`; spread 1.4826·MAD: F. R. Hampel, J. Am. Statist. Assoc. 69 (1974) 383
 */
export function trendOf(results: Results, figureWanted: string, ionWanted: string): FigureTrend {
  const figure = findFigure(figureWanted);
  const ion = findIon(results, ionWanted);
  const about = aboutFigure(figure);
  const channel = results.samples.find((row) => row.ion === ion)?.channel ?? "anion";
  const traces = [...results.traces.values()].filter((trace) => trace.channel === channel);
  const read = traces.flatMap((trace, i) => pointsOf(trace, i + 1, ion, figure));
  const values = read.flatMap(({ value }) => value ?? []);
  const middle = values.length > 0 ? median(values) : undefined;
  const spread = values.length >= FEWEST ? robustStandardDeviation(values) : undefined;
  const warning =
    middle === undefined || spread === undefined
      ? undefined
      : { low: middle - LIMIT * spread, high: middle + LIMIT * spread };
  const trend: FigureTrend = {
    kind: "figure-trend",
    ion,
    channel,
    figure,
    ...about,
    points: read.map((point) => ({
      ...point,
      warned:
        point.value !== undefined &&
        warning !== undefined &&
        (point.value < warning.low || point.value > warning.high),
    })),
    median: middle,
    spread,
    warning,
    perRun: medianSlope(read),
    toString: () => describe(trend),
    [DISPLAY]: () => displayOf(trend),
  };
  return trend;
}

function aboutFigure(figure: TrendFigure): { name: string; unit: string; formula: string; standard: string } {
  const { name, unit, formula, standard } = PLAIN[figure] ?? figureDefinitions[figure as FigureName];
  return { name, unit, formula, standard };
}

function findFigure(wanted: string): TrendFigure {
  requireName(wanted, "A figure", '"plates, Foley–Dorsey" or "asymmetry at 10 %"');
  const names = FIGURES.map((figure) => aboutFigure(figure).name);
  const key = nameKey(wanted);
  const exact = FIGURES.findIndex((figure, i) => nameKey(figure) === key || nameKey(names[i]) === key);
  if (exact >= 0) return FIGURES[exact];
  const begun = FIGURES.filter((_, i) => nameKey(names[i]).startsWith(key));
  if (begun.length === 1) return begun[0];
  throw new IonbookError(
    "unknown-figure",
    begun.length > 1
      ? `"${wanted}" can mean ${quotedList(
          begun.map((figure) => aboutFigure(figure).name),
          "or",
        )}: write one of them`
      : `No figure is called "${wanted}". ${suggestion(wanted, names, "Followed can be")}`,
  );
}

type ReadPoint = Omit<TrendPoint, "warned">;

function pointsOf(
  trace: EvaluatedTrace,
  run: number,
  ion: string,
  figure: TrendFigure,
): readonly ReadPoint[] {
  const at = trace.peaks.findIndex((peak) => peak.ion === ion);
  if (at < 0) return [];
  const { id, injectedAt, kind, solution } = trace.injection;
  const { value, reason } = figureValue(trace, trace.peaks[at], figure);
  return [{ run, injection: id, injectedAt, kind, solution, value, reason }];
}

interface Value {
  readonly value: number | undefined;
  readonly reason: string | undefined;
}

function figureValue(trace: EvaluatedTrace, peak: PeakResult, figure: TrendFigure): Value {
  const shown = (value: number | undefined, reason = "not shown by the record"): Value =>
    value === undefined || !Number.isFinite(value)
      ? { value: undefined, reason }
      : { value, reason: undefined };
  if (figure === "retentionTime") return shown(peak.retentionTime);
  if (figure === "area") return shown(peak.area.value);
  if (figure === "height") return shown(peak.height);
  if (figure === "signalToNoiseRms") return shown(peak.signalToNoise);
  if (figure === "resolution")
    return shown(peak.resolutionNext, "no neighbour behind it, or its width is not shown");
  if (peak.signalToNoise < LEAST_SNR) {
    return shown(undefined, `signal to noise ${peak.signalToNoise.toFixed(0)} is below ${LEAST_SNR}`);
  }
  const figures = figuresOfPeak(trace, peak);
  return figures === undefined ? shown(undefined) : shown(figures[figure], figures.missing[figure]);
}

function medianSlope(points: readonly ReadPoint[]): number | undefined {
  const shown = points.filter((point): point is ReadPoint & { value: number } => point.value !== undefined);
  const slopes = shown.flatMap((a, i) =>
    shown.slice(i + 1).map((b) => (b.value - a.value) / (b.run - a.run)),
  );
  return slopes.length < FEWEST ? undefined : median(slopes);
}

function describe({ name, unit, ion, points, median: middle, spread, warning, perRun }: FigureTrend): string {
  const digits = (x: number) => `${Number(x.toPrecision(4))}${unit === "" ? "" : ` ${unit}`}`;
  const shown = points.filter(({ value }) => value !== undefined).length;
  const title = `${name} of ${ion}: ${shown} of ${points.length} injections`;
  if (middle === undefined) return title;
  const limits =
    warning === undefined || spread === undefined
      ? ""
      : `, spread ${digits(spread)}, warning outside ${digits(warning.low)} to ${digits(warning.high)}`;
  const slope = perRun === undefined ? "" : `, ${perRun >= 0 ? "+" : ""}${digits(perRun)} per run`;
  const warned = points.filter((point) => point.warned).map(({ injection }) => injection);
  const outside = warned.length === 0 ? "" : `; outside: ${warned.join(", ")}`;
  return `${title}, median ${digits(middle)}${limits}${slope}${outside}`;
}
