import type { DisplayBundle } from "../../display.js";
import type { LimitLadder, LimitRole, LimitRung } from "../../limits/ladder-types.js";
import { ladderChart } from "../chart/ladder-chart.js";
import { type Content, html } from "../text/markup.js";
import { limitText, quantity, significant } from "../text/numbers.js";
import { typeset } from "../text/typeset.js";
import { sentenceCase } from "../text/words.js";
import { blankWarnings } from "./blank-watch-view.js";
import { chartAmongWords } from "./chart-bundle.js";
import { columnTable } from "./column-table.js";
import { htmlBlock } from "./html-block.js";

/** All definitions side by side: as a plot, what could be computed as a table, what could not with what it lacks. */
export function limitLadderView(ladder: LimitLadder): DisplayBundle | Promise<DisplayBundle> {
  const spec = ladderChart(ladder);
  const text = String(ladder);
  if (spec === undefined)
    return { "text/plain": text, "text/html": htmlBlock(ladderBody(ladder, undefined)) };
  return chartAmongWords(text, spec, (chart) => ladderBody(ladder, chart));
}

function ladderBody(ladder: LimitLadder, chart: Content): Content {
  const there = ladder.rungs.filter((rung) => rung.value !== undefined);
  const missing = ladder.rungs.filter((rung) => rung.value === undefined);
  return html`<p><strong>${sentenceCase(heading(ladder))}</strong></p>
${inForceSentence(ladder)}
${ladder.watch && blankWarnings(ladder.watch)}
${chart && html`<div class="scroll">${chart}</div>`}
${there.length > 0 && computedTable(there, ladder.unit)}
${missing.length > 0 && missingTable(missing)}
${formulaTable(ladder.rungs)}
<p class="note">Limits are rounded up to two figures. Left open: what the standard deviation behind the detection limit, or the only limit, leaves open (95 %). Definitions on noise or standards see the instrument alone, those on blanks and spikes the procedure. “Not detected” is not “absent”.</p>`;
}

function heading({ ion, span }: LimitLadder): string {
  const of = ion === undefined ? "" : ` of ${ion}`;
  const wide =
    span === undefined ? "" : `: “the detection limit” spans ${significant(span, 2)}-fold by definition`;
  return `limits${of}${wide}`;
}

function inForceSentence({ inForce }: LimitLadder): Content {
  if (inForce === undefined) return html`<p>None is in force: nothing could be computed.</p>`;
  const { name, criticalValue, detectionLimit, quantificationLimit, unit, why } = inForce;
  const size = (value: number) => quantity(limitText(value), unit);
  return html`<p>In force: <strong>${name}</strong>. Critical value ${size(criticalValue)}, detection limit ${size(detectionLimit)}, quantification limit ${size(quantificationLimit)}. ${sentenceCase(why)}.</p>`;
}

function computedTable(rungs: readonly LimitRung[], unit: string): Content {
  const of = (...roles: readonly LimitRole[]) =>
    rungs.map((rung) => {
      const limit = rung.limits.find((each) => roles.includes(each.role));
      if (limit === undefined) return "";
      return limit.unit === unit ? limitText(limit.value) : quantity(limitText(limit.value), limit.unit);
    });
  const remarks = rungs.map(({ reasons, remark = "" }) => {
    const doubts = reasons.length === 0 ? "" : `Doubtful: ${reasons.join("; ")}. `;
    return typeset(`${doubts}${sentenceCase(remark)}`);
  });
  return columnTable([
    {
      title: "definition",
      cells: { words: rungs.map(({ name, inForce }) => (inForce ? `▸ ${name}` : name)) },
    },
    { title: "critical", unit, cells: { words: of("critical value") } },
    { title: "detection", unit, cells: { words: of("detection limit") } },
    { title: "left open", unit, cells: { words: rungs.map(intervalText) } },
    { title: "quantification", unit, cells: { words: of("quantification limit", "reporting limit") } },
    { title: "remark", cells: { prose: remarks } },
  ]);
}

/** What a reviewer asks for next, folded. */
function formulaTable(rungs: readonly LimitRung[]): Content {
  const table = columnTable([
    { title: "definition", cells: { words: rungs.map(({ name }) => name) } },
    { title: "formula", cells: { prose: rungs.map(({ formula }) => typeset(formula)) } },
    { title: "standard", cells: { prose: rungs.map(({ standard }) => standard) } },
    { title: "it needs", cells: { prose: rungs.map(({ needs }) => needs) } },
  ]);
  return html`<details><summary>Formulas, standards and requirements</summary>${table}</details>`;
}

function intervalText({ interval }: LimitRung): string {
  if (interval === undefined) return "";
  return `[${significant(interval.low, 2)}, ${significant(interval.high, 2)}]`;
}

function missingTable(rungs: readonly LimitRung[]): Content {
  const table = columnTable([
    { title: "not computed", cells: { words: rungs.map(({ name }) => name) } },
    { title: "because", cells: { prose: rungs.map(({ reasons }) => reasons.join("; ")) } },
  ]);
  return html`<p></p>${table}`;
}
