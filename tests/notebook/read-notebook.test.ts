import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
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
  metadata: { authors: [{ name: "A. Nalyst" }] },
  cells: [title, { ...code, source: ["const a = 1;\n", "a"] }, { ...code, id: "two", source: "a + 1" }],
};

describe("reading a notebook", () => {
  it("gives what stands in the file, unknown metadata too", async () => {
    expect(await readNotebook(file("good.ipynb", JSON.stringify(good)))).toEqual(good);
  });

  it("gives a notebook of 4.4 as 4.5 with ids, and leaves the file as it is", async () => {
    const cells = good.cells.map(({ id: _, ...cell }) => cell);
    const old = JSON.stringify({ ...good, nbformat_minor: 4, cells });
    const path = file("old.ipynb", old);
    const read = await readNotebook(path);
    expect(read.nbformat_minor).toBe(5);
    expect(read.cells.map((cell) => cell.id)).toEqual(["cell-1", "cell-2", "cell-3"]);
    expect(readFileSync(path, "utf8")).toBe(old);
  });

  it("refuses another format and says which field is at fault", async () => {
    for (const [field, value] of Object.entries({ nbformat: 3, nbformat_minor: 6 })) {
      const path = file("other.ipynb", JSON.stringify({ ...good, [field]: value }));
      await expect(readNotebook(path)).rejects.toMatchObject({
        code: "invalid-notebook",
        where: { file: path },
        message: expect.stringContaining(`"${field}"`),
      });
    }
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

  it("names the cell that has no source, no id, or the id of another", async () => {
    const faulty: readonly (readonly [string, unknown])[] = [
      ["source", code],
      ["id", { ...code, id: undefined, source: "" }],
      ["id", { ...code, id: "title", source: "" }],
      ["id", { ...code, id: "two words", source: "" }],
    ];
    for (const [field, cell] of faulty) {
      const path = file("faulty.ipynb", JSON.stringify({ ...good, cells: [title, cell] }));
      await expect(readNotebook(path)).rejects.toMatchObject({
        code: "invalid-notebook",
        where: { file: path, cell: 2 },
        message: expect.stringContaining(field),
      });
    }
  });
});
