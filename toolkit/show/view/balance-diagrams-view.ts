import type { DisplayBundle } from "../../display.js";
import type { BalanceBars } from "../../water/diagrams/balance-bars.js";
import type { BalanceSeries } from "../../water/diagrams/balance-series.js";
import { balanceBarsChart } from "../chart/balance-bars-chart.js";
import { balanceSeriesChart } from "../chart/balance-series-chart.js";
import { html } from "../text/markup.js";
import { chartAmongWords } from "./chart-bundle.js";
import { diagramWords } from "./diagram-words.js";

/** Paired bars of charge, and what to know of them. */
export function balanceBarsView(bars: BalanceBars): Promise<DisplayBundle> {
  const { title, pairs, notes } = bars;
  const uncertain = pairs.some(({ cations, anions }) => cations.u > 0 || anions.u > 0);
  const unknown = pairs.some(({ unknownAnions }) => (unknownAnions?.value ?? 0) > 0);
  const caption = [
    "Each pair should end at the same point: cations above, anions below.",
    ...(uncertain ? ["Brackets: expanded uncertainty of each sum, 95 %."] : []),
    ...(unknown ? ["The open grey piece is the charge of unidentified anions, not part of the sum."] : []),
  ];
  return chartAmongWords(
    String(bars),
    balanceBarsChart(bars),
    (chart) => html`${title !== "" && html`<p><strong>${title}</strong></p>`}
<div class="scroll">${chart}</div>
${diagramWords([...caption, ...notes])}`,
  );
}

/** The balances of a batch one beside the other, and what to know of them. */
export function balanceSeriesView(series: BalanceSeries): Promise<DisplayBundle> {
  const { points, mean, limitSources, notes, title } = series;
  const uncertain = points.some(({ percentDifference }) => percentDifference.u > 0);
  const limits = points.some(({ limit }) => limit !== undefined);
  const unknown = points.some(({ withUnknowns }) => withUnknowns !== undefined);
  const open = points.some((point) => point.open);
  const common = mean !== undefined && mean.u > 0 && Math.abs(mean.value) > 2 * mean.u;
  const caption = [
    ...(uncertain ? ["Bars: 95 %; a bar that crosses zero closes within its own uncertainty."] : []),
    ...(limits ? [`Dotted: limit by ${limitSources.join("; for rain ")}.`] : []),
    ...(unknown ? ["Grey ends: the difference when unidentified anions count."] : []),
    ...(open ? ["Open symbols: a main ion was not measured."] : []),
    ...(common
      ? [
          "The mean differs from zero by more than twice its standard uncertainty: something common to all waters, as a calibration.",
        ]
      : []),
  ];
  return chartAmongWords(
    String(series),
    balanceSeriesChart({ ...series, title: "" }),
    (chart) => html`${title !== "" && html`<p><strong>${title}</strong></p>`}
<div class="scroll">${chart}</div>
${diagramWords([...caption, ...notes])}`,
  );
}
