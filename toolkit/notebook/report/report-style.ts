import { COLORS } from "../../show/color/ion-colors.js";

const CODE_STYLE = `.ionbook{--code:rgba(27,36,48,.04);--word:#0b5c8f;--text:#4c6a1f;--number:#93480c;--remark:#66717d}
@media screen and (prefers-color-scheme:dark){.ionbook{--code:rgba(230,232,234,.055);--word:#86c3ec;--text:#b3cf8a;--number:#ecb27c;--remark:#96a1ad}}
pre{margin:.7rem 0;font:.8rem/1.55 ui-monospace,Menlo,Consolas,monospace;overflow-x:auto;tab-size:2}
pre code{font:inherit;overflow-wrap:normal}
pre.code{background:var(--code);border-radius:.35rem;padding:.7rem .9rem;max-width:62rem}
.hljs-keyword,.hljs-built_in,.hljs-literal{color:var(--word)}
.hljs-keyword{font-weight:600}
.hljs-string,.hljs-regexp{color:var(--text)}
.hljs-number{color:var(--number)}
.hljs-comment{color:var(--remark);font-style:italic}
.hljs-subst{color:inherit}
.hljs-title{font-weight:600}`;

const FOLD_STYLE = `section>pre.code{max-width:62rem}
section>details.code[open],main>details.code[open]{max-width:62rem}
details.code{margin:1.1rem 0 .35rem}
details.code>summary,details.more>summary,details.files>summary{color:var(--soft);font-size:.8rem;line-height:1.4;padding:.2rem 0;list-style:none;display:flex;gap:.5rem;align-items:baseline}
details>summary::-webkit-details-marker{display:none}
details.code>summary::before,details.more>summary::before,details.files>summary::before{content:"+";flex:none;width:1ch;text-align:center;font-family:ui-monospace,Menlo,Consolas,monospace}
details[open].code>summary::before,details[open].more>summary::before,details[open].files>summary::before{content:"\\2212"}
details.code>summary:hover,details.more>summary:hover,details.files>summary:hover{color:var(--ink)}
details.code>summary{border-top:1px solid var(--hair)}
details.code .about{color:inherit;overflow:hidden;text-overflow:ellipsis;white-space:nowrap}
details.code .about::before,details.files .about::before{content:"\\00b7";padding-right:.5rem}
details.files>summary{font-size:.9rem;color:var(--ink);flex-wrap:wrap}
details.files .about{color:var(--soft)}
details.hash>summary{list-style:none;padding:0;color:inherit}
details.hash>code{display:block;max-width:34ch;white-space:normal}
button.quiet{font:inherit;font-size:.82rem;color:var(--soft);background:none;border:0;padding:.3rem 0;cursor:pointer;text-decoration:underline;text-decoration-color:var(--hair);text-underline-offset:.2em}
button.quiet:hover{color:var(--ink);text-decoration-color:currentColor}
button.quiet:focus-visible,.chart-stage:focus-visible,.chart-dialog>button:focus-visible{outline:2px solid var(--accent);outline-offset:2px}
nav.toc ol ol{padding-left:.9rem;font-size:.94em}
nav.toc a[aria-current]{color:var(--ink);font-weight:500}`;

