import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { NotebookDocument } from "../../toolkit/notebook/document.js";
import { RECORD_TYPE, type RecordData, recordBundle } from "../../toolkit/notebook/record-data.js";
import { changeOf, compareRecords } from "../../toolkit/notebook/verify/compare-records.js";
import { recordsIn } from "../../toolkit/notebook/verify/stored-records.js";

const rise: RecordData = { name: "rise", value: 12.4, u: 0.25, unit: "mg/L", tolerance: 0.05 / 12.4 };

/** A notebook whose cells show these records. */
function notebook(...cells: readonly (readonly RecordData[])[]): NotebookDocument {
  return {
    nbformat: 4,
    nbformat_minor: 5,
    metadata: {},
    cells: cells.map((records, i) => ({
      cell_type: "code",
      id: `c${i + 1}`,
      metadata: {},
      execution_count: i + 1,
      source: "",
      outputs: records.map((data) => ({
        output_type: "display_data",
        data: recordBundle(data),
        metadata: {},
      })),
    })),
  };
}

const found = (...cells: readonly (readonly RecordData[])[]) => recordsIn(notebook(...cells)).records;

describe("two records of one result", () => {
  it("agree within the tolerance and not beyond it, whatever the value", () => {
    const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
    fc.assert(
      fc.property(
        number(1e-3, 1e6),
        fc.constantFrom(-1, 1),
        number(1e-6, 0.5),
        number(0, 0.99),
        (size, sign, tolerance, part) => {
          const value = sign * size;
          const stored = { ...rise, value, u: null, tolerance };
          const step = tolerance * value;
          // The narrower tolerance holds, so only a step away from 0 is measured with the stored scale.
          expect(changeOf(stored, { ...stored, value: value + part * step })).toBeUndefined();
          expect(changeOf(stored, { ...stored, value: value + 1.01 * step })).toBeDefined();
          expect(changeOf(stored, { ...stored, value: value - 1.01 * step })).toBeDefined();
        },
      ),
      { seed: 1 },
    );
  });

  it.each<[string, Partial<RecordData>, string]>([
    [
      "a value beyond the tolerance",
      { value: 12.5 },
      "stored 12.4 mg/L, now 12.5 mg/L: may differ by 0.050 mg/L",
    ],
    ["another unit", { unit: "µg/L" }, "unit"],
    ["another uncertainty", { u: 0.26 }, "may differ by 1 %"],
    ["no uncertainty", { u: null }, "none"],
    ["a text", { value: "12.4" }, '"12.4"'],
  ])("differ in %s, and it is said how", (_, change, words) => {
    expect(changeOf(rise, { ...rise, ...change })).toContain(words);
  });

  it("agree in what counts for nothing", () => {
    expect(changeOf(rise, { ...rise, value: 12.44, u: 0.252 })).toBeUndefined();
    const zero = { ...rise, value: 0, tolerance: 0.2 };
    expect(changeOf(zero, { ...zero, value: 1e-15 })).toBeUndefined();
    expect(changeOf(zero, { ...zero, value: 0.06 })).toContain("stored 0 mg/L");
  });

  it("are not made to agree by a wider tolerance in one of them", () => {
    expect(changeOf({ ...rise, value: 13.4, tolerance: 1 }, rise)).toBeDefined();
  });

  it("must be the same where they are texts or yes and no", () => {
    const text: RecordData = { name: "t", value: "rises", u: null, unit: null, tolerance: 0 };
    expect(changeOf(text, text)).toBeUndefined();
    expect(changeOf(text, { ...text, value: "falls" })).toBe('stored "rises", now "falls"');
    expect(changeOf({ ...text, value: true }, { ...text, value: false })).toBe("stored true, now false");
  });
});

describe("the records of two runs", () => {
  const other: RecordData = { ...rise, name: "other" };

  it("are compared name by name in each cell, and with every turn of a name", () => {
    const stored = found([rise, { ...rise, value: 1 }], [rise]);
    expect(compareRecords(stored, found([rise, { ...rise, value: 1 }], [rise]))).toEqual([]);
    expect(compareRecords(stored, found([{ ...rise, value: 1 }, rise], [rise]))).toHaveLength(2);
  });

  it("name what is missing, new and changed, with the cell", () => {
    const now = found([], [{ ...rise, value: 20 }, other]);
    expect(compareRecords(found([rise], [rise]), now)).toMatchObject([
      { kind: "missing", cell: 1, name: "rise", message: expect.stringContaining("cell 1") },
      { kind: "changed", cell: 2, name: "rise", message: expect.stringContaining("20 mg/L") },
      { kind: "new", cell: 2, name: "other", message: expect.stringContaining("not recorded") },
    ]);
  });
});

describe("the records in a file", () => {
  it("contradict what is shown where a digit of the text was changed", () => {
    const document = JSON.parse(JSON.stringify(notebook([rise], [rise])));
    expect(recordsIn(document).records.map((each) => each.contradicting)).toEqual([[], []]);
    document.cells[1].outputs[0].data["text/plain"] = [
      recordBundle(rise)["text/plain"].replace("12.4", "14.4"),
    ];
    expect(recordsIn(document).records.map((each) => each.contradicting)).toEqual([[], ["text/plain"]]);
  });

  it("that cannot be read are told by their cell", () => {
    const document = JSON.parse(JSON.stringify(notebook([rise], [rise])));
    document.cells[1].outputs[0].data[RECORD_TYPE].tolerance = -1;
    expect(recordsIn(document)).toMatchObject({ records: [{ cell: 1 }], unreadable: [2] });
  });
});
