import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { safeMarkup } from "../../toolkit/notebook/report/safe-markup.js";

const NOTHING = new Set<string>();
const clean = (markup: string): string => safeMarkup(markup, "p-", NOTHING).text;

describe("markup of unknown origin", () => {
  it.each([
    ["a script", "<script>steal()</script>"],
    ["a script that never ends", "<script>steal()"],
    ["a script in a drawing", "<svg><script>steal()</script></svg>"],
    ["a handler", '<p onclick="steal()">x</p>'],
    ["a handler without quotes", "<img src=x onerror=steal()>"],
    ["a handler on a drawing", '<svg onload="steal()"><g onclick="steal()"/></svg>'],
    ["a javascript: link", '<a href="javascript:steal()">x</a>'],
    ["a javascript: link in disguise", '<a href="&#106;ava\tscript:steal()">x</a>'],
    ["a javascript: link in a drawing", '<svg><a xlink:href="javascript:steal()"><text>x</text></a></svg>'],
    ["an embedded page", '<iframe srcdoc="<script>steal()</script>"></iframe>'],
    ["an object", '<object data="steal()"></object><embed src="steal()">'],
    ["foreign content", '<svg><foreignObject><body onload="steal()"></body></foreignObject></svg>'],
    ["an animation that sets a link", '<svg><set attributeName="href" to="javascript:steal()"/></svg>'],
    ["a style sheet", "<style>body{background:url(steal())}</style>"],
    ["a style that loads", '<p style="background:url(steal())">x</p>'],
    ["a style that covers the page", '<p style="position:fixed;inset:0;content:steal()">x</p>'],
    ["a form", '<form action="steal()"><input name=a></form>'],
    ["a comment that hides a tag", "<!-- --><!--><script>steal()</script>"],
    ["a base", '<base href="steal()">'],
    ["a meta refresh", '<meta http-equiv="refresh" content="0;url=steal()">'],
  ])("%s is left out", (_, markup) => {
    expect(clean(markup)).not.toMatch(/steal\(\)(?!&)|javascript:/);
  });

  it("what it says stays, tables and drawings too", () => {
    const table = '<table class="t"><tr><td colspan="2">a &lt; b &amp; c<td>&#8722;1</table>';
    expect(clean(table)).toBe(
      '<table class="t"><tr><td colspan="2">a &lt; b &amp; c</td><td>−1</td></tr></table>',
    );
    const drawing = '<svg viewBox="0 0 2 1"><linearGradient id="g"/><rect width="2" fill="url(#g)"/></svg>';
    expect(clean(drawing)).toBe(
      '<svg viewBox="0 0 2 1"><linearGradient id="p-g"/><rect width="2" fill="url(#p-g)"/></svg>',
    );
  });

  it("ids and the links to them get the same prefix, links to elsewhere in the page are dropped", () => {
    expect(clean('<p id="a">x</p><a href="#a">here</a><a href="#top">top</a>')).toBe(
      '<p id="p-a">x</p><a href="#p-a">here</a><a>top</a>',
    );
  });

  it("names what was left out, but not what the page has itself", () => {
    const known = new Set(["own()"]);
    expect(safeMarkup("<script>own()</script><style>p{}</style>", "p-", known).refused).toEqual(["style"]);
  });

  it("data of a trace whose colour is no plain word stay outside", () => {
    const block = (color: string): string =>
      `<figure class="ib-trace"><script type="application/json" class="ib-data">${JSON.stringify({ peaks: [{ color }] })}</script></figure>`;
    expect(clean(block("blue"))).toContain('"color":"blue"');
    expect(clean(block('x"><img src=y>'))).not.toContain("script");
  });

  it("every element that it opens is closed in its order, whatever it is given", () => {
    const names = ["div", "p", "table", "tr", "td", "li", "svg", "g", "path", "br", "b", "script", "x-y"];
    const piece = fc.oneof(
      fc.constantFrom(...names.flatMap((name) => [`<${name}>`, `</${name}>`, `<${name}/>`, `<${name} id=a`])),
      fc.constantFrom("<", ">", '"', "'", "<!--", "-->", "&lt;", "text", "</"),
    );
    fc.assert(
      fc.property(fc.array(piece, { maxLength: 25 }), (pieces) => {
        expect(unbalanced(clean(pieces.join("")))).toBe("");
      }),
      { seed: 1, numRuns: 500 },
    );
  });
});

/** The first tag that closes nothing or is never closed; empty for well-formed text. */
function unbalanced(markup: string): string {
  const open: string[] = [];
  for (const [tag, end, name] of markup.matchAll(/<(\/?)([a-zA-Z]+)(?:\s+[\w:-]+="[^"<>]*")*\s*\/?>/g)) {
    if (end === "" && (tag.endsWith("/>") || name === "br")) continue;
    if (end === "") open.push(name);
    else if (open.pop() !== name) return tag;
  }
  const stray = markup.replace(/<(\/?)([a-zA-Z]+)(?:\s+[\w:-]+="[^"<>]*")*\s*\/?>/g, "").match(/[<>]/);
  return stray ? "a stray bracket" : open.join(" ");
}
