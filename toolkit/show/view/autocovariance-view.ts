import type { DisplayBundle } from "../../display.js";
import type { Autocovariance } from "../../signal/autocovariance.js";
import { correlogramChart } from "../chart/correlogram-chart.js";
import { html } from "../text/markup.js";
import { fixed, quantity, significant, trimmed } from "../text/numbers.js";
import { counted } from "../text/words.js";
import { chartAmongWords } from "./chart-bundle.js";

/** The correlogram of noise and what it means for averaging, in words. */
export function autocovarianceView(noise: Autocovariance): Promise<DisplayBundle> {
  const { values, interval, records, from, to } = noise;
  const title = `autocovariance of the noise, ${counted(records, "record")}, ${fixed(from, 2)} to ${quantity(fixed(to, 2), "min")}`;
  const words = memoryWords(noise);
  return chartAmongWords(
    [title, ...words].join("\n"),
    correlogramChart(values, 60 * interval),
    (chart) => html`<p><strong>${title.replace(/^a/, "A")}</strong></p>
<div class="scroll">${chart}</div>
<p>${words.join(" ")}</p>`,
  );
}

/** Noise that is still correlated by more than this at the longest lag has not been seen to its end. */
const STILL_RELATED = 0.2;

function memoryWords({ values, unit, interval, effectiveFraction }: Autocovariance): readonly string[] {
  const scatter = `One reading scatters by ${quantity(significant(Math.sqrt(values[0]), 2), signalUnitOf(unit))} (standard deviation).`;
  const worth = 1 / effectiveFraction;
  if (worth < 1.05) return [scatter, "Neighbouring readings do not know of each other: each counts in full."];
  const left = values[values.length - 1] / values[0];
  const open =
    left > STILL_RELATED
      ? [
          `After ${quantity(trimmed(60 * interval * (values.length - 1), 2), "s")}, the longest lag, a correlation of ${fixed(left, 2)} is left: drift or the course of a programme, not noise alone. Choose from and to where the eluent stays the same.`,
        ]
      : [];
  return [
    scatter,
    `Readings remember each other: ${trimmed(worth, 2)} of them count as one independent (n_eff/n = ${significant(effectiveFraction, 2)}), so a mean or an area scatters ${trimmed(Math.sqrt(worth), 2)} times as much as white noise would make it.`,
    ...open,
  ];
}

/** "(µS/cm)²" is the square of "µS/cm". */
function signalUnitOf(unit: string): string {
  return unit.replace(/^\((.*)\)²$/, "$1").replace(/²$/, "");
}
