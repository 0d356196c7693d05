import type { SampleBalance } from "../../batch/types.js";
import { COLORS, ionColor } from "../color/ion-colors.js";
import { expanded } from "../text/measured-text.js";
import { signed } from "../text/numbers.js";
import { textWidth } from "../trace/label-places.js";
import { texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

/** One piece of a bar. */
interface Piece extends SpecPart {
  readonly row: string;
  readonly name: string;
  readonly from: number;
  readonly to: number;
  readonly open: boolean;
  readonly fill: string;
}

const UNKNOWN = "unidentified";

/**
 * Paired bars, cations above anions, of what the charge of each sample consists of (meq/L), with the expanded
 * uncertainty (95 %) of each sum; unidentified anions follow as an open grey piece, dashed on to where more of them is
 * possible. Above each pair its sample and
 * the percent difference with its expanded uncertainty. Names too long for their piece stand behind the bar, which
 * may reach `room` px beyond the axis.
 */
export function balanceChart(balances: readonly SampleBalance[], width = 560, room = 150): ChartSpec {
  const bars = balances.flatMap((balance, index) => [
    barOf(balance, "cation", index),
    barOf(balance, "anion", index),
  ]);
  const top = Math.max(...bars.map((bar) => bar.end), 1e-9) * 1.02;
  const rows = balances.flatMap((_, index) => [
    `${index} head`,
    `${index} cations`,
    `${index} anions`,
    `${index} gap`,
  ]);
  const y = {
    field: "row",
    type: "nominal",
    scale: { domain: rows.slice(0, -1), paddingInner: 0.14, paddingOuter: 0 },
    axis: null,
  };
  const axis = { title: "charge / (meq/L)", tickCount: 5, orient: "bottom" };
  const x = { type: "quantitative", scale: { domain: [0, top], nice: false, zero: true }, axis };
  const pieces = bars.flatMap((bar) => bar.pieces);
  return chartSpec({
    width,
    height: 17 * (rows.length - 1),
    layer: [
      barLayer(pieces, x, y),
      ...openEndLayers(bars, top, x, y),
      labelLayer(bars, top, width, x, y),
      ...sumLayers(bars, top, width, room, x, y),
      ...headLayers(balances, width, y),
    ],
  });
}

/** One bar: its pieces and the sum with its interval. */
interface Bar {
  readonly row: string;
  readonly side: string;
  readonly pieces: readonly Piece[];
  readonly value: number;
  readonly low: number;
  readonly high: number;
  /** Where the ink ends. */
  readonly end: number;
  /** How far beyond the last piece more charge may reach; 0 where none is possible. */
  readonly more: number;
}

function barOf(balance: SampleBalance, side: "cation" | "anion", index: number): Bar {
  const row = `${index} ${side}s`;
  const pieces = piecesOf(balance, side, row);
  const sum = side === "cation" ? balance.cations : balance.anions;
  const half = expanded(sum);
  const [low, high] = [Math.max(0, sum.value - half), sum.value + half];
  const end = Math.max(high, pieces[pieces.length - 1]?.to ?? 0);
  const more = side === "anion" ? moreOf(balance) : 0;
  return { row, side: `${side}s`, pieces, value: sum.value, low, high, end, more };
}

/** Charge the unidentified anions may carry beyond what is drawn, meq/L: Infinity where it has no upper end. */
function moreOf({ withUnknowns, unknownAnions, unknownAnionsUpper }: SampleBalance): number {
  if (unknownAnions === undefined) return 0;
  const upper = withUnknowns === undefined ? unknownAnionsUpper : withUnknowns.unknown.to;
  if (upper === undefined) return withUnknowns === undefined ? 0 : Number.POSITIVE_INFINITY;
  return Math.max(0, upper.value - unknownAnions.value);
}

/** Where a bar ends on the chart, what is only possible included. */
function reachOf({ pieces, end, more }: Bar, top: number): number {
  const last = pieces[pieces.length - 1]?.to ?? 0;
  return more > 0 ? Math.max(end, Math.min(top, last + more)) : end;
}

/** Names of the pieces too narrow to carry them, the largest first, as many as there is room for behind the bar. */
function namesBehind(bar: Bar, top: number, width: number, room: number): string {
  const names = bar.pieces
    .filter((piece) => !fits(piece, bar, top, width) && piece.to - piece.from > bar.end / 100)
    .sort((a, b) => b.to - b.from - (a.to - a.from))
    .map((piece) => piece.name);
  const free = width * (1 - reachOf(bar, top) / top) + room - 8;
  while (names.length > 0 && textWidth(names.join(", "), 10) > free) names.pop();
  return names.join(", ");
}

/** The stretch of a piece that the bracket of the sum leaves free. */
function freeStretch(piece: Piece, bar: Bar): readonly [from: number, to: number] {
  if (piece.to <= bar.low || piece.from >= bar.high) return [piece.from, piece.to];
  const [before, behind] = [bar.low - piece.from, piece.to - bar.high];
  return before >= behind ? [piece.from, Math.max(piece.from, bar.low)] : [bar.high, piece.to];
}

function fits(piece: Piece, bar: Bar, top: number, width: number): boolean {
  const [from, to] = freeStretch(piece, bar);
  return textWidth(piece.name, 10) + 6 < ((to - from) / top) * width;
}

function piecesOf(balance: SampleBalance, side: "cation" | "anion", row: string): readonly Piece[] {
  const pieces: Piece[] = [];
  let at = 0;
  const parts = balance.parts.filter((part) => part.side === side && part.milliequivalents.value > 0);
  for (const part of parts) {
    const to = at + part.milliequivalents.value;
    const { fill } = COLORS[ionColor(part.ion)];
    pieces.push({ row, name: part.ion, from: at, to, open: part.bound, fill });
    at = to;
  }
  if (side === "anion" && balance.unknownAnions !== undefined && balance.unknownAnions.value > 0) {
    const to = at + balance.unknownAnions.value;
    pieces.push({ row, name: UNKNOWN, from: at, to, open: true, fill: COLORS.unknown.fill });
  }
  return pieces;
}

function barLayer(pieces: readonly Piece[], x: SpecPart, y: SpecPart): SpecPart {
  return {
    data: { values: pieces },
    mark: { type: "bar", strokeWidth: 0.8 },
    encoding: {
      x: { ...x, field: "from" },
      x2: { field: "to" },
      y,
      fill: { field: "fill", type: "nominal", scale: null },
      fillOpacity: { condition: { test: "datum.open", value: 0.15 }, value: 0.72 },
      stroke: { condition: { test: "datum.open", value: INK.soft }, value: INK.paper },
    },
  };
}

/** Where unidentified anions may carry more than was counted: dashes on to their upper end, an arrow where it is out of sight. */
function openEndLayers(bars: readonly Bar[], top: number, x: SpecPart, y: SpecPart): readonly SpecPart[] {
  const ends = bars.flatMap((bar) => {
    const from = bar.pieces[bar.pieces.length - 1]?.to ?? 0;
    if (!(bar.more > 0)) return [];
    return [{ row: bar.row, from, reach: reachOf(bar, top), beyond: from + bar.more > top }];
  });
  if (ends.length === 0) return [];
  const line = { type: "rule", color: INK.soft, strokeWidth: 1.2, strokeDash: [2, 2] };
  const arrow = { type: "point", shape: "triangle-right", filled: true, fill: INK.soft, size: 30 };
  return [
    {
      data: { values: ends },
      mark: line,
      encoding: { x: { ...x, field: "from" }, x2: { field: "reach" }, y },
    },
    {
      data: { values: ends.filter(({ beyond }) => beyond) },
      mark: { ...arrow, stroke: null, opacity: 1 },
      encoding: { x: { ...x, field: "reach" }, y },
    },
  ];
}

/** Names inside the pieces that are wide enough for them. */
function labelLayer(bars: readonly Bar[], top: number, width: number, x: SpecPart, y: SpecPart): SpecPart {
  const fitting = bars.flatMap((bar) =>
    bar.pieces
      .filter((piece) => fits(piece, bar, top, width))
      .map((piece) => {
        const [from, to] = freeStretch(piece, bar);
        return { row: piece.row, name: piece.name, middle: (from + to) / 2 };
      }),
  );
  return texts(fitting, "name", { fontSize: 10, fill: INK.ink }, { x: { ...x, field: "middle" }, y });
}

/** The end of each bar with its expanded uncertainty, then the names that found no room inside. */
function sumLayers(
  bars: readonly Bar[],
  top: number,
  width: number,
  room: number,
  x: SpecPart,
  y: SpecPart,
): readonly SpecPart[] {
  const rows = bars.map((bar) => ({
    row: bar.row,
    low: bar.low,
    high: bar.high,
    end: reachOf(bar, top),
    behind: namesBehind(bar, top, width, room),
  }));
  const data = { values: rows };
  const cap = { type: "tick", color: INK.ink, thickness: 1.3, size: 7 };
  return [
    {
      data,
      mark: { type: "rule", color: INK.ink, strokeWidth: 1.3 },
      encoding: { x: { ...x, field: "low" }, x2: { field: "high" }, y },
    },
    { data, mark: cap, encoding: { x: { ...x, field: "low" }, y } },
    { data, mark: cap, encoding: { x: { ...x, field: "high" }, y } },
    texts(
      rows,
      "behind",
      { align: "left", dx: 6, fontSize: 10, fill: INK.soft },
      { x: { ...x, field: "end" }, y },
    ),
  ];
}

/** Sample and percent difference above each pair, the sides left of the bars. */
function headLayers(balances: readonly SampleBalance[], width: number, y: SpecPart): readonly SpecPart[] {
  const heads = balances.map((balance, index) => ({
    row: `${index} head`,
    name: balance.sample,
    verdict: `${difference(balance)}, ${balance.passed ? "passes" : "fails"}`,
  }));
  const sides = balances.flatMap((_, index) =>
    ["cations", "anions"].map((side) => ({ row: `${index} ${side}`, side })),
  );
  return [
    texts(heads, "name", { align: "left", x: 0, fontSize: 12, fill: INK.ink, limit: width - 130 }, { y }),
    texts(heads, "verdict", { align: "right", x: "width", fontSize: 11, fill: INK.soft }, { y }),
    texts(sides, "side", { align: "right", x: -7, fontSize: 10, fill: INK.soft }, { y }),
  ];
}

function difference(balance: SampleBalance): string {
  const { percentDifference } = balance;
  const half = expanded(percentDifference);
  return `${signed(percentDifference.value, 1)}${half > 0 ? ` ± ${half.toFixed(1)}` : ""} %`;
}

/** Samples that can share one scale: a new group begins where the charge falls by more than half to below a quarter. */
export function groupsByScale(balances: readonly SampleBalance[]): readonly (readonly SampleBalance[])[] {
  const size = (balance: SampleBalance): number => Math.max(balance.cations.value, balance.anions.value);
  const sorted = [...balances].sort((a, b) => size(b) - size(a));
  const groups: SampleBalance[][] = [];
  for (const [index, balance] of sorted.entries()) {
    const group = groups[groups.length - 1];
    const falls = index > 0 && size(balance) < size(sorted[index - 1]) / 2;
    if (group === undefined || (falls && size(balance) < size(group[0]) / 4)) groups.push([balance]);
    else group.push(balance);
  }
  return groups.map((group) => balances.filter((balance) => group.includes(balance)));
}
