import type { DisplayBundle } from "../../display.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { type BoundedFigure, boundedText } from "../../water/ratios/bounded.js";
import type { SeaSalt } from "../../water/ratios/sea-salt.js";
import type { JudgedRange, WaterFigure, WaterFigures } from "../../water/ratios/water-figures.js";
import { ionFormula } from "../text/ion-names.js";
import { type Content, html } from "../text/markup.js";
import { measuredText } from "../text/measured-text.js";
import { typeset } from "../text/typeset.js";
import { columnTable } from "./column-table.js";
import { htmlBlock } from "./html-block.js";

/** Figures with what they are held against, then each ion beside sea salt. */
export function waterFiguresView(found: WaterFigures): DisplayBundle {
  const { figures, seaSalt, flags } = found;
  const missed = figures.filter(({ ranges }) => ranges.some(isMissed));
  const verdict =
    missed.length === 0
      ? ""
      : html`<p><strong>Outside its limits: ${missed.map(({ name }) => name).join(", ")}.</strong></p>`;
  const body = html`${verdict}
${columnTable([
  { title: "figure", cells: { words: figures.map(({ name }) => typesetFigure(name)) } },
  { title: "value", cells: { words: figures.map(figureText) } },
  { title: "held against", cells: { prose: figures.map(({ ranges }) => ranges.map(rangeText).join("; ")) } },
])}
${seaSalt !== undefined && seaSalt.parts.length > 0 && seaSaltTable(seaSalt)}
${flags.includes("no-alkalinity") && html`<p class="note">No alkalinity was given: the computed dissolved solids lack it and are too low.</p>`}
<p class="note">≤ and ≥: a term lies below a limit. Ranges of origin are what such waters were found to have, no proof of an origin.</p>`;
  return { "text/plain": String(found), "text/html": htmlBlock(body) };
}

function seaSaltTable({ reference, parts, source }: SeaSalt): Content {
  const text = (figure: BoundedFigure | undefined): string =>
    figure === undefined ? "" : boundedText(figure, (value) => measuredText(value, ""));
  return html`<h3>Beside sea salt, by ${reference}</h3>
${columnTable([
  { title: "ion", cells: { words: parts.map(({ ion }) => ion) } },
  { title: "enrichment", cells: { words: parts.map(({ enrichment }) => text(enrichment)) } },
  {
    title: "not of sea salt",
    unit: "mg/L",
    cells: { words: parts.map(({ nonSeaSalt }) => text(nonSeaSalt)) },
  },
  { title: "share", unit: "%", cells: { words: parts.map(({ share }) => text(share)) } },
])}
<p class="note">Enrichment: mass ratio to ${ionFormula(reference) ?? reference} over that of sea water; ${source}.</p>`;
}

function figureText(figure: WaterFigure): string {
  return boundedText(figure, (value: MeasuredValue) => measuredText(value));
}

/** Ions in names of ratios as they are printed. */
function typesetFigure(name: string): string {
  return name.replace("NO3", "NO₃").replace("SO4", "SO₄").replace("HCO3", "HCO₃");
}

function isMissed({ role, inside }: JudgedRange): boolean {
  return role === "criterion" && inside === false;
}

function rangeText(range: JudgedRange): string {
  const { low, high, inside, role, meaning } = range;
  const span = low === high ? String(low) : `${low} to ${high}`;
  if (role === "origin") return typeset(inside ? `${meaning} ${span} (so it is here)` : `${meaning} ${span}`);
  return typeset(`${span}: ${inside === undefined ? "open" : inside ? "met" : "missed"}`);
}
