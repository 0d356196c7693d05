import { mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { openBatch } from "../../toolkit/batch/reading/open-batch.js";
import { edit, folderOf, inventedBatch, inventedSignal, temporaryFolder } from "./invented-batch.js";
import { refusalOf } from "./refusal.js";

describe("faults of a whole folder", () => {
  it("a folder that is not there, and a file in its place", async () => {
    const folder = folderOf(inventedBatch());
    expect((await refusalOf(openBatch(join(folder, "none")))).code).toBe("missing-folder");
    expect((await refusalOf(openBatch(join(folder, "batch.json")))).code).toBe("missing-folder");
  });

  it("a link that leads out of the folder", async () => {
    const files = inventedBatch();
    files.delete("signals/A4.csv");
    const folder = folderOf(files);
    const outside = join(temporaryFolder(), "A4.csv");
    writeFileSync(outside, inventedSignal(4));
    symlinkSync(outside, join(folder, "signals", "A4.csv"));
    const refused = await refusalOf(openBatch(folder));
    expect(refused.code).toBe("path-outside-folder");
    expect(refused.message).toMatch(/copy the file itself into the folder/);
  });

  it("a link within the folder is no fault", async () => {
    const files = inventedBatch();
    files.delete("signals/A4.csv");
    const folder = folderOf(files);
    mkdirSync(join(folder, "more"));
    writeFileSync(join(folder, "more", "A4.csv"), inventedSignal(4));
    symlinkSync(join("..", "more", "A4.csv"), join(folder, "signals", "A4.csv"));
    expect((await openBatch(folder)).chromatograms.size).toBe(8);
  });

  it("several faults of one file are told together, the first one giving code and place", async () => {
    const files = inventedBatch();
    edit(files, "worksheet.csv", "continuing check", "controle");
    edit(files, "worksheet.csv", "well,10,0.02,,", "well,0,0.02,,");
    edit(files, "worksheet.csv", "sample,leaf", "sample,loaf");
    files.delete("signals/A2.csv");
    const folder = folderOf(files);
    const refused = await refusalOf(openBatch(folder));
    expect(refused.code).toBe("unknown-kind");
    expect(refused.where).toEqual({ file: join(folder, "worksheet.csv"), line: 5, column: "kind" });
    const lines = refused.message.split("\n").slice(1, -1);
    expect(lines.map((line) => /^ {2}(line \d+, column "\w+"): /.exec(line)?.[1])).toEqual([
      'line 5, column "kind"',
      'line 6, column "dilution"',
      'line 9, column "solution"',
      'line 3, column "signal"',
    ]);
  });

  it("no more than ten faults are listed", async () => {
    const files = inventedBatch();
    const rows = Array.from({ length: 15 }, (_, i) => `level ${i + 3},chloride,x,mg/L,0.1,,`);
    files.set("solutions.csv", `${files.get("solutions.csv")}${rows.join("\n")}\n`);
    const refused = await refusalOf(openBatch(folderOf(files)));
    expect(refused.message.match(/"x" is not a number/g)?.length).toBe(10);
    expect(refused.message).toMatch(/and more/);
  });

  it("markup and formulas in names are kept as they are: they are names here", async () => {
    const files = inventedBatch();
    edit(files, "samples.csv", "well,", "<b>=1+1</b>,");
    edit(files, "worksheet.csv", /,well,/g, ",<b>=1+1</b>,");
    const batch = await openBatch(folderOf(files));
    expect(batch.samples[0].sample).toBe("<b>=1+1</b>");
    expect(batch.injections[4].solution).toBe("<b>=1+1</b>");
  });
});
