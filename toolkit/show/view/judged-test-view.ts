import type { JudgedTest } from "../../calibration/judged-test.js";
import type { DisplayBundle } from "../../display.js";
import { html } from "../text/markup.js";
import { significant, trimmed } from "../text/numbers.js";
import { typesetSentence } from "../text/typeset.js";
import { sentenceCase } from "../text/words.js";
import { columnTable } from "./column-table.js";
import { htmlBlock } from "./html-block.js";

/** One test: what follows first, then what was found against what, and where the rule is written. */
export function judgedTestView(judged: JudgedTest): DisplayBundle {
  const { test, statistic, critical, p, passed, verdict, source } = judged;
  const chance = p === undefined ? "" : p < 0.001 ? "< 0.001" : significant(p, 2);
  const drawn = columnTable([
    { title: "test", cells: { words: [test] } },
    { title: "found", cells: { numbers: [trimmed(statistic, 3)] } },
    { title: "limit", cells: { words: [critical === undefined ? "" : trimmed(critical, 3)] } },
    { title: "p", cells: { words: [chance] } },
    { title: "", cells: { words: [passed ? "met" : "missed"] } },
  ]);
  return {
    "text/plain": String(judged),
    "text/html": htmlBlock(html`<p><strong>${typesetSentence(verdict)}</strong></p>
${drawn}
<p class="note">${sentenceCase(source)}.</p>`),
  };
}
