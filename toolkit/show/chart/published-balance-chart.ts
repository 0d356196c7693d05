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
  const data = { values };
  const y = { field: "index", type: "ordinal", axis: null };
  const x = (field: string): SpecPart => ({
    field,
    type: "quantitative",
    scale: { domain: [-edge, edge], nice: false },
    axis: { title: "100 (cations − anions)/(cations + anions) / %", values: [-5, 0, 5], grid: true },
  });
  return chartSpec({
    width,
    height: 15 * rows.length,
    layer: [
      {
        data: { values: values.filter((row) => row.inside) },
        mark: {
          type: "point",
          shape: "circle",
          filled: false,
          size: 90,
          strokeWidth: 1.2,
          color: INK.soft,
          opacity: 1,
        },
        encoding: { x: x("published"), y },
      },
      {
        data: { values: values.filter((row) => row.inside) },
        mark: { type: "point", filled: true, size: 22, color: INK.ink, opacity: 1 },
        encoding: { x: x("own"), y },
      },
      {
        data,
        mark: { type: "text", align: "right", fontSize: 10, fill: INK.ink, dx: -2 },
        encoding: { x: x("own"), y, text: { field: "text", type: "nominal" } },
      },
      {
        data,
        mark: { type: "text", align: "right", x: -8, fontSize: 10, fill: INK.soft },
        encoding: { y, text: { field: "label", type: "nominal" } },
      },
    ],
  });
}
