import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { afterAll, describe, expect, it } from "vitest";
import type { NotebookDocument } from "../../toolkit/notebook/document.js";
import { readNotebook } from "../../toolkit/notebook/read-notebook.js";
import { linesOf, notebookText, writeNotebook } from "../../toolkit/notebook/write-notebook.js";
import { schemaFaults } from "./schema.js";

const folder = mkdtempSync(join(tmpdir(), "notebook-"));
afterAll(() => rmSync(folder, { recursive: true }));

const notebook: NotebookDocument = {
  nbformat: 4,
  nbformat_minor: 5,
  metadata: { kernelspec: { name: "ionbook", display_name: "Ionbook" }, ionbook: { files: [] } },
  cells: [
    { cell_type: "markdown", id: "title", metadata: {}, source: "# Well 3\n\nIs it salt?" },
    {
      cell_type: "code",
      id: "one",
      metadata: {},
      execution_count: 1,
      source: "plot\n",
      outputs: [
        { output_type: "stream", name: "stdout", text: "a\nb" },
        {
          output_type: "execute_result",
          execution_count: 1,
          metadata: {},
          data: {
            "text/plain": "two\nlines",
            "image/svg+xml": "<svg>\n</svg>",
            "image/png": "iVBORw0KGgo=",
            "application/vnd.vegalite.v6+json": { mark: "line", data: { values: [1, 2] } },
          },
        },
        { output_type: "error", ename: "E", evalue: "v", traceback: ["t"] },
      ],
    },
  ],
};

describe("the text of a notebook", () => {
  it("is valid by the published schema of nbformat 4.5", () => {
    expect(schemaFaults(JSON.parse(notebookText(notebook)))).toEqual([]);
  });

  it("and the check with that schema would find a fault", () => {
    const parsed = JSON.parse(notebookText(notebook));
    delete parsed.cells[0].id;
    expect(schemaFaults(parsed)).not.toEqual([]);
  });

  it("has texts as lists of lines, pictures and JSON whole, one blank a level and a line end at the end", () => {
    const text = notebookText(notebook);
    const [title, code] = JSON.parse(text).cells;
    expect(title.source).toEqual(["# Well 3\n", "\n", "Is it salt?"]);
    expect(code.source).toEqual(["plot\n"]);
    expect(code.outputs[0].text).toEqual(["a\n", "b"]);
    expect(code.outputs[1].data["text/plain"]).toEqual(["two\n", "lines"]);
    expect(code.outputs[1].data["image/svg+xml"]).toEqual(["<svg>\n", "</svg>"]);
    expect(code.outputs[1].data["image/png"]).toBe("iVBORw0KGgo=");
    expect(code.outputs[1].data["application/vnd.vegalite.v6+json"].data.values).toEqual([1, 2]);
    expect(text.startsWith('{\n "cells": [\n  {\n   "cell_type": "markdown",')).toBe(true);
    expect(text.endsWith("}\n")).toBe(true);
  });

  it("splits any text so that its lines together are the text again", () => {
    fc.assert(
      fc.property(fc.string({ unit: fc.constantFrom("a", "\n", "\r", "µ", "\u2028") }), (text) => {
        const lines = linesOf(text);
        expect(lines.join("")).toBe(text);
        expect(lines.slice(0, -1).every((line) => line.indexOf("\n") === line.length - 1)).toBe(true);
        expect(lines).not.toContain("");
      }),
      { seed: 1 },
    );
  });
});

describe("writing a notebook", () => {
  it("gives a file that reads back as the same notebook, and leaves no draft", async () => {
    const path = join(folder, "written.ipynb");
    await writeNotebook(path, notebook);
    expect(notebookText(await readNotebook(path))).toBe(notebookText(notebook));
    expect(readdirSync(folder)).toEqual(["written.ipynb"]);
  });

  it("keeps what is there unless told to replace it", async () => {
    const path = join(folder, "kept.ipynb");
    writeFileSync(path, "mine");
    await expect(writeNotebook(path, notebook)).rejects.toMatchObject({
      code: "would-overwrite",
      where: { file: path },
    });
    expect(readFileSync(path, "utf8")).toBe("mine");
    await writeNotebook(path, notebook, { replace: true });
    expect(readFileSync(path, "utf8")).toBe(notebookText(notebook));
  });

  it("replaces the file behind a symbolic link, not the link", async () => {
    const [target, link] = [join(folder, "target.ipynb"), join(folder, "link.ipynb")];
    writeFileSync(target, "old");
    symlinkSync(target, link);
    await writeNotebook(link, notebook, { replace: true });
    expect(readFileSync(target, "utf8")).toBe(notebookText(notebook));
  });

  it("leaves nothing behind where it cannot write", async () => {
    const path = join(folder, "nowhere", "a.ipynb");
    await expect(writeNotebook(path, notebook)).rejects.toMatchObject({ code: "ENOENT" });
    expect(existsSync(join(folder, "nowhere"))).toBe(false);
  });
});
