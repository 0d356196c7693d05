import { texts } from "./marks.js";
import { type ChartSpec, chartSpec, INK, type SpecPart } from "./spec.js";

/** One analysis: the percent difference its publisher printed, and ours. */
export interface ComparedBalance {
  readonly label: string;
  readonly published: number;
  readonly own: number;
}

/** Published differences as open circles, ours as filled dots on the same line; beyond `edge` an arrow and the number. */
export function publishedBalanceChart(rows: readonly ComparedBalance[], width = 520, edge = 8): ChartSpec {
  const beyond = (value: number): boolean => Math.abs(value) > edge;
  const kept = (value: number): number => Math.min(Math.max(value, -edge), edge);
  const values = rows.map((row, index) => ({
    index,
    label: row.label,
    published: kept(row.published),
    own: kept(row.own),
    inside: !beyond(row.own),
    text: beyond(row.own) ? `${row.own.toFixed(1)} % →` : "",
  }));
  const inside = { values: values.filter((row) => row.inside) };
  const y = { field: "index", type: "ordinal", axis: null };
  const title = "100 (cations − anions)/(cations + anions) / %";
  const x = (field: string): SpecPart => ({
    field,
    type: "quantitative",
    scale: { domain: [-edge, edge], nice: false },
    axis: { title, values: [-5, 0, 5], grid: true },
  });
  const ring = { type: "point", filled: false, size: 90, strokeWidth: 1.2, color: INK.soft, opacity: 1 };
  const dot = { type: "point", filled: true, size: 22, color: INK.ink, opacity: 1 };
  return chartSpec({
    width,
    height: 15 * rows.length,
    layer: [
      { data: inside, mark: ring, encoding: { x: x("published"), y } },
      { data: inside, mark: dot, encoding: { x: x("own"), y } },
      texts(values, "text", { align: "right", fontSize: 10, fill: INK.ink, dx: -2 }, { x: x("own"), y }),
      texts(values, "label", { align: "right", x: -8, fontSize: 10, fill: INK.soft }, { y }),
    ],
  });
}
