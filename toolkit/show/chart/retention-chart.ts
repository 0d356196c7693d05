import { eluentConcentration } from "../../separation/eluent-program.js";
import type { RetentionFit, ScoutingRun } from "../../separation/fit-retention.js";
import { retentionFactor } from "../../separation/retention.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { axisTicks } from "../trace/trace-paths.js";
import { texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

const WIDTH = 430;
/** Names at the lines' ends need this much, px. */
const NAME_ROW = 13;
const HEIGHT = 240;
const RESIDUAL_HEIGHT = 90;

/**
 * Retention factors over eluent strength, both logarithmic, with the isocratic readings on the lines; below them what
 * every reading differs from the fit by, run by run.
 */
export function retentionChart(fit: RetentionFit): ChartSpec {
  return chartSpec({ vconcat: [linePanel(fit), residualPanel(fit)], spacing: 18 });
}

interface LinePoint {
  readonly x: number;
  readonly y: number;
}

function linePanel(fit: RetentionFit): SpecPart {
  const [low, high] = fit.strengths;
  const lines = Object.entries(fit.ions).map(([name, model]) => ({
    name,
    color: COLORS[ionColor(name)].fill,
    points: [low, high].map((c): LinePoint => ({ x: c, y: retentionFactor(model, c) })),
    readings: readingsOf(fit, name),
  }));
  const all = lines.flatMap(({ points, readings }) => [...points, ...readings].map(({ y }) => y));
  const domain = [Math.min(...all) / 1.25, Math.max(...all) * 1.25];
  // Room at the right for the names.
  const x = logAxis("x", [low / 1.1, high * 1.1], "eluent / (mmol/L)");
  const y = logAxis("y", domain, "retention factor k");
  return {
    width: WIDTH,
    height: HEIGHT,
    layer: [
      ...lines.flatMap(({ color, points, readings }) => [
        { data: { values: points }, mark: { type: "line", color, strokeWidth: 1.6 }, encoding: { x, y } },
        {
          data: { values: readings },
          mark: { type: "point", fill: color, stroke: INK.ink, strokeWidth: 0.9, size: 40, opacity: 1 },
          encoding: { x, y },
        },
      ]),
      ...namePlaces(lines, domain).map((place) =>
        texts([place], "name", { align: "left", x: WIDTH + 6, y: place.at, fontSize: 10.5 }, {}),
      ),
    ],
  };
}

/** k of the isocratic runs, from their retention times and the fitted hold-up time. */
function readingsOf({ runs, times }: RetentionFit, name: string): readonly LinePoint[] {
  return runs.flatMap(({ program, retentionTimes }) => {
    const time = retentionTimes[name];
    if (time === undefined || !isIsocratic(program)) return [];
    const y = (time - times.holdUpTime) / times.holdUpTime;
    return y > 0 ? [{ x: eluentConcentration(program, 0), y }] : [];
  });
}

function isIsocratic(program: ScoutingRun["program"]): boolean {
  return program.every(([, concentration]) => concentration === program[0][1]);
}

/** Names right of the lines' ends, pushed apart where they would cover each other. */
function namePlaces(
  lines: readonly { readonly name: string; readonly points: readonly LinePoint[] }[],
  [low, high]: readonly number[],
): readonly { readonly name: string; readonly at: number }[] {
  const place = (y: number) => HEIGHT * (1 - Math.log(y / low) / Math.log(high / low));
  const sorted = lines
    .map(({ name, points }) => ({ name, at: place(points[1].y) }))
    .sort((a, b) => a.at - b.at);
  const room = HEIGHT - NAME_ROW * sorted.length;
  let least = Math.min(0, room);
  return sorted.map(({ name, at }, index) => {
    const latest = HEIGHT - NAME_ROW * (sorted.length - 1 - index);
    const placed = Math.max(least, Math.min(at, Math.max(latest, least)));
    least = placed + NAME_ROW;
    return { name, at: placed };
  });
}

function logAxis(field: string, domain: readonly number[], title: string): SpecPart {
  return {
    field,
    type: "quantitative",
    scale: { type: "log", domain, nice: false },
    axis: { title, values: roundPlaces(domain[0], domain[1]), format: "~g" },
  };
}

/** 1, 2, 5 of each decade within the axis; 1 alone over three decades and more. */
function roundPlaces(low: number, high: number): readonly number[] {
  const leads = high / low > 1000 ? [1] : high / low > 3 ? [1, 2, 5] : [1, 1.5, 2, 3, 4, 5, 6, 7, 8];
  const places: number[] = [];
  for (let power = Math.floor(Math.log10(low)); power <= Math.log10(high); power += 1)
    for (const lead of leads) places.push(Number(`${lead}e${power}`));
  return places.filter((at) => at >= low && at <= high);
}

function residualPanel({ residuals, runs }: RetentionFit): SpecPart {
  const rows = residuals.map(({ run, ion, relative }) => ({
    run: run + 1,
    y: 100 * relative,
    color: COLORS[ionColor(ion)].fill,
  }));
  const reach = 1.15 * Math.max(0.05, ...rows.map(({ y }) => Math.abs(y)));
  const ticks = axisTicks(-reach, reach, 3);
  const names = runs.map((_, index) => index + 1);
  const x = {
    field: "run",
    type: "ordinal",
    scale: { domain: names, padding: 0.3 },
    axis: { title: "run", labelAngle: 0 },
  };
  const y = {
    field: "y",
    type: "quantitative",
    scale: { domain: [-reach, reach], nice: false },
    axis: { title: "observed − fitted / %", values: ticks.at, format: `+.${ticks.decimals}f`, grid: true },
  };
  return {
    width: WIDTH,
    height: RESIDUAL_HEIGHT,
    layer: [
      {
        data: { values: [{ y: 0 }] },
        mark: { type: "rule", color: INK.soft, x: 0, x2: WIDTH },
        encoding: { y },
      },
      {
        data: { values: rows },
        mark: { type: "point", stroke: INK.ink, strokeWidth: 0.9, size: 36, opacity: 1 },
        encoding: { x, y, fill: { field: "color", type: "nominal", scale: null } },
      },
    ],
  };
}
