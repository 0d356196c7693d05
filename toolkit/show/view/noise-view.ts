import type { DisplayBundle } from "../../display.js";
import type { Noise } from "../../signal/noise.js";
import { stretchChart, windowsOf, withoutDrift } from "../chart/stretch-chart.js";
import { type Content, html } from "../text/markup.js";
import { fixed, quantity, significant, trimmed } from "../text/numbers.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";

/** Window of the short-term noise, min. */
const SHORT = 1;

/** The stretch of the noise, drift taken off, with its windows, and every figure with how it is defined. */
export function noiseView(noise: Noise): Promise<DisplayBundle> {
  const { chromatogram, from, to, drift, samples } = noise;
  const stretch = withoutDrift(chromatogram, from, to, drift);
  const spec = stretchChart(stretch, windowsOf(stretch, SHORT), chromatogram.signalUnit);
  const rate = quantity(trimmed((samples - 1) / (60 * (to - from)), 3), "Hz");
  const title = `noise of ${chromatogram.id}, ${fixed(from, 2)} to ${quantity(fixed(to, 2), "min")}, ${fixed(samples, 0)} samples at ${rate}`;
  const figures = noiseFigures(noise);
  const text = [title, ...figures.map(({ name, value }) => `${name}: ${value}`)].join("\n");
  return chartAmongWords(text, spec, (chart) => noiseBody(title, figures, chart));
}

interface NamedFigure {
  readonly name: string;
  readonly value: string;
  readonly window: string;
  readonly definition: string;
}

function noiseFigures(noise: Noise): readonly NamedFigure[] {
  const unit = noise.chromatogram.signalUnit;
  const all = "the stretch";
  const each = (minutes: number) => `each ${quantity(trimmed(minutes, 3), "min")}`;
  const size = (value: number, per = ""): string => quantity(significant(value, 3), `${unit}${per}`);
  const figures: readonly (readonly [string, number | undefined, string, string])[] = [
    [
      "short-term noise",
      noise.shortTerm,
      each(noise.windows.shortTerm.length),
      "mean of highest − lowest per window, drift taken off",
    ],
    [
      "long-term noise",
      noise.longTerm,
      each(noise.windows.longTerm?.length ?? 10),
      "mean of highest − lowest per window, drift taken off",
    ],
    ["standard deviation", noise.rms, all, "about a straight line"],
    ["white part", noise.white, all, "from second differences; blind to slow noise"],
    ["highest − lowest", noise.peakToPeak, all, "drift taken off; grows with the window"],
  ];
  return [
    ...figures.flatMap(([name, value, window, definition]) =>
      value === undefined ? [] : [{ name, value: size(value), window, definition }],
    ),
    {
      name: "drift",
      value: size(noise.driftPerHour, " per h"),
      window: all,
      definition: "slope of a straight line",
    },
  ];
}

function noiseBody(title: string, figures: readonly NamedFigure[], chart: Content): Content {
  const drawn = columnTable([
    { title: "figure", cells: { words: figures.map(({ name }) => name) } },
    { title: "value", cells: { words: figures.map(({ value }) => value) } },
    { title: "window", cells: { prose: figures.map(({ window }) => window) } },
    { title: "what it is", cells: { prose: figures.map(({ definition }) => definition) } },
  ]);
  return html`<p><strong>${title.replace(/^n/, "N")}</strong></p>
<div class="scroll">${chart}</div>
<p class="note">Drift taken off. Boxes: windows of 1 min, lowest to highest.</p>
${drawn}`;
}
