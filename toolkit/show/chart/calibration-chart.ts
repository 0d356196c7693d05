import type { IonCalibration } from "../../batch/types.js";
import type { Calibration } from "../../calibration/response/types.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { ionFormula } from "../text/ion-names.js";
import { limitLines, NAME_SIZE, namedLimits, type Place, type PlottedLimit } from "./limit-lines.js";
import { band, intervalBars, texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

/** A standard as the chart shows it. */
export interface PlottedStandard {
  readonly concentration: number;
  readonly response: number;
  /** Expanded uncertainty of the reading; undefined where none is known. */
  readonly expanded: number | undefined;
  readonly relativeErrorPercent: number;
  readonly used: boolean;
  /** Why it was left out; named in the plot. */
  readonly reason?: string;
}

/** What a calibration chart is made of. */
export interface PlottedCalibration {
  readonly curve: Calibration;
  readonly standards: readonly PlottedStandard[];
  readonly limits: readonly PlottedLimit[];
  readonly responseTitle: string;
  /** Inner width, px. */
  readonly width: number;
}

/** The bars and bands of the charts are expanded uncertainties with this factor where no interval is at hand. */
const COVERAGE = 2;

/**
 * Response curve over a logarithmic concentration axis with its 95 % band, standards with bars of ± 2u, rejected
 * ones open, limits as ticks; below it the relative error of every standard beside the same band in percent.
 */
export function calibrationChart(calibration: IonCalibration, width = 238): ChartSpec {
  const standards = calibration.points.map((point) => ({
    concentration: point.concentration,
    response: point.area,
    expanded: COVERAGE * point.uArea,
    relativeErrorPercent: point.relativeErrorPercent,
    used: point.rejected === undefined,
  }));
  const limits = [
    { name: "critical", concentration: calibration.criticalValue },
    { name: "LOD", concentration: calibration.lod },
    { name: "LOQ", concentration: calibration.loq },
  ];
  const responseTitle = "area / (µS/cm·min)";
  return plottedCalibration({ curve: calibration.curve, standards, limits, responseTitle, width });
}

/** The same for a curve that stands alone, without limits in force. */
export function curveChart(curve: Calibration, width = 238): ChartSpec {
  const back = curve.backCalculated();
  const standards = curve.points.map(
    (point, index): PlottedStandard => ({
      concentration: point.concentration,
      response: point.response,
      expanded: undefined,
      relativeErrorPercent: back[index].relativeErrorPercent,
      used: true,
    }),
  );
  const rejected = curve.rejected.map(
    ({ concentration, response, relativeErrorPercent, reason }): PlottedStandard => ({
      concentration,
      response,
      expanded: undefined,
      relativeErrorPercent,
      used: false,
      reason,
    }),
  );
  return plottedCalibration({
    curve,
    standards: [...standards, ...rejected],
    limits: [],
    responseTitle: "response",
    width,
  });
}

function plottedCalibration(plot: PlottedCalibration): ChartSpec {
  const color = COLORS[ionColor(plot.curve.ion ?? "")].fill;
  const visible = plot.standards.filter((each) => each.concentration > 0);
  const values = visible.map((each) => each.concentration);
  const limits = plot.limits.filter((limit) => limit.concentration > 0);
  const low = Math.min(...values, ...limits.map((limit) => limit.concentration)) / 1.5;
  const high = Math.max(...values) * 1.5;
  const curve = bandOf(plot.curve, low, high);
  const formula = plot.curve.ion === undefined ? undefined : ionFormula(plot.curve.ion);
  const title = `${formula ?? "concentration"} / (${plot.curve.unit})`;
  const x = (axis: SpecPart): SpecPart => ({
    field: "x",
    type: "quantitative",
    scale: { type: "log", domain: [low, high], nice: false },
    axis: { values: decades(low, high), format: "~g", ...axis },
  });
  const place: Place = (concentration) => (plot.width * Math.log(concentration / low)) / Math.log(high / low);
  const upper = { x: x({ labels: false, title: null }), width: plot.width, height: 150 };
  const lower = { x: x({ title }), width: plot.width, height: 92 };
  return chartSpec({
    spacing: 14,
    vconcat: [
      {
        width: upper.width,
        height: upper.height,
        layer: curveLayers(plot, visible, limits, curve, color, upper.x, place),
      },
      {
        width: lower.width,
        height: lower.height,
        layer: errorLayers(visible, limits, curve, color, lower.x),
      },
    ],
  });
}

/** Powers of ten inside a logarithmic axis; with 2 and 5 between where there are fewer than two. */
function decades(low: number, high: number): readonly number[] {
  const powers: number[] = [];
  for (let power = Math.floor(Math.log10(low)); power <= Math.log10(high); power += 1) powers.push(power);
  const inside = (value: number): boolean => value >= low && value <= high;
  const tens = powers.map((power) => 10 ** power).filter(inside);
  return tens.length >= 2
    ? tens
    : powers.flatMap((power) => [1, 2, 5].map((lead) => lead * 10 ** power)).filter(inside);
}

interface BandPoint {
  readonly x: number;
  readonly y: number;
  readonly low: number;
  readonly high: number;
  /** Half-width of the 95 % interval of the curve alone, % of the concentration. */
  readonly percent: number;
}

/** The curve and the 95 % interval of the curve alone, at concentrations spread evenly over the logarithmic axis. */
function bandOf(curve: Calibration, low: number, high: number): readonly BandPoint[] {
  const count = 60;
  const points: BandPoint[] = [];
  const [from, to] = [Math.max(low, 1e-300), Math.min(high, curve.range[1] * 1.25)];
  for (let index = 0; index <= count; index += 1) {
    const x = from * (to / from) ** (index / count);
    const y = curve.respond(x);
    const interval = curve.concentration(y, { u: 0, beyondRange: "allow" }).interval();
    const half = (interval.high - interval.low) / 2;
    points.push({
      x,
      y,
      low: curve.respond(x - half),
      high: curve.respond(x + half),
      percent: (100 * half) / x,
    });
  }
  return points;
}

function curveLayers(
  plot: PlottedCalibration,
  visible: readonly PlottedStandard[],
  limits: readonly PlottedLimit[],
  curve: readonly BandPoint[],
  color: string,
  x: SpecPart,
  place: Place,
): readonly SpecPart[] {
  const positive = visible.filter((each) => each.response > 0);
  const responses = [...positive.map((each) => each.response), ...curve.map((each) => each.y)].filter(
    (y) => y > 0,
  );
  const floor = Math.min(...responses) / 1.6;
  const top = Math.max(...responses) * 1.6;
  const axis = { values: decades(floor, top), format: "~g", title: plot.responseTitle };
  const y = {
    field: "y",
    type: "quantitative",
    scale: { type: "log", domain: [floor, top], nice: false },
    axis,
  };
  const clipped = ({ low, high }: { low: number; high: number }) => ({
    low: Math.max(floor, low),
    high: Math.min(top, high),
  });
  const rows = positive.map(({ concentration, response, expanded = 0, used }) => ({
    x: concentration,
    y: response,
    used,
    ...clipped({ low: response - expanded, high: response + expanded }),
  }));
  const drawn = curve.filter((each) => each.y > floor).map((each) => ({ ...each, ...clipped(each) }));
  const line = { type: "line", color: INK.ink, strokeWidth: 1, clip: true };
  return [
    band(drawn, color, x, y),
    { data: { values: drawn }, mark: line, encoding: { x, y } },
    intervalBars(rows, x, y),
    standardMarks(rows, color, x, y),
    ...reasons(visible, plot.curve.unit),
    ...namedLimits(limits, x, place),
  ];
}

/** Readings left out with their reasons, above the panel, where nothing is drawn. */
function reasons(standards: readonly PlottedStandard[], unit: string): readonly SpecPart[] {
  const told = standards.filter(({ reason }) => reason !== undefined);
  return told.map(({ concentration, reason }, index) => {
    const values = [{ words: `✚ ${Number(concentration.toPrecision(4))} ${unit}: ${reason}` }];
    const place = { align: "right", baseline: "bottom", x: "width", dx: -4 };
    const y = -(4 + 13 * (told.length - 1 - index));
    return texts(values, "words", { ...place, y, fontSize: NAME_SIZE, fill: INK.soft }, {});
  });
}

/** Standards: filled when used, open crosses when left out of the fit, triangles at the edge they lie beyond. */
function standardMarks(rows: readonly SpecPart[], color: string, x: SpecPart, y: SpecPart): SpecPart {
  return {
    data: { values: rows },
    mark: { type: "point", strokeWidth: 1.2, opacity: 1 },
    encoding: {
      x,
      y,
      size: { condition: { test: "datum.used", value: 34 }, value: 80 },
      shape: {
        condition: [
          { test: "datum.beyond > 0", value: "triangle-up" },
          { test: "datum.beyond < 0", value: "triangle-down" },
          { test: "datum.used", value: "circle" },
        ],
        value: "cross",
      },
      fill: { condition: { test: "datum.used", value: color }, value: INK.paper },
      stroke: { value: INK.ink },
    },
  };
}

function errorLayers(
  visible: readonly PlottedStandard[],
  limits: readonly PlottedLimit[],
  curve: readonly BandPoint[],
  color: string,
  x: SpecPart,
): readonly SpecPart[] {
  const shown = visible.filter((each) => Number.isFinite(each.relativeErrorPercent));
  const bars = shown.map((each) => ((each.expanded ?? 0) / Math.abs(each.response || 1)) * 100);
  // A reading left out must not squeeze the others: beyond the edge it is a triangle that points there.
  const largest = Math.max(
    ...shown.map((each, index) =>
      each.used ? Math.abs(each.relativeErrorPercent) + Math.min(bars[index], 60) : 0,
    ),
    2,
  );
  const edge = Math.min(largest * 1.15, 120);
  const axis = { tickCount: 3, title: "relative error / %", grid: true };
  const y = { field: "y", type: "quantitative", scale: { domain: [-edge, edge], nice: false }, axis };
  const rows = shown.map((each, index) => ({
    x: each.concentration,
    y: Math.min(Math.max(each.relativeErrorPercent, -edge), edge),
    low: Math.max(each.relativeErrorPercent - bars[index], -edge),
    high: Math.min(each.relativeErrorPercent + bars[index], edge),
    used: each.used,
    beyond: Math.abs(each.relativeErrorPercent) > edge ? Math.sign(each.relativeErrorPercent) : 0,
  }));
  const drawn = curve.map(({ x: at, percent }) => {
    const half = Math.min(percent, edge);
    return { x: at, low: -half, high: half };
  });
  const zero = { type: "rule", color: INK.soft, strokeWidth: 1 };
  return [
    band(drawn, color, x, y),
    { data: { values: [{ y: 0 }] }, mark: zero, encoding: { y } },
    intervalBars(rows, x, y),
    standardMarks(rows, color, x, y),
    ...limitLines(limits, x),
  ];
}
