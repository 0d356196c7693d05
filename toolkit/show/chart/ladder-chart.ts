import type { LimitLadder, LimitRole, LimitRung } from "../../limits/ladder-types.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { limitText, quantity } from "../text/numbers.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";
import { panelTitle } from "./time-panel.js";

const WIDTH = 400;
const ROW = 22;

/** One number of a rung as it is drawn. */
interface Dot {
  readonly name: string;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  readonly role: LimitRole;
  readonly met: boolean;
}

const KEY = [
  "▸ critical value   ● detection limit   ■ quantification limit   ◆ reporting limit, confirmed",
  "hollow: something speaks against it; bar: what the standard deviation leaves open (95 %)",
];

const SHAPES: Readonly<Record<LimitRole, string>> = {
  "critical value": "triangle-right",
  "detection limit": "circle",
  "quantification limit": "square",
  "reporting limit": "diamond",
};

/**
 * Every definition that could be computed on a row of its own over a logarithmic axis: its numbers by shape, hollow where
 * something speaks against it, the interval of its detection limit as a bar; the one in force shaded, its three limits as
 * dotted lines over all rows. `undefined` where nothing could be computed.
 */
export function ladderChart(ladder: LimitLadder): ChartSpec | undefined {
  const rungs = ladder.rungs.filter((rung) => rung.value !== undefined && rung.unit === ladder.unit);
  if (rungs.length === 0) return undefined;
  const dots = rungs.flatMap(dotsOf);
  const domain = domainOf(dots);
  const height = ROW * rungs.length;
  const x: SpecPart = {
    field: "value",
    type: "quantitative",
    scale: { type: "log", domain, nice: false },
    axis: {
      title: `${ladder.ion ?? "concentration"} / (${ladder.unit})`,
      values: steps(domain),
      format: "~g",
      grid: true,
    },
  };
  const chosen = rungs.find((rung) => rung.inForce)?.name ?? "";
  const y: SpecPart = {
    field: "name",
    type: "nominal",
    sort: null,
    scale: { domain: rungs.map(({ name }) => name) },
    axis: {
      title: null,
      domain: false,
      ticks: false,
      labelLimit: 320,
      labelColor: INK.ink,
      labelFontWeight: {
        condition: { test: `datum.value === ${JSON.stringify(chosen)}`, value: "bold" },
        value: "normal",
      },
    },
  };
  return chartSpec({
    width: WIDTH,
    height,
    // A bold name is wider than the plain one whose width the layout has reckoned with.
    padding: { left: 26, right: 8, top: 4, bottom: 4 },
    title: { ...panelTitle(inForceText(ladder), KEY), frame: "bounds" },
    layer: [
      ...inForceRow(chosen, y, height),
      ...inForceLines(ladder, x),
      bars(dots, x, y),
      ...marks(dots, COLORS[ionColor(ladder.ion ?? "")].fill, x, y),
    ],
  });
}

function inForceText({ inForce }: LimitLadder): string {
  if (inForce === undefined) return "none in force";
  const { criticalValue, detectionLimit, quantificationLimit, unit } = inForce;
  const [c, d, q] = [criticalValue, detectionLimit, quantificationLimit].map(limitText);
  return `In force: critical value ${c}, detection limit ${d}, quantification limit ${quantity(q, unit)}`;
}

function dotsOf(rung: LimitRung): readonly Dot[] {
  return rung.limits
    .filter(({ value }) => value > 0)
    .map(({ role, value, interval }) => ({
      name: rung.name,
      value,
      // Bars of the other roles would run into each other on one row.
      low: role === barRole(rung) && interval && interval.low > 0 ? interval.low : value,
      high: role === barRole(rung) && interval && interval.high < Infinity ? interval.high : value,
      role,
      met: rung.requirement === "met",
    }));
}

function barRole(rung: LimitRung): LimitRole | undefined {
  return rung.detectionLimit === undefined ? rung.limits[0]?.role : "detection limit";
}

function domainOf(dots: readonly Dot[]): readonly [number, number] {
  return [Math.min(...dots.map(({ low }) => low)) / 1.25, Math.max(...dots.map(({ high }) => high)) * 1.25];
}

/** 1, 2 and 5 of every decade; over three decades the powers of ten alone. */
function steps([low, high]: readonly [number, number]): readonly number[] {
  const leads = high / low > 1000 ? [1] : [1, 2, 5];
  const values: number[] = [];
  for (let power = Math.floor(Math.log10(low)); power <= Math.log10(high); power += 1)
    for (const lead of leads) values.push(Number(`${lead}e${power}`));
  return values.filter((value) => value >= low && value <= high);
}

function inForceRow(name: string, y: SpecPart, height: number): readonly SpecPart[] {
  if (name === "" || height === 0) return [];
  return [
    {
      data: { values: [{ name }] },
      mark: { type: "bar", color: INK.soft, opacity: 0.16, height: ROW - 2, x: 0, x2: WIDTH },
      encoding: { y },
    },
  ];
}

function inForceLines({ inForce }: LimitLadder, x: SpecPart): readonly SpecPart[] {
  if (inForce === undefined) return [];
  const values = [inForce.criticalValue, inForce.detectionLimit, inForce.quantificationLimit].map(
    (value) => ({ value }),
  );
  const mark = { type: "rule", color: INK.soft, strokeWidth: 1, strokeDash: [1.5, 2.5], clip: true };
  return [{ data: { values }, mark, encoding: { x } }];
}

function bars(dots: readonly Dot[], x: SpecPart, y: SpecPart): SpecPart {
  return {
    data: { values: dots.filter(({ low, high }) => high > low) },
    mark: { type: "rule", color: INK.soft, strokeWidth: 1.4 },
    encoding: { x: { ...x, field: "low" }, x2: { field: "high" }, y },
  };
}

function marks(dots: readonly Dot[], color: string, x: SpecPart, y: SpecPart): readonly SpecPart[] {
  return (Object.keys(SHAPES) as LimitRole[]).map((role) => ({
    data: { values: dots.filter((dot) => dot.role === role) },
    mark: { type: "point", shape: SHAPES[role], size: 58, stroke: INK.ink, strokeWidth: 1, opacity: 1 },
    encoding: { x, y, fill: { condition: { test: "datum.met", value: color }, value: INK.paper } },
  }));
}
