import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { writeFolderAtomically } from "../../toolkit/batch/writing/write-folder.js";
import { temporaryFolder } from "./invented-batch.js";
import { refusalOf } from "./refusal.js";

const files = new Map<string, string | Uint8Array>([
  ["results.csv", "sample,ion\nµ,=1\n"],
  ["report.html", new Uint8Array([60, 104, 62])],
]);

describe("a folder written as a whole", () => {
  it("is made with its parents, each file byte for byte, and nothing else beside or in it", async () => {
    const parent = temporaryFolder();
    await writeFolderAtomically(join(parent, "a", "out"), files);
    expect(readdirSync(join(parent, "a"))).toEqual(["out"]);
    expect(readdirSync(join(parent, "a", "out")).sort()).toEqual(["report.html", "results.csv"]);
    expect(readFileSync(join(parent, "a", "out", "results.csv"), "utf8")).toBe("sample,ion\nµ,=1\n");
    expect([...readFileSync(join(parent, "a", "out", "report.html"))]).toEqual([60, 104, 62]);
  });

  it("leaves other files of a folder that is there alone", async () => {
    const out = temporaryFolder();
    writeFileSync(join(out, "notes.txt"), "mine");
    await writeFolderAtomically(out, files);
    expect(readdirSync(out).sort()).toEqual(["notes.txt", "report.html", "results.csv"]);
    expect(readFileSync(join(out, "notes.txt"), "utf8")).toBe("mine");
  });

  it("never overwrites without being asked: it names the files and writes nothing", async () => {
    const out = temporaryFolder();
    writeFileSync(join(out, "results.csv"), "old");
    const refused = await refusalOf(writeFolderAtomically(out, files));
    expect(refused.code).toBe("would-overwrite");
    expect(refused.message).toMatch(
      /results\.csv is there already: name another folder, or ask to overwrite/,
    );
    expect(refused.message).not.toMatch(/report\.html/);
    expect(readdirSync(out)).toEqual(["results.csv"]);
    expect(readFileSync(join(out, "results.csv"), "utf8")).toBe("old");
  });

  it("overwrites when asked", async () => {
    const out = temporaryFolder();
    writeFileSync(join(out, "results.csv"), "old");
    await writeFolderAtomically(out, files, { force: true });
    expect(readdirSync(out).sort()).toEqual(["report.html", "results.csv"]);
    expect(readFileSync(join(out, "results.csv"), "utf8")).toMatch(/^sample/);
  });

  it("refuses a file in the place of the folder", async () => {
    const file = join(temporaryFolder(), "out");
    writeFileSync(file, "x");
    expect((await refusalOf(writeFolderAtomically(file, files))).code).toBe("not-a-folder");
    expect(readFileSync(file, "utf8")).toBe("x");
  });

  it.each(["../results.csv", "a/b.csv", "", ".."])("refuses the file name %j", async (name) => {
    const out = join(temporaryFolder(), "out");
    const refused = await refusalOf(writeFolderAtomically(out, new Map([[name, "x"]])));
    expect(refused.code).toBe("bad-file-name");
    expect(existsSync(out)).toBe(false);
  });

  it("leaves nothing behind, not even parents, where a file cannot be written", async () => {
    const parent = temporaryFolder();
    const tooLong = `${"x".repeat(300)}.csv`;
    const work = writeFolderAtomically(join(parent, "a", "out"), new Map([...files, [tooLong, "x"]]));
    await expect(work).rejects.toThrow(/ENAMETOOLONG/);
    expect(readdirSync(parent)).toEqual([]);
  });

  it("puts back what it had replaced where a later file cannot be moved", async () => {
    const out = temporaryFolder();
    writeFileSync(join(out, "results.csv"), "old");
    // Promises one file more than it holds: moving that one fails after the others were moved.
    class ShortOfOne extends Map<string, string | Uint8Array> {
      override *keys(): MapIterator<string> {
        yield* super.keys();
        yield "ghost.csv";
      }
    }
    const work = writeFolderAtomically(out, new ShortOfOne([...files]), { force: true });
    await expect(work).rejects.toThrow(/ghost\.csv/);
    expect(readdirSync(out)).toEqual(["results.csv"]);
    expect(readFileSync(join(out, "results.csv"), "utf8")).toBe("old");
  });

  it("never replaces a folder by a file, even when asked to overwrite", async () => {
    const out = temporaryFolder();
    mkdirSync(join(out, "report.html"));
    writeFileSync(join(out, "report.html", "inside"), "mine");
    const refused = await refusalOf(writeFolderAtomically(out, files, { force: true }));
    expect(refused.code).toBe("would-overwrite");
    expect(refused.message).toMatch(/report\.html is a folder/);
    expect(readdirSync(out)).toEqual(["report.html"]);
    expect(readFileSync(join(out, "report.html", "inside"), "utf8")).toBe("mine");
  });
});
