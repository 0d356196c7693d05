import type { DisplayBundle } from "../../display.js";
import { type FigureName, figureDefinitions } from "../../peaks/figures/figure-definitions.js";
import type { PeakFigures } from "../../peaks/figures/peak-figures.js";
import { html } from "../text/markup.js";
import { fixed, quantity, significant } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { columnTable } from "./column-table.js";
import { htmlBlock } from "./html-block.js";

/** Plates of different definitions that differ by more than this share say that the peak is no Gaussian. */
const DISAGREE = 0.1;

type NamedFigure = FigureName & keyof PeakFigures;

/** The figures of a peak, each with its formula and its standard; one that the record does not show is a dash. */
export function peakFiguresView(figures: PeakFigures): DisplayBundle {
  const names = (Object.keys(figureDefinitions) as readonly NamedFigure[]).filter(
    (name) => figures[name] !== undefined,
  );
  const values = names.map((name) => figureText(name, figures[name] as number));
  const at = quantity(fixed(figures.retentionTime, 3), "min");
  const words = names.map((name) => figureDefinitions[name]);
  const drawn = columnTable([
    { title: "figure", cells: { words: words.map(({ name }) => name) } },
    { title: "value", cells: { numbers: values } },
    { title: "unit", cells: { words: words.map(({ unit }) => unit) } },
    { title: "formula", cells: { prose: words.map(({ formula }) => formula) } },
    { title: "defined by", cells: { prose: words.map(({ standard }) => standard) } },
    { title: "valid for", cells: { prose: words.map(({ valid }) => valid) } },
  ]);
  return {
    "text/plain": String(figures),
    "text/html": htmlBlock(html`<p><strong>Peak at ${at}</strong></p>
${drawn}
${tailWords(figures)}
${remarks(figures)}
<p class="note">t apex, A and B the parts of the width before and after it, M₁ and M₂ mean and variance. ${figures.gradient ? "Gradient: plates and k are apparent, no property of the column." : "In a gradient plates and k are apparent."}</p>`),
  };
}

/** Plates as whole numbers, anything else with three figures. */
function figureText(name: NamedFigure, value: number): string {
  return name.startsWith("plate") && Number.isFinite(value) ? fixed(value, 0) : significant(value, 3);
}

/** Why figures are missing, each reason once, and what else a reader should know. */
function remarks({ missing, warnings }: PeakFigures) {
  const reasons = new Map<string, string[]>();
  for (const [name, reason] of Object.entries(missing)) {
    const named = figureDefinitions[name as FigureName].name;
    reasons.set(reason, [...(reasons.get(reason) ?? []), named]);
  }
  const lines = [...warnings, ...[...reasons].map(([reason, names]) => `${names.join(", ")}: ${reason}`)];
  return lines.length === 0
    ? undefined
    : html`<ul>${lines.map((line) => html`<li>${typesetSentence(line)}</li>`)}</ul>`;
}

function tailWords({ plateNumber, plateNumberFoleyDorsey, asymmetry }: PeakFigures) {
  const excess = plateNumber / plateNumberFoleyDorsey - 1;
  if (!(excess > DISAGREE)) return undefined;
  return html`<p>The peak tails (B/A ${fixed(asymmetry, 2)}): the half-height plates flatter it by ${quantity(fixed(100 * excess, 0), "%")} against Foley–Dorsey.</p>`;
}
