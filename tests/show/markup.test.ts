import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { anchorName, escapeHtml, html, joined, jsonForHtml, Markup } from "../../toolkit/show/text/markup.js";

const seeds = { seed: 1, numRuns: 300 };

describe("texts on a page", () => {
  it("never carry a character that could open or end an element or an attribute", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), (text) => {
        expect(escapeHtml(text)).not.toMatch(/[<>"']/);
        expect(html`<p title="${text}">${text}</p>`.text.match(/[<>]/g)).toHaveLength(4);
      }),
      seeds,
    );
  });

  it("come back unchanged when the five entities are read again", () => {
    const names: Record<string, string> = { amp: "&", lt: "<", gt: ">", quot: '"', "#39": "'" };
    fc.assert(
      fc.property(fc.string(), (text) => {
        const read = escapeHtml(text).replace(/&(amp|lt|gt|quot|#39);/g, (_, name: string) => names[name]);
        expect(read).toBe(text);
      }),
      seeds,
    );
  });

  it("are escaped once: what another template made goes in as it is", () => {
    const inner = html`<b>${"a & b"}</b>`;
    expect(html`<p>${inner}${[inner, "<"]}</p>`.text).toBe("<p><b>a &amp; b</b><b>a &amp; b</b>&lt;</p>");
    expect(html`${undefined}${false}${0}`.text).toBe("0");
    expect(html`${joined(["a", new Markup("<i>")], ", ")}`.text).toBe("a, <i>");
  });
});

describe("data inside a script element", () => {
  it("cannot end it, and parse to what they were", () => {
    const hostile = { name: "</script><script>alert(1)</script><!--", separator: "\u2028\u2029", n: 1.5 };
    const text = jsonForHtml(hostile);
    expect(text).not.toMatch(/[<>&\u2028\u2029]/);
    expect(JSON.parse(text)).toEqual(hostile);
  });
});

describe("names of places on a page", () => {
  it("differ for different texts and consist of safe characters", () => {
    fc.assert(
      fc.property(fc.string({ minLength: 1 }), fc.string({ minLength: 1 }), (a, b) => {
        expect(anchorName(a)).toMatch(/^[A-Za-z0-9_-]+$/);
        if (a !== b) expect(anchorName(a)).not.toBe(anchorName(b));
      }),
      seeds,
    );
  });
});
