import type { DisplayBundle } from "../../display.js";
import type { MonteCarloResult } from "../../uncertainty/monte-carlo.js";
import type { SecondOrderResult } from "../../uncertainty/second-order.js";
import { intervalRowsChart } from "../chart/interval-rows.js";
import { INK } from "../chart/spec.js";
import { html } from "../text/markup.js";
import { decimalsFor, fixed, quantity, signed, significant, trimmed } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";
import { htmlBlock } from "./html-block.js";

/** What the trials gave: mean and both intervals; where these differ the distribution is skewed. */
export function monteCarloView(result: MonteCarloResult): Promise<DisplayBundle> {
  const { mean, u, interval, shortest, level, trials, seed, unit, cautions } = result;
  const percent = quantity(trimmed(100 * level, 3), "%");
  const digits = Math.max(0, decimalsFor(u, 2));
  const ends = [interval, shortest].map(({ low, high }) => [fixed(low, digits), fixed(high, digits)]);
  const names = ["equal tails", "shortest"];
  const rows = [interval, shortest].map(({ low, high }, index) => {
    const color = index === 0 ? INK.ink : INK.soft;
    return { name: names[index], value: mean, low, high, color, open: index > 0 };
  });
  const title =
    unit === "1" || unit === "" ? "result" : `result / ${unit.includes("/") ? `(${unit})` : unit}`;
  const drawn = columnTable([
    { title: `${percent} interval`, cells: { words: names } },
    { title: "low", cells: { numbers: ends.map(([low]) => low) } },
    { title: "high", cells: { numbers: ends.map(([, high]) => high) } },
  ]);
  return chartAmongWords(
    String(result),
    intervalRowsChart(rows, { title }),
    (
      chart,
    ) => html`<p><strong>${quantity(fixed(mean, digits), unit)}</strong>, standard uncertainty ${quantity(significant(u, 2), unit)}, from ${fixed(trials, 0)} trials <small>(seed ${fixed(seed, 0)})</small></p>
${drawn}
<div class="scroll">${chart}</div>
${cautions.map((caution) => html`<p>${typesetSentence(caution)}</p>`)}
<p class="note">Point: mean of the trials. Intervals that differ, or a mean off their middle, say that the distribution is skewed.</p>`,
  );
}

/** Sources shown; the rest adds little. */
const MOST_TERMS = 8;

/** Whether the first order is enough, and which pairs of sources make the difference. */
export function secondOrderView(result: SecondOrderResult): DisplayBundle {
  const { value, unit, u, firstOrder, shift, terms } = result;
  const digits = Math.max(0, decimalsFor(u, 2));
  const more = 100 * (u / firstOrder.u - 1);
  const drawn = columnTable([
    {
      title: "sources",
      cells: {
        prose: terms.slice(0, MOST_TERMS).map(({ sources: [a, b] }) => (a === b ? a : `${a} × ${b}`)),
      },
    },
    {
      title: "adds to u²",
      unit: "%",
      cells: {
        numbers: terms.slice(0, MOST_TERMS).map(({ variance }) => signed((100 * variance) / u ** 2, 2)),
      },
    },
  ]);
  return {
    "text/plain": String(result),
    "text/html":
      htmlBlock(html`<p><strong>${quantity(fixed(value, digits), unit)}</strong>: u = ${quantity(significant(u, 2), unit)} to second order, ${quantity(significant(firstOrder.u, 2), unit)} to first order <small>(${quantity(signed(more, 1), "%")})</small></p>
<p>The mean of the result lies ${quantity(significant(Math.abs(shift), 2), unit)} ${shift < 0 ? "below" : "above"} the value at the estimates.</p>
${terms.length > 0 && drawn}
<p class="note">Where both orders differ by more than a few percent, trials (monteCarlo) give the distribution itself.</p>`),
  };
}