const OUTPUT_STYLE = `.output{margin:1rem 0;max-width:41rem}
.output.wide{max-width:none}
.output.markup{overflow-x:auto}
.output.markup>.ionbook>p,.output.markup>.ionbook>ul,.output.markup>.ionbook>.answer,.output.markup>.ionbook>h3{max-width:41rem}
.output>.ionbook>:first-child{margin-top:0}
.output a:not([href]){color:inherit;text-decoration:none}
pre.plain{color:var(--ink);max-width:62rem;white-space:pre-wrap;overflow-wrap:anywhere}
pre.plain.columns{white-space:pre;overflow-wrap:normal}
.output .answer{font-size:1rem;border-left:1px solid var(--hair)}
.output>pre.plain{border-left:2px solid var(--hair);padding-left:.9rem}
details.more>pre.plain{border-left:2px solid var(--hair);padding-left:.9rem}
.output>pre.plain.said{border:0;padding:0;white-space:pre-wrap;overflow-wrap:anywhere}
.mark-word{color:var(--soft);font-size:.82rem;border:1px solid var(--hair);border-radius:.2rem;padding:.02rem .35rem;margin-right:.3rem}
.error{border-left:3px double var(--ink);padding-left:1rem}
.error p{margin:.3rem 0}
pre.at-line{margin:.3rem 0}
.line-number{color:var(--soft);padding-right:1.2em;user-select:none}
.recorded{font-size:.9rem;margin:.45rem 0;max-width:62rem}
.warning{border:1px solid var(--ink);border-radius:.3rem;padding:.45rem .9rem;font-size:.92rem}
.answer>:first-child{margin-top:.2rem}
.answer>:last-child{margin-bottom:.2rem}
.prose-table td,.prose-table th{white-space:normal}
.prose-table table{font-size:.9rem}
blockquote{margin:1rem 0;padding-left:1rem;border-left:2px solid var(--hair);color:var(--soft)}
hr{border:0;border-top:1px solid var(--hair);margin:2rem 0}
.picture{display:block;max-width:100%;height:auto;margin:1rem 0;border-radius:.2rem}
.refused{color:var(--soft);font-size:.9rem}
.katex-block{display:block;overflow-x:auto;overflow-y:hidden;padding:.2rem 0}
.katex{font-size:1.08em}
.opening-tools{margin:1.2rem 0 0}`;

const FIGURE_STYLE = `.chart-figure{margin:0}
.chart-stage{overflow-x:auto;max-width:100%;touch-action:pan-x pan-y;width:fit-content}
.chart-figure.zoomed .chart-stage{touch-action:none;cursor:grab}
.chart-room{width:var(--w);max-width:100%;min-width:min(var(--w),calc(var(--w)*.68))}
.chart-room>svg{display:block;width:100%;max-width:none;height:auto;user-select:none;-webkit-user-select:none}
.chart-figure.on-white .chart-room{background:#fff;color-scheme:light;border-radius:.2rem}
.chart-tools{opacity:.75;margin-top:.1rem}
.chart-figure:hover .chart-tools,.chart-figure:focus-within .chart-tools{opacity:1}
.chart-tools button[data-do=reset]{visibility:hidden}
.zoomed .chart-tools button[data-do=reset]{visibility:visible;color:var(--accent)}
.ionbook .chart-tools output{text-align:left}
.chart-dialog{width:min(96vw,110rem);max-width:none;max-height:96vh;border:1px solid var(--hair);border-radius:.4rem;background:var(--paper);color:var(--ink);padding:.6rem 1rem 1rem}
.chart-dialog::backdrop{background:rgba(20,24,29,.55)}
.chart-dialog>button{display:block;margin:0 0 .3rem auto;font:inherit;font-size:.85rem;color:var(--soft);background:none;border:0;padding:.3rem .2rem;cursor:pointer;text-decoration:underline}
.chart-dialog .chart-stage{width:100%;touch-action:none}
.chart-dialog .chart-room{width:100%;min-width:0}
.chart-dialog .chart-room>svg{max-height:84vh}`;

const PRINT_STYLE = `@media print{details.code:not([open]),.opening-tools,.chart-tools{display:none!important}pre{white-space:pre-wrap;overflow-wrap:anywhere}.chart-stage,.output.markup{overflow:visible}.chart-room{min-width:0}details.files:not([open]){break-inside:avoid}}`;

/** Style of a notebook's page, after that of every page. */
export function reportStyle(): string {
  return [CODE_STYLE, FOLD_STYLE, OUTPUT_STYLE, FIGURE_STYLE, darkChartStyle(), PRINT_STYLE].join("\n");
}

/** Charts are drawn with the texts' colours of the light ground; on the dark one they have their own. */
function darkChartStyle(): string {
  const rules = Object.values(COLORS).map(
    ({ onLight, onDark }) =>
      `.chart-room text[fill="${onLight}" i]{fill:${onDark}}.chart-room [stroke="${onLight}" i]{stroke:${onDark}}`,
  );
  return `@media screen and (prefers-color-scheme:dark){${rules.join("")}}`;
}
