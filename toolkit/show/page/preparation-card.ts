import { cardSteps, keepingOf, otherForm, weighingNote } from "../../standards/card-text.js";
import { ALWAYS } from "../../standards/cautions.js";
import type { PreparedSolution } from "../../standards/dilution.js";
import type { StandardsPreparation } from "../../standards/types.js";
import type { MeasuredValue } from "../../uncertainty/measured.js";
import { ionFormula } from "../text/ion-names.js";
import { type Content, html } from "../text/markup.js";
import { roundedMeasured } from "../text/measured-text.js";
import { decimalsFor, fixed, significant } from "../text/numbers.js";
import { sentenceCase } from "../text/words.js";

/** Style of the card, in a notebook, on a page and on paper: ink on white, boxes to tick, lines to write on. */
export const CARD_STYLE = `.ionbook .card{max-width:50rem;font-size:14px;line-height:1.4}
.ionbook .card h1{font-size:1.5em;margin:0 0 .1em}
.ionbook .card h2{font-size:1em;margin:1.2em 0 .3em;letter-spacing:.01em}
.ionbook .card p{margin:.2em 0}
.ionbook .card .top{display:flex;justify-content:space-between;align-items:baseline;gap:1rem;border-bottom:2px solid var(--ink);padding-bottom:.3em}
.ionbook .card .mind{border:1.5px solid var(--ink);border-radius:.25rem;padding:.45em .8em;margin:.8em 0}
.ionbook .card .mind ul{margin:.2em 0;padding-left:1.1em;max-width:none}
.ionbook .card .mind li{margin:.1em 0}
.ionbook .card table{font-size:.9em;width:100%;color:inherit}
.ionbook .card .steps td,.ionbook .card .steps th{white-space:normal;vertical-align:top}
.ionbook .card .steps th,.ionbook .card .steps .flask{white-space:nowrap}
.ionbook .card tbody th{background:none;position:static}
.ionbook .card tbody tr+tr>*{border-top:1px solid var(--hair)}
.ionbook .card .box{display:inline-block;width:.85em;height:.85em;border:1.2px solid var(--ink);vertical-align:-.08em}
.ionbook .card td small{display:block}
.ionbook .card .sign{display:grid;grid-template-columns:repeat(3,1fr);gap:1.5em 1.4em;margin-top:2.2em}
.ionbook .card .sign div{border-top:1px solid var(--soft);padding-top:.15em;color:var(--soft);font-size:.85em}
@media print{.ionbook .card{max-width:none;font-size:8.2pt;line-height:1.28}.ionbook .card table{font-size:7.6pt;line-height:1.22}.ionbook .card .scroll{margin:.1em 0}.ionbook .card tr{break-inside:avoid}.ionbook .card th,.ionbook .card td{padding:.07rem .22rem}.ionbook .card h2{margin:.7em 0 .1em}.ionbook .card .mind{padding:.25em .7em;margin:.5em 0}.ionbook .card .sign{break-inside:avoid;gap:1.9em 1.4em}}`;

/** The card by which standards are prepared: what to mind, stocks, steps, contents with u, and lines to sign. */
export function preparationCard(preparation: StandardsPreparation): Content {
  const { title, solutions, temperatureHalfWidth } = preparation;
  return html`<div class="card">
<div class="top"><h1>${title}</h1><small>preparation card · volumes at 20 °C, room within ± ${temperatureHalfWidth} °C</small></div>
${mind(preparation)}
<h2>Stocks</h2>
${stockTable(preparation)}
<h2>Steps</h2>
${stepTable(preparation)}
${solutions.length > 0 && html`<h2>Contents / (mg/L)</h2>`}
${solutions.length > 0 && contentTable(preparation)}
<p><small>u: standard uncertainty of the content, from certificates or weighing, glassware and temperature. Levels share stocks, mixtures and pipettes; that covariance goes with them into the calibration.</small></p>
<div class="sign">${["prepared by", "date and time", "balance and pipettes no.", "lots and expiry of the stocks", "water / (µS/cm)", "checked by"].map((line) => html`<div>${line}</div>`)}</div>
</div>`;
}

