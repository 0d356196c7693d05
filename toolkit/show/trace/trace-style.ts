import { colorStyle } from "../color/color-style.js";
import { COLORS } from "../color/ion-colors.js";

/** Ground, ink and accent, light and dark, as custom properties of whatever wears the class `ionbook`. */
export const INK_STYLE = `.ionbook{--paper:#fdfcf8;--ink:#1b2430;--soft:#5d6875;--hair:#dcdfe2;--accent:#0072b2;--wash:rgba(27,36,48,.05);color-scheme:light}
@media screen and (prefers-color-scheme:dark){.ionbook{--paper:#14181d;--ink:#e6e8ea;--soft:#9aa5b1;--hair:#343c46;--accent:#6db9e8;--wash:rgba(230,232,234,.06);color-scheme:dark}}`;

/** How the parts of a drawn trace look. Lines are in tenths of a pixel inside the scaled group. */
const DRAWING_STYLE = `.ib-svg{display:block;max-width:100%;height:auto;font:11px system-ui,-apple-system,"Segoe UI",sans-serif;font-variant-numeric:tabular-nums}
.ib-svg path{fill:none;stroke-linejoin:round}
.ib-svg .ib-line{stroke:var(--ink);stroke-width:10}
.ib-svg .ib-base{stroke:var(--soft);stroke-width:9;stroke-dasharray:26 26}
.ib-svg .ib-fill{fill:var(--c);fill-opacity:.34}
.ib-svg .ib-edge{stroke:var(--c);stroke-width:7;stroke-opacity:.8}
.ib-svg .ib-refused{fill-opacity:.08;stroke:var(--c);stroke-width:9;stroke-dasharray:30 22}
.ib-svg .ib-sum{stroke:var(--accent);stroke-width:13;stroke-dasharray:45 45}
.ib-svg .ib-rest{stroke:var(--ink);stroke-width:7}
.ib-svg .ib-grid{stroke:var(--hair)}
.ib-svg .ib-axis{stroke:var(--soft);stroke-opacity:.55}
.ib-svg .ib-lead{stroke:var(--l);stroke-opacity:.55;stroke-width:.8}
.ib-outside{fill:var(--wash)}
.ib-tick,.ib-name{fill:var(--soft)}
.ib-label{fill:var(--l)}`;

const FIGURE_STYLE = `.ib-trace{margin:2rem 0;position:relative;max-width:62rem}
.ib-trace figcaption{margin:0 0 .2rem;font-size:.95rem;color:var(--ink)}
.ib-trace figcaption small{color:var(--soft);font-size:.85em}
.ib-plot{position:relative;touch-action:pan-y;cursor:crosshair;min-height:22rem;-webkit-user-select:none;user-select:none}
.ib-plot:focus-visible{outline:2px solid var(--accent);outline-offset:2px}
.ib-box{position:absolute;border:1px solid var(--accent);background:var(--accent);background:color-mix(in srgb,var(--accent) 14%,transparent);pointer-events:none}
.ib-tools{display:flex;flex-wrap:wrap;gap:0 .9rem;align-items:baseline;font-size:.78rem;color:var(--soft)}
.ib-tools button{font:inherit;color:inherit;background:none;border:0;padding:.2rem 0;cursor:pointer;text-decoration:underline;text-decoration-color:var(--hair);text-underline-offset:.2em}
.ib-tools button:hover{color:var(--ink);text-decoration-color:currentColor}
.ib-tools button:focus-visible{outline:2px solid var(--accent);outline-offset:2px}
.ib-zoomed .ib-tools button[data-do=reset]{color:var(--accent)}
.ib-tools output{flex:1 1 18rem;text-align:right;font-variant-numeric:tabular-nums;min-height:1.3em}
@media (pointer:coarse){.ib-tools button{padding:.55rem 0}}
@media print{.ib-tools{display:none}.ib-trace{break-inside:avoid}.ib-plot{min-height:0}}`;

/** Style of the trace figures, once for a page. */
export function traceStyle(): string {
  return `${DRAWING_STYLE}\n${FIGURE_STYLE}\n${colorStyle()}`;
}

/** Style for one drawing that stands alone as a picture: light ground only, nothing outside needed. */
export function standaloneStyle(): string {
  const light = INK_STYLE.slice(0, INK_STYLE.indexOf("\n"));
  return `${light.replace(".ionbook", ".ib-svg")}\n${DRAWING_STYLE}\n${colorStyle().replace(/@media.*$/s, "")}`;
}

/**
 * The same with every colour written out, for a drawer that knows no custom properties: what depends on an ion's colour
 * becomes one rule for each colour.
 */
export function literalStyle(): string {
  const ink = new Map(
    [...standaloneStyle().matchAll(/--(\w+):(#[0-9a-f]{6})/gi)].map(([, name, value]) => [name, value]),
  );
  const fixed = (rule: string): string =>
    rule
      // Such drawers do not read the short form; their typeface is a tenth wider than those that labels are placed for.
      .replace(/font:\d+px ([^;}]*)/, "font-size:10px;font-family:$1")
      .replace("fill:var(--wash)", "fill:var(--ink);fill-opacity:.05")
      .replace(/var\(--(paper|ink|soft|hair|accent)\)/g, (_, name: string) => ink.get(name) ?? "#000000");
  const rules = [...DRAWING_STYLE.matchAll(/([^{}]+)\{([^{}]*)\}/g)].map(([, selector, body]) => [
    selector.trim(),
    fixed(body),
  ]);
  return rules
    .flatMap(([selector, body]) =>
      /var\(--[cl]\)/.test(body) ? perColor(selector, body) : [`${selector}{${body}}`],
    )
    .filter((rule) => !rule.includes("var("))
    .join("\n");
}

function perColor(selector: string, body: string): readonly string[] {
  const part = selector.replace(/^\.ib-svg\s+/, "");
  return Object.entries(COLORS).map(([name, { fill, onLight }]) => {
    const colored = body.replaceAll("var(--c)", fill).replaceAll("var(--l)", onLight);
    return `.ib-${name}${part},.ib-${name} ${part}{${colored}}`;
  });
}
