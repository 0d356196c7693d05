import { describe, expect, it } from "vitest";
import { peakRows, resultRows } from "../../toolkit/batch/writing/frame.js";
import { inventedResults } from "./invented-results.js";

const results = inventedResults({ points: 400 });

describe("results as a frame", () => {
  it("have one row for each sample and ion, missing values as not-a-number", () => {
    const rows = resultRows(results);
    expect(rows).toHaveLength(results.samples.length);
    const barium = rows.find((row) => row.ion === "barium");
    expect(barium).toMatchObject({ status: "not measured", value: Number.NaN, injection: "" });
    const chloride = rows.find((row) => row.sample === "spring" && row.ion === "chloride");
    const source = results.samples.find((row) => row.sample === "spring" && row.ion === "chloride")?.value;
    expect(chloride?.value).toBe(source?.value);
    expect(chloride?.low95).toBe(source?.interval().low);
  });

  it("know every peak, named or not", () => {
    const rows = peakRows(results);
    expect(rows).toHaveLength(results.peaks.length);
    expect(rows.filter((row) => row.identity === "unknown").map((row) => row.ion)).toContain("unknown-1");
  });

  it("become a danfojs frame with the columns of results.csv", () => {
    const frame = results.frame();
    expect(frame.shape[0]).toBe(results.samples.length);
    const columns = [
      "sample",
      "ion",
      "value",
      "unit",
      "u",
      "dof",
      "low95",
      "high95",
      "status",
      "dilution",
      "injection",
      "flags",
    ];
    for (const column of columns) expect(frame.columns).toContain(column);
    const isCalcium = frame.column("ion").values.map((name) => name === "calcium");
    const mean = frame.query(isCalcium).column("value").mean();
    const calcium = results.samples.flatMap((row) =>
      row.ion === "calcium" && row.value ? [row.value.value] : [],
    );
    expect(mean).toBeCloseTo(calcium.reduce((sum, value) => sum + value, 0) / calcium.length, 6);
  });
});