function mind({ cautions }: StandardsPreparation): Content {
  const lines = cautions.map(
    ({ about, text }) => html`<li><strong>${printed(about)}</strong>: ${text}</li>\n`,
  );
  return html`<div class="mind"><strong>Mind.</strong> ${ALWAYS}${lines.length > 0 && html`<ul>${lines}</ul>`}</div>`;
}

function stockTable({ stocks, ions }: StandardsPreparation): Content {
  const rows = stocks.flatMap(({ name, salt, stock, ions: held }) =>
    [...held]
      .filter(([of]) => ions.includes(of))
      .map(([of, content], at) => {
        const formula = salt === undefined ? "" : printed(salt.formula);
        const origin =
          "mass" in stock ? formula : ["certificate", formula].filter((each) => each !== "").join(", ");
        const pair = roundedMeasured(content);
        return html`<tr><th scope="row">${at === 0 && name}</th><td>${at === 0 && origin}</td><td>${nameOf(of)}</td><td class="num">${pair.value} ± ${pair.uncertainty}</td><td class="num">${uText(content)}</td><td>${otherForm(of, content.value)}</td></tr>\n`;
      }),
  );
  return html`<div class="scroll"><table><thead><tr><th>stock</th><th>from</th><th>ion</th><th class="num">content / (mg/L)</th><th class="num">u</th><th>the same as</th></tr></thead><tbody>${rows}</tbody></table></div>`;
}

function stepTable(preparation: StandardsPreparation): Content {
  const steps = cardSteps(preparation);
  const rows = steps.map(
    ({ makes, flask, words, filling, byMass, aliquots }, i) =>
      html`<tr><td><span class="box"></span></td><th scope="row">${i + 1}. ${makes}</th><td class="flask">${flask}</td><td>${
        aliquots.length > 0
          ? aliquots.map(
              ({ amount, from, pipette }) =>
                html`<div><strong>${amount}</strong> ${from} <span class="soft">· ${pipette}</span></div>`,
            )
          : printed(words)
      }${byMass && html`<div>${sentenceCase(filling)}</div>`}${aliquots.length > 0 && words !== "" && html`<div>${words}</div>`}</td></tr>\n`,
  );
  const fill =
    "Every flask: aliquots in, water to two thirds, mix, let it come to the room, fill to the mark, mix ten times.";
  return html`<div class="scroll steps"><table><thead><tr><th></th><th>makes</th><th>flask</th><th>take</th></tr></thead><tbody>${rows}</tbody></table></div><p><small>${fill} ${weighingNote(preparation)}</small></p>`;
}

function contentTable({ solutions, levels, ions }: StandardsPreparation): Content {
  const shown = ions.filter((of) => solutions.some((solution) => solution.ions.has(of)));
  const inOrder = [...solutions.filter((each) => !levels.includes(each)), ...levels];
  const heads = shown.map((of) => html`<th class="num">${nameOf(of)}</th>`);
  const rows = inOrder.map(
    (solution) =>
      html`<tr><th scope="row">${solution.name}</th>${shown.map((of) => cell(solution, of))}<td class="text">${sentenceCase(keepingOf(solution, ions))}</td></tr>\n`,
  );
  return html`<div class="scroll"><table><thead><tr><th>solution</th>${heads}<th>keeps</th></tr></thead><tbody>${rows}</tbody></table></div>`;
}

function cell({ ions }: PreparedSolution, of: string): Content {
  const content = ions.get(of);
  if (content === undefined) return html`<td></td>`;
  const pair = roundedMeasured(content);
  return html`<td class="num">${pair.value}<small>u ${uText(content)}</small></td>`;
}

/** u to two digits, never in powers of ten beside its value. */
function uText({ u }: MeasuredValue): string {
  return u > 0 && u < 1e-4 ? fixed(u, Math.max(0, decimalsFor(u, 2))) : significant(u, 2);
}

function nameOf(of: string): Content {
  return html`${of} <span class="soft">${ionFormula(of)}</span>`;
}

/** Formulas with their counts lowered: "NaNO₃". */
function printed(formula: string): string {
  return formula.replace(/(?<=[A-Z][a-z]?|\))\d+(?![\w-])|(?<=[A-Z][a-z]?|\))\d+(?=[A-Z(·])/g, (digits) =>
    [...digits].map((digit) => "₀₁₂₃₄₅₆₇₈₉"[Number(digit)]).join(""),
  );
}
