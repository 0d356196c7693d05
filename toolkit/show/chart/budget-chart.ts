import type { MeasuredValue } from "../../uncertainty/measured.js";
import { significant } from "../text/numbers.js";
import { texts } from "./marks.js";
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
  const axis = { title: "share of u² / %", tickCount: 3 };
  const x = { field: "share", type: "quantitative", scale: { domain: [0, 100] }, axis };
  const bars = { type: "bar", color: INK.soft, opacity: 0.5, height: 10 };
  return chartSpec({
    width: 240,
    height: Math.max(20, 20 * shown.length),
    layer: [
      { data: { values: shown }, mark: bars, encoding: { x, y } },
      texts(shown, "text", { align: "left", dx: 4, fontSize: 10, fill: INK.soft }, { x, y }),
      texts(shown, "source", { align: "right", x: -8, limit: 280, fill: INK.ink }, { y }),
    ],
  });
}
