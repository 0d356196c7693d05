import { INK_STYLE, traceStyle } from "../trace/trace-style.js";
import { tableStyle } from "./table-style.js";

const TEXT_STYLE = `*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;scroll-padding-top:1rem}
@media (prefers-reduced-motion:no-preference){html{scroll-behavior:smooth}}
body{margin:0;background:var(--paper);color:var(--ink);font:17px/1.55 system-ui,-apple-system,"Segoe UI",Roboto,sans-serif;font-variant-numeric:tabular-nums;overflow-wrap:break-word}
main{padding:2.2rem 1.25rem 5rem;max-width:74rem;margin:0 auto}
main>*,section>*,header>*{max-width:41rem}
main>section,.wide{max-width:none}
section>.ib-trace{max-width:62rem}
h1{font-size:2.15rem;line-height:1.16;margin:.3rem 0 1.1rem;letter-spacing:-.012em;text-wrap:balance}
h2{font-size:1.4rem;line-height:1.25;margin:3.4rem 0 .8rem;text-wrap:balance}
h3{font-size:1.06rem;margin:2rem 0 .5rem}
p,ul,ol{margin:.7rem 0}
li{margin:.35rem 0}
a{color:var(--accent);text-decoration-thickness:1px;text-underline-offset:.18em}
a:focus-visible,summary:focus-visible{outline:2px solid var(--accent);outline-offset:2px}
small,.soft{color:var(--soft)}
code{font:.86em ui-monospace,Menlo,Consolas,monospace;overflow-wrap:anywhere}
.kicker{color:var(--soft);font-size:.88rem;margin:0}
.answer{border-left:3px solid var(--accent);padding:.1rem 0 .1rem 1.1rem;font-size:1.16rem;line-height:1.5;margin:1.2rem 0 1.8rem}
.invented{border:1px dashed var(--soft);border-radius:.3rem;padding:.45rem .9rem;font-size:.92rem}
.note{color:var(--soft);font-size:.9rem;line-height:1.5}
details>summary{cursor:pointer;padding:.35rem 0;color:var(--accent)}
.caution{color:var(--soft);font-size:.86rem;border-top:1px solid var(--hair);margin-top:4rem;padding-top:1rem}
.unseen{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.narrow{display:none}
@media screen and (max-width:44rem){body{font-size:16px}main{padding:1.3rem 1rem 4rem}h1{font-size:1.65rem}.broad{display:none}.narrow{display:block}}`;

const CONTENTS_STYLE = `nav.toc{display:none}
@media screen and (min-width:90rem){
.with-toc{display:grid;grid-template-columns:13rem minmax(0,1fr);max-width:90rem;margin:0 auto}
.with-toc main{margin:0}
nav.toc{display:block;position:sticky;top:0;align-self:start;max-height:100vh;overflow:auto;padding:3rem .5rem 2rem 1.6rem;font-size:.86rem;line-height:1.4}
nav.toc ol{list-style:none;margin:0;padding:0}
nav.toc li{margin:.5rem 0}
nav.toc a{color:var(--soft);text-decoration:none}
nav.toc a:hover{color:var(--ink)}
}`;

const CHART_STYLE = `.charts{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(19.4rem,100%),1fr));gap:2.2rem 1.3rem;margin:1.4rem 0}
.charts h3{margin:0 0 .5rem;color:var(--l);font-weight:500}
.charts figure,.chart{margin:0;max-width:none}
.charts figcaption{font-size:.86rem;line-height:1.45;color:var(--soft)}
.charts figcaption b{color:var(--ink);font-weight:500}
.chart svg,.charts svg{display:block;max-width:100%;height:auto}
@media screen and (prefers-color-scheme:dark){.chart path[fill-opacity="0.72"]{fill-opacity:.45}}`;

const PRINT_STYLE = `@media print{body{font-size:10.5pt;background:#fff}main{padding:0;max-width:none}h2{margin-top:1.6rem;break-after:avoid}tr,figure{break-inside:avoid}a{color:inherit}.scroll{overflow:visible}.ionbook table{font-size:6.6pt}.ionbook th,.ionbook td{padding:.15rem .25rem}.charts{grid-template-columns:1fr 1fr}}`;

/** The style of every page, as one text. */
export function pageStyle(): string {
  return [INK_STYLE, TEXT_STYLE, tableStyle(), CONTENTS_STYLE, CHART_STYLE, traceStyle(), PRINT_STYLE].join(
    "\n",
  );
}
