import type { MeasuredValue } from "../../uncertainty/measured.js";
import { significant } from "../text/numbers.js";
import { type ChartSpec, chartSpec, INK } from "./spec.js";

/** What the uncertainty of a value consists of: one bar a source, its share of the variance written beside it. */
export function budgetChart(measured: MeasuredValue, most = 8): ChartSpec {
  const budget = measured.budget().filter((row) => row.contribution > 0);
  const shown = budget.slice(0, most).map((row, index) => ({
    place: index,
    source: row.source,
    share: 100 * row.share,
    text: `${significant(100 * row.share, 2)} %`,
  }));
  const y = { field: "place", type: "ordinal", axis: null };
  const data = { values: shown };
  return chartSpec({
    width: 240,
    height: Math.max(20, 20 * shown.length),
    layer: [
      {
        data,
        mark: { type: "bar", color: INK.soft, opacity: 0.5, height: 10 },
        encoding: {
          x: {
            field: "share",
            type: "quantitative",
            scale: { domain: [0, 100] },
            axis: { title: "share of u² / %", tickCount: 3 },
          },
          y,
        },
      },
      {
        data,
        mark: { type: "text", align: "left", dx: 4, fontSize: 10, fill: INK.soft },
        encoding: {
          x: { field: "share", type: "quantitative" },
          y,
          text: { field: "text", type: "nominal" },
        },
      },
      {
        data,
        mark: { type: "text", align: "right", x: -8, limit: 280, fill: INK.ink },
        encoding: { y, text: { field: "source", type: "nominal" } },
      },
    ],
  });
}
