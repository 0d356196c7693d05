import type { Difference } from "../../compare/difference.js";
import type { DisplayBundle } from "../../display.js";
import { intervalRowsChart } from "../chart/interval-rows.js";
import { INK } from "../chart/spec.js";
import { html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { fixed, quantity, significant, trimmed } from "../text/numbers.js";
import { chartAmongWords } from "./chart-bundle.js";

/** The difference of two results with its interval beside zero and the smallest that the pair could have shown. */
export function differenceView(found: Difference): Promise<DisplayBundle> {
  const { difference, interval, smallestDifference, level, power, z, p, correlation } = found;
  const { value, unit } = difference;
  const { low, high } = interval;
  const rows = [
    { name: "difference", value, low, high, color: INK.ink, open: !found.significant },
    { name: "could go unseen", low: -smallestDifference, high: smallestDifference, color: INK.soft },
  ];
  const title =
    unit === "1" || unit === "" ? "difference" : `difference / ${unit.includes("/") ? `(${unit})` : unit}`;
  const chart = intervalRowsChart(rows, { title, lines: [{ at: 0, name: "no difference" }] });
  const percent = (share: number) => quantity(trimmed(100 * share, 3), "%");
  return chartAmongWords(
    String(found),
    chart,
    (
      drawn,
    ) => html`<p><strong>${measuredText(difference)}: ${found.significant ? "different" : "no significant difference"}</strong> <small>(level ${percent(level)})</small></p>
<p>z = ${fixed(z, 1)}, p = ${p < 0.001 ? "< 0.001" : significant(p, 2)}. Differences from ${quantity(significant(smallestDifference, 2), unit)} on would be found with a probability of ${percent(power)}; “no significant difference” is not “the same”.${Math.abs(correlation) < 0.005 ? "" : ` What both results share is counted once: their correlation is ${fixed(correlation, 2)}.`}</p>
<div class="scroll">${drawn}</div>
<p class="note">Bar: ${percent(level)} interval of the difference.</p>`,
  );
}
