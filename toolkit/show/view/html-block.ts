import { tableStyle } from "../page/table-style.js";
import { type Content, html, Markup } from "../text/markup.js";
import { INK_STYLE, traceStyle } from "../trace/trace-style.js";
import { zoomScript } from "../trace/zoom-script.js";

const BLOCK_STYLE = `.ionbook{background:var(--paper);color:var(--ink);font:14px/1.5 system-ui,-apple-system,"Segoe UI",sans-serif;font-variant-numeric:tabular-nums;padding:.6rem .9rem;border-radius:.2rem}
.ionbook p,.ionbook ul{margin:.5rem 0;max-width:46rem}
.ionbook .note,.ionbook small,.ionbook .soft{color:var(--soft)}
.ionbook h3{margin:.8rem 0 .3rem;font-size:1.05em}
.ionbook .wide{max-width:none}
.ionbook td.text,.ionbook th.text{overflow-wrap:anywhere}
.ionbook .many{display:flex;flex-wrap:wrap;gap:.4rem 1rem}
.ionbook .many>div{width:350px;max-width:100%}
.ionbook details{margin:.5rem 0}
.ionbook .unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.ionbook svg{max-width:100%;height:auto}
.ionbook .scroll>svg{max-width:max(100%,460px)}`;

/** A piece of HTML that may stand in any page: it brings its own style and, where its traces zoom, its own script. */
export function htmlBlock(body: Content, zooms = false): string {
  const style = [INK_STYLE, BLOCK_STYLE, tableStyle(), traceStyle()].join("\n");
  const script = zooms && html`<script>${new Markup(zoomScript())}</script>`;
  return html`<div class="ionbook"><style>${new Markup(style)}</style>${body}${script}</div>`.text;
}
