/** Elements of HTML that an output may bring into the page; everything else is left out, its text stays. */
export const ALLOWED_HTML: ReadonlySet<string> = new Set(
  `a abbr article aside b bdi bdo big blockquote br button caption cite code col colgroup dd del details dfn div dl dt
  em figcaption figure footer h1 h2 h3 h4 h5 h6 header hr i img ins kbd li main mark ol output p pre q s samp section
  small span strong sub summary sup table tbody td tfoot th thead time tr tt u ul var wbr`.split(/\s+/),
);

/** Elements of SVG, in lower case → as they are written. */
export const ALLOWED_SVG: ReadonlyMap<string, string> = new Map(
  `svg g path rect circle ellipse line polyline polygon text tspan textPath defs clipPath linearGradient radialGradient
  stop title desc use symbol marker pattern mask image`
    .split(/\s+/)
    .map((name) => [name.toLowerCase(), name]),
);

export const VOID_ELEMENTS: ReadonlySet<string> = new Set(["br", "col", "hr", "img", "wbr"]);

/** Attributes that any element may have, besides aria-…; ids and links are treated apart. */
const COMMON = new Set(
  `class title lang dir role tabindex hidden style`
    .split(/\s+/)
    .concat(
      `colspan rowspan span scope headers start reversed value type datetime open alt width height`.split(
        /\s+/,
      ),
    ),
);

/** Attributes of drawings, in lower case → as they are written. */
const DRAWING: ReadonlyMap<string, string> = new Map(
  `viewBox preserveAspectRatio version width height x y x1 y1 x2 y2 dx dy cx cy r rx ry fx fy d points transform
  gradientTransform gradientUnits spreadMethod offset stop-color stop-opacity fill fill-opacity fill-rule stroke
  stroke-width stroke-opacity stroke-dasharray stroke-dashoffset stroke-linecap stroke-linejoin stroke-miterlimit
  opacity color font-family font-size font-style font-weight font-variant letter-spacing word-spacing text-anchor
  text-decoration dominant-baseline alignment-baseline baseline-shift rotate textLength lengthAdjust startOffset
  clip-path clip-rule clipPathUnits mask maskUnits maskContentUnits marker-start marker-mid marker-end markerWidth
  markerHeight markerUnits orient refX refY patternUnits patternContentUnits patternTransform pointer-events
  visibility display overflow vector-effect shape-rendering text-rendering paint-order mix-blend-mode`
    .split(/\s+/)
    .map((name) => [name.toLowerCase(), name]),
);

const STYLE_PROPERTIES = new Set(
  `color background-color background text-align vertical-align font-weight font-style font-size font-family
  font-variant-numeric text-decoration white-space width min-width max-width height padding padding-left padding-right
  padding-top padding-bottom border border-top border-bottom border-left border-right border-color border-collapse
  border-radius border-spacing margin margin-left margin-right margin-top margin-bottom display opacity line-height
  list-style fill stroke stroke-width stroke-opacity fill-opacity stroke-dasharray mix-blend-mode text-anchor --c --l`.split(
    /\s+/,
  ),
);

/** The name under which an attribute is written, or undefined where it is not allowed; `svg`: inside a drawing. */
export function allowedAttribute(name: string, svg: boolean): string | undefined {
  if (/^aria-[a-z]+$/.test(name) || COMMON.has(name)) return name;
  if (name === "data-do") return name;
  return svg ? DRAWING.get(name) : undefined;
}

/** The declarations of a style attribute that only change how the element itself looks, in its own place. */
export function allowedStyle(style: string): string {
  return style
    .split(";")
    .map((declaration) => {
      const [property, ...value] = declaration.split(":");
      return { property: property.trim().toLowerCase(), value: value.join(":").trim() };
    })
    .filter(({ property, value }) => STYLE_PROPERTIES.has(property) && isPlainValue(value))
    .map(({ property, value }) => `${property}:${value}`)
    .join(";");
}

/** No address, no escape, no function but those of colours, variables and lengths; nothing taken out of its place. */
function isPlainValue(value: string): boolean {
  if (!/^[\w\s.,%#()+\-"'/]*$/.test(value) || /\b(?:fixed|sticky|absolute)\b/i.test(value)) return false;
  return [...value.matchAll(/([\w-]*)\(/g)].every(([, name]) => /^(?:rgba?|hsla?|var|calc)$/i.test(name));
}
