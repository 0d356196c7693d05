import type { DisplayBundle } from "../../display.js";
import type { PeakCountChoice } from "../../peaks/fitting/choose-peak-count.js";
import { traceAnchor } from "../page/anchors.js";
import { type Content, html } from "../text/markup.js";
import { fixed, significant } from "../text/numbers.js";
import { typeset } from "../text/typeset.js";
import { counted } from "../text/words.js";
import { readFit } from "../trace/read-fit.js";
import { columnTable } from "./column-table.js";
import { drawnBundle } from "./drawn-bundle.js";
import { howItEnded } from "./fit-words.js";
import { fitBody } from "./fitted-peaks-view.js";

/** The chosen fit with its picture, and above its tables why it has so many peaks. */
export function peakCountView(choice: PeakCountChoice): Promise<DisplayBundle> {
  const { chosen } = choice;
  const title = `${counted(chosen.peaks.length, "peak")} chosen in ${chosen.chromatogram.id}`;
  const lines = choice.candidates.map(
    ({ peaks, bic, reason }) => `${peaks}: BIC ${fixed(bic, 1)}, ${typeset(reason)}`,
  );
  return drawnBundle(readFit(chosen), {
    text: [title, ...lines].join("\n"),
    id: traceAnchor(`${chosen.chromatogram.id} count ${chosen.from}`),
    caption: html`<strong>${title}</strong>`,
    description: `${title}. ${howItEnded(chosen)}`,
    body: html`${candidateTable(choice)}${fitBody(chosen)}`,
  });
}

function candidateTable({ candidates }: PeakCountChoice): Content {
  const drawn = columnTable([
    { title: "peaks", cells: { words: candidates.map(({ peaks }) => String(peaks)) } },
    { title: "BIC", cells: { numbers: candidates.map(({ bic }) => fixed(bic, 1)) } },
    { title: "sum of squares", cells: { numbers: candidates.map(({ rss }) => significant(rss, 3)) } },
    {
      title: "independent samples",
      cells: { numbers: candidates.map(({ nEffective }) => fixed(nEffective, 0)) },
    },
    {
      title: "verdict",
      cells: {
        prose: candidates.map(
          ({ accepted, reason }) => `${accepted ? "accepted" : "refused"}: ${typeset(reason)}`,
        ),
      },
    },
  ]);
  return html`${drawn}
<p class="note">BIC counts independent samples, not readings. One more peak must lower it by more than 6, hold an area above three times its u, and stand at least half a σ apart.</p>`;
}
