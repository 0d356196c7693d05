import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { readNotebook } from "../../toolkit/notebook/read-notebook.js";

const folder = mkdtempSync(join(tmpdir(), "notebook-"));
afterAll(() => rmSync(folder, { recursive: true }));

function file(name: string, text: string): string {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
}

const title = { cell_type: "markdown", id: "title", metadata: {}, source: "# Well 3" };
const code = { cell_type: "code", id: "one", metadata: {}, execution_count: null, outputs: [] };
const good = {
  nbformat: 4,
  nbformat_minor: 5,
  metadata: {},
  cells: [title, { ...code, source: ["const a = 1;\n", "a"] }, { ...code, id: "two", source: "a + 1" }],
};

describe("reading a notebook", () => {
  it("gives the code cells with the numbers they have among all cells", async () => {
    const path = file("good.ipynb", JSON.stringify(good));
    expect(await readNotebook(path)).toEqual({
      path,
      codeCells: [
        { number: 2, source: "const a = 1;\na" },
        { number: 3, source: "a + 1" },
      ],
    });
  });

  it("refuses another format and says which field is at fault", async () => {
    const path = file("old.ipynb", JSON.stringify({ ...good, nbformat: 3 }));
    await expect(readNotebook(path)).rejects.toMatchObject({
      code: "invalid-notebook",
      where: { file: path },
      message: expect.stringContaining('"nbformat"'),
    });
  });

  it("refuses broken JSON and a missing file", async () => {
    const path = file("broken.ipynb", JSON.stringify(good).slice(0, -5));
    await expect(readNotebook(path)).rejects.toMatchObject({
      code: "notebook-not-json",
      where: { file: path },
    });
    const none = join(folder, "none.ipynb");
    await expect(readNotebook(none)).rejects.toMatchObject({
      code: "unreadable-notebook",
      where: { file: none },
    });
  });

  it("names the cell that has no source", async () => {
    const path = file("sourceless.ipynb", JSON.stringify({ ...good, cells: [title, code] }));
    await expect(readNotebook(path)).rejects.toMatchObject({
      code: "invalid-notebook",
      where: { file: path, cell: 2 },
      message: expect.stringContaining("source"),
    });
  });
});
