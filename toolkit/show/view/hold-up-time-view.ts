import type { DisplayBundle } from "../../display.js";
import type { HoldUpMethod, HoldUpTime } from "../../separation/hold-up-time.js";
import { intervalRowsChart } from "../chart/interval-rows.js";
import { INK } from "../chart/spec.js";
import { html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { fixed } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";

const MEANING: Readonly<Record<HoldUpMethod, string>> = {
  "retention fit": "fitted with the retention of ions of different charge",
  "unretained ion": "apex of an ion that the column does not hold",
  "water dip": "onset of the dip, 10 % of its depth on the front",
  geometry: "from length, diameter, flow and porosity of the column",
};

/** The ways to the hold-up time in the order in which they are trusted, the first of them taken. */
export function holdUpTimeView(holdUp: HoldUpTime): Promise<DisplayBundle> {
  const { value, method, others, warnings } = holdUp;
  const ways = [{ method, value }, ...others];
  const rows = ways.map((way, index) => {
    const { low, high } = way.value.interval();
    const color = index === 0 ? INK.ink : INK.soft;
    return { name: way.method, value: way.value.value, low, high, color, open: index > 0 };
  });
  const chart = intervalRowsChart(rows, { title: "hold-up time / min" });
  const drawn = columnTable([
    { title: "way", cells: { words: ways.map((way) => way.method) } },
    { title: "hold-up time", unit: "min", cells: { measured: ways.map((way) => way.value) } },
    {
      title: "trust",
      cells: { words: ways.map((_, index) => (index === 0 ? "taken" : fixed(index + 1, 0))) },
    },
    { title: "how", cells: { prose: ways.map((way) => MEANING[way.method]) } },
  ]);
  const k = [0.5, 10].map((factor) => fixed((1 + factor) / factor, 1));
  return chartAmongWords(
    [String(holdUp), ...warnings].join("\n"),
    chart,
    (picture) => html`<p><strong>Hold-up time ${measuredText(value)}</strong>, by ${method}.</p>
${warnings.map((warning) => html`<p>${typesetSentence(warning)}</p>`)}
${drawn}
<div class="scroll">${picture}</div>
<p class="note">Uncertainties and bars: 95 %. An error of 1 % in it is ${k[0]} % in k at k = 0.5 and ${k[1]} % at k = 10: state the way beside every k.</p>`,
  );
}
