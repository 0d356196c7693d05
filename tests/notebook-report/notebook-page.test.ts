import { createHash } from "node:crypto";
import { beforeAll, describe, expect, it } from "vitest";
import type { NotebookDocument } from "../../toolkit/notebook/document.js";
import { notebookOpening } from "../../toolkit/notebook/report/notebook-opening.js";
import { notebookPage } from "../../toolkit/notebook/report/notebook-page.js";
import { code, evidenceOf, notebook, printed, sampleNotebook, shown, text } from "./sample-notebook.js";

const FILE = "does-it-balance.ipynb";

function pageOf(document: NotebookDocument, files = 3): Promise<string> {
  return notebookPage(document, { fileName: FILE, evidence: evidenceOf(document, files) });
}

/** The part of a page between two texts, without tags. */
function wordsBetween(page: string, from: string, to: string): string {
  const start = page.indexOf(from);
  expect(start, from).toBeGreaterThanOrEqual(0);
  const end = page.indexOf(to, start);
  expect(end, to).toBeGreaterThan(start);
  return page.slice(start, end).replace(/<[^>]*>/g, "");
}

describe("the page of an executed notebook", () => {
  let document: NotebookDocument;
  let page: string;
  beforeAll(async () => {
    document = await sampleNotebook();
    page = await pageOf(document);
  }, 30_000);

  it("begins with title, lead and the answer, which stands nowhere else", () => {
    const first = page.slice(page.indexOf("<main>"), page.indexOf("<section"));
    const order = [
      "Does it balance?",
      "Invented demonstration data",
      "The first paragraph",
      "<strong>It does</strong>",
      "A second one",
    ];
    const places = order.map((words) => first.indexOf(words));
    expect(places).not.toContain(-1);
    expect(places).toEqual([...places].sort((a, b) => a - b));
    expect(page.split("<strong>It does</strong>")).toHaveLength(2);
  });

  it("keeps the order of the cells", () => {
    const places = [...page.matchAll(/id="cell-(\d+)"/g)].map((match) => Number(match[1]));
    expect(places.length).toBeGreaterThan(8);
    expect(places).toEqual([...places].sort((a, b) => a - b));
  });

  it("no id stands twice, and every link inside the page leads to one", () => {
    const ids = [...page.matchAll(/\sid="([^"]*)"/g)].map((match) => match[1]);
    expect(new Set(ids).size).toBe(ids.length);
    const links = [...page.matchAll(/\shref="#([^"]*)"/g)].map((match) => match[1]);
    expect(links.length).toBeGreaterThan(4);
    expect(links.filter((link) => !ids.includes(link))).toEqual([]);
    expect(links).toContain("the-data");
  });

  it("the contents list holds headings of the second and third level and the evidence", () => {
    const list = wordsBetween(page, "<nav", "</nav>");
    for (const heading of [
      "The data",
      "One trace",
      "What it rests on in the laboratory",
      "What this rests on",
    ])
      expect(list).toContain(heading);
  });

  it("carries the style of a block and the script of the traces once, however many blocks there are", () => {
    expect(page.match(/<style>/g)).toHaveLength(1);
    expect(page.match(/<script>/g)).toHaveLength(2);
    expect(page.match(/class="ib-data"/g)).toHaveLength(2);
  });

  it("folds code under its first comment, and opens the code of a cell that failed", () => {
    expect(page).toMatch(
      /<details class="code"><summary>code<span class="about">Read both channels<\/span><\/summary>/,
    );
    expect(page).toContain('<span class="hljs-keyword">const</span>');
    expect(page.match(/<details class="code" open>/g)).toHaveLength(1);
    expect(wordsBetween(page, 'class="output error"', "</section>")).toMatch(
      /Error\s+weighting needs levels above zero\s+At line 2:\s*2fail\(a\);/,
    );
  });

  it("streams lose their terminal colours; a long one is folded behind its first lines", () => {
    expect(page).not.toContain("\u001b");
    expect(page).toContain("<summary>25 more lines</summary>");
    expect(page).toMatch(/messages<\/span><pre class="plain">look at this/);
  });

  it("a recorded result is a line, and stands in the table of the evidence", () => {
    expect(page).toMatch(/<p class="recorded">.*chloride: <strong>12\.40\u202fmg\/L, u/);
    expect(wordsBetween(page, 'id="evidence-recorded"', "</table>")).toContain("may differ by 0.05 mg/L");
  });

  it("a value with a table shows its bars beside it, described in words", () => {
    expect(page).toMatch(/source of uncertainty[\s\S]*?<figure class="chart-figure" id="output-\d+">/);
    expect(page).toMatch(/<svg role="img" aria-label="[^"]*mg\/L[^"]*"/);
  });

  it("charts follow light and dark, and formulae bring the typefaces that they use and no more", () => {
    expect(page).toContain('fill="var(--paper)"');
    expect(page).not.toContain('"#fdfcf8"');
    expect(page).toContain("font-family:KaTeX_Math;");
    expect(page).not.toMatch(/@font-face\{font-family:KaTeX_(?:Fraktur|Script|Typewriter)/);
    expect(page).not.toMatch(/url\((?!data:|#)/);
  });

  it("says when, with what and from what it was run, and how to do it again", () => {
    const end = wordsBetween(page, 'id="evidence"', "</main>");
    for (const words of [
      "20 March 2026, 08:15 UTC",
      "npx ionbook run does-it-balance.ipynb",
      "npx ionbook verify does-it-balance.ipynb",
      "../data/anions/run-0.csv",
      "01".repeat(32),
      "Monte Carlo, 10 000 trials",
      "20.20.2",
      "neither a diagnosis nor a verdict",
    ])
      expect(end).toContain(words);
  });

  it("stays far below 3 MB", () => {
    expect(Buffer.byteLength(page)).toBeLessThan(1_000_000);
  });
});

describe("what the evidence says", () => {
  it("many files are folded by folder, with the SHA-256 of their list", async () => {
    const document = notebook([text("# T")]);
    const page = await pageOf(document, 120);
    expect(page.match(/<details class="files">/g)).toHaveLength(2);
    const anions = evidenceOf(document, 120)
      .files.filter((file) => file.path.startsWith("../data/anions/"))
      .sort((a, b) => (a.path < b.path ? -1 : 1));
    const list = anions.map((file) => `${file.sha256}  ${file.path}\n`).join("");
    expect(page).toContain(createHash("sha256").update(list).digest("hex"));
    expect(page).toContain("60 files");
  });

  it("a path of somebody's machine is shortened to its name", async () => {
    const document = notebook([text("# T")]);
    const sha256 = "ab".repeat(32);
    const files = [
      { path: "/elsewhere/a.csv", sha256 },
      { path: "C:\\Users\\someone\\b.csv", sha256 },
    ];
    const page = await notebookPage(document, {
      fileName: FILE,
      evidence: { ...evidenceOf(document), files },
    });
    expect(page).toContain(">a.csv<");
    expect(page).toContain(">b.csv<");
    expect(page).not.toMatch(/someone|elsewhere/);
  });

  it("an edit after the run is said on the first screen, with the cell", async () => {
    const before = notebook([text("# T"), code("1 + 1"), code("2 + 2")]);
    const after = notebook([text("# T"), code("1 + 1"), code("2 + 3")]);
    const page = await notebookPage(after, { fileName: FILE, evidence: evidenceOf(before) });
    const first = page.slice(page.indexOf("<main>"), page.indexOf("<section"));
    expect(first).toContain("edited after its run in cell 3:");
    expect(page).not.toContain("computed by the code above it");
    const again = await pageOf(after);
    expect(again).not.toContain("edited after its run");
    expect(again).toContain("computed by the code above it");
  });

  it("a notebook that was never run says so", async () => {
    const page = await notebookPage(notebook([text("# T")]), { fileName: FILE, evidence: undefined });
    expect(page).toContain("was not run by ionbook");
  });
});

describe("texts and pictures", () => {
  const PNG =
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==";

  it("links lead to the web, to mail and inside the page; others are words", async () => {
    const page = await pageOf(
      notebook([
        text(
          "# T\n\n[web](https://example.org/a) [mail](mailto:a@example.org) [bad](javascript:x()) [file](../README.md) [gone](#gone) [data](data:text/html,x)",
        ),
      ]),
    );
    expect(page).toContain('<a href="https://example.org/a" rel="noreferrer">web</a>');
    expect(page).toContain('<a href="mailto:a@example.org" rel="noreferrer">mail</a>');
    expect(page).toContain("<span>bad</span> <small>(link left out");
    expect(page).toContain("<span>file</span> <small>(../README.md)</small>");
    expect(page).toContain("<span>gone</span>");
    expect(page).not.toMatch(/href="(?:javascript|data:text|\.\.)/);
  });

  it("pictures come from attachments, data and files beside the notebook; others are words", async () => {
    const asked: string[] = [];
    const document = notebook([
      text(
        `# T\n\n![one](attachment:a.png) ![two](data:image/png;base64,${PNG}) ![three](b.png) ![four](https://example.org/c.png) ![five](../d.png)`,
        { "a.png": { "image/png": PNG } },
      ),
    ]);
    const page = await notebookPage(document, {
      fileName: FILE,
      evidence: evidenceOf(document),
      readImage: async (path) => {
        asked.push(path);
        return Buffer.from(PNG, "base64");
      },
    });
    expect(asked).toEqual(["b.png"]);
    expect(page.match(/<img class="picture" src="data:image\/png;base64,/g)).toHaveLength(3);
    expect(page).toContain("[picture left out: four, https://example.org/c.png]");
    expect(page).toContain("[picture left out: five, ../d.png]");
  });

  it("HTML in a text stays text, and two headings of one name have two ids", async () => {
    const page = await pageOf(
      notebook([text("# T\n\n<b onclick=x>bold</b>\n\n## Same\n\n## Same\n\n## Evidence")]),
    );
    expect(page).toContain("&lt;b onclick=x&gt;");
    expect(page).toMatch(/<section id="same">[\s\S]*<section id="same-2">/);
    expect(page).toContain('<section id="evidence-2">');
  });

  it("the best picture of a value is taken, and what cannot be shown is said", async () => {
    const page = await pageOf(
      notebook([
        code("a", [shown({ "image/png": PNG, "text/plain": "a picture of a" })]),
        code("b", [shown({ "text/latex": "$\\alpha$", "text/plain": "alpha" })]),
        code("c", [shown({ "application/json": { deep: [1] } })]),
        code("d", [shown({ "application/x-unknown": "?" })]),
      ]),
    );
    expect(page).toContain(`src="data:image/png;base64,${PNG}" alt="a picture of a"`);
    expect(page).toContain('class="katex"');
    expect(page).toContain("&quot;deep&quot;");
    expect(page).toContain("cannot show (application/x-unknown)");
  });
});

describe("what an index says of a notebook", () => {
  it("title, answer in plain words, invented or not", async () => {
    expect(notebookOpening(await sampleNotebook())).toEqual({
      title: "Does it balance?",
      answer: "It does, within 0.4 ± 1.1 %.",
      invented: true,
    });
    const plain = notebook([text("## Only a part"), code("x", [printed("yes\n")], ["answer"])]);
    expect(notebookOpening(plain)).toEqual({ title: "Notebook", answer: "yes", invented: false });
    expect(notebookOpening(notebook([code("x", [printed("yes")])])).answer).toBeUndefined();
  });
});
