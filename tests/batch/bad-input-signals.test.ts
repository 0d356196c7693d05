import { describe, expect, it } from "vitest";
import { readChromatogram } from "../../toolkit/batch/reading/chromatogram.js";
import { fileOf, temporaryFolder } from "./invented-batch.js";
import { refusalOf } from "./refusal.js";

const HEADER = "time/min,conductivity (µS/cm)";
const text = (...rows: string[]): string => [HEADER, ...rows].join("\n");

/** What is wrong; the content; code, line and column of the refusal; how it tells to mend it. */
type Case = readonly [string, string | Uint8Array, string, number | undefined, string | undefined, RegExp];

const CASES: readonly Case[] = [
  ["an empty file", "", "empty-file", undefined, undefined, /export or copy it again/],
  ["a file of blanks", " \n\n", "empty-file", undefined, undefined, /export or copy it again/],
  ["a header without rows", `${HEADER}\n`, "no-data", 2, undefined, /export the record again/],
  ["a single row", text("0,1"), "no-data", 2, undefined, /export the record again/],
  [
    "prose",
    "Dear reader,\nthis is no record.\n",
    "no-data",
    undefined,
    undefined,
    /the file needs a line such as/,
  ],
  [
    "a word in the first row",
    text("zero,1", "1,1", "2,1"),
    "not-a-number",
    2,
    "time/min",
    /"zero" is not a number/,
  ],
  [
    "a word in a number",
    text("0,1", "1,1.2x", "2,1"),
    "not-a-number",
    3,
    "conductivity (µS/cm)",
    /"1\.2x" is not a number: write digits with a decimal point/,
  ],
  [
    "an infinite reading",
    text("0,1", "1,Infinity", "2,1"),
    "not-a-number",
    3,
    "conductivity (µS/cm)",
    /write digits/,
  ],
  [
    "a hexadecimal number",
    text("0,1", "1,0x10", "2,1"),
    "not-a-number",
    3,
    "conductivity (µS/cm)",
    /write digits/,
  ],
  [
    "a row of one column in the middle",
    text("0,1", "1", "2,1"),
    "malformed-row",
    3,
    undefined,
    /complete the row or remove it/,
  ],
  [
    "a row without a signal",
    text("0,1", "1,", "2,1"),
    "malformed-row",
    3,
    undefined,
    /complete the row or remove it/,
  ],
  [
    "a file that breaks off inside a row",
    text("0,1", "1,1", "2"),
    "truncated-file",
    4,
    undefined,
    /export or copy it again/,
  ],
  [
    "a file that breaks off behind the comma",
    text("0,1", "1,1", "2,"),
    "truncated-file",
    4,
    undefined,
    /export or copy it again/,
  ],
  [
    "a time that runs back",
    text("0,1", "2,1", "1,1"),
    "time-not-increasing",
    4,
    "time/min",
    /runs back from 2 to 1: keep one record/,
  ],
  [
    "a time that stands still",
    text("0,1", "1,1", "1,2"),
    "time-not-increasing",
    4,
    "time/min",
    /with more decimals, or remove the doubled row/,
  ],
  [
    "decimal commas between commas",
    text("0,00,1,00", "0,01,1,01"),
    "decimal-comma",
    2,
    "time/min",
    /decimal comma in a comma-separated file: export with decimal points, or separate the columns with semicolons/,
  ],
  [
    "a decimal comma in one row",
    text("0.00,1.00", "0.01,1,01", "0.02,1.0"),
    "decimal-comma",
    3,
    "time/min",
    /separate the columns with semicolons/,
  ],
  [
    "a row too long",
    "time/min;µS/cm\n0;1\n1;1;5\n2;1",
    "malformed-row",
    3,
    undefined,
    /remove what does not belong there/,
  ],
  [
    "a workbook",
    Buffer.from("PK\x03\x04rest"),
    "unknown-format",
    undefined,
    undefined,
    /save the sheet as CSV/,
  ],
  [
    "bytes that are no text",
    Buffer.from([1, 2, 0, 3, 0, 9]),
    "unknown-format",
    undefined,
    undefined,
    /export it as delimited text/,
  ],
];

describe("a signal file that cannot be used is refused in one message that says what, where and how to mend it", () => {
  it.each(CASES)("%s", async (_, content, code, line, column, says) => {
    const file = fileOf("a.csv", content);
    const refused = await refusalOf(readChromatogram(file));
    expect(refused.code).toBe(code);
    expect(refused.where).toEqual({
      file,
      ...(line === undefined ? {} : { line }),
      ...(column === undefined ? {} : { column }),
    });
    expect(refused.message).toMatch(says);
    expect(refused.message).toContain(file);
    if (line !== undefined) expect(refused.message).toContain(`line ${line}`);
  });

  it("a missing file", async () => {
    const refused = await refusalOf(readChromatogram(`${temporaryFolder()}/none.csv`));
    expect(refused.code).toBe("missing-file");
    expect(refused.message).toMatch(/no such file: check its name/);
  });

  it("a folder in the place of a file", async () => {
    const refused = await refusalOf(readChromatogram(temporaryFolder()));
    expect(refused.code).toBe("unreadable-file");
  });

  it("all words in one go, the first ten by line", async () => {
    const rows = Array.from({ length: 30 }, (_, i) => (i % 2 === 0 ? `${i},x${i}` : `${i},1`));
    const refused = await refusalOf(readChromatogram(fileOf("a.csv", text(...rows))));
    expect(refused.message.match(/is not a number/g)?.length).toBe(10);
    expect(refused.message).toMatch(/line 20, column "conductivity \(µS\/cm\)": "x18" is not a number/);
    expect(refused.message).toMatch(/and more/);
    expect(refused.where?.line).toBe(2);
  });
});
