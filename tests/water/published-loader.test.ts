import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { isIonbookError } from "../../toolkit/errors.js";
import { openPublishedWaters } from "../../toolkit/water/published/published-waters.js";
import { waterAnalysis } from "../../toolkit/water/published/water-analysis.js";
import { errorOf } from "./reference-cases.js";

const dataset = (folder: string) =>
  openPublishedWaters(fileURLToPath(new URL(`../../datasets/${folder}`, import.meta.url)));

describe("each dataset is read with its units, its columns and its gaps", () => {
  it.each(["dune-groundwater", "tropical-stream", "weekly-rain", "menominee-river", "river-analyses"])(
    "%s: every column is described, with source and licence",
    async (folder) => {
      const found = await dataset(folder);
      expect(found.undescribed).toEqual([]);
      expect(found.source.length).toBeGreaterThan(20);
      expect(found.licence).toMatch(/MIT|CC0/);
      for (const { meaning } of found.columns) expect(meaning).not.toBe("");
      expect(String(found)).toContain(found.source);
    },
  );
  it("a row of units is read as such: mg NO3/L, mg C/L, none", async () => {
    const { waters, columns } = await dataset("dune-groundwater");
    expect(waters[1]).toMatchObject({
      sample: "14C.041+6.5",
      line: 4,
      pH: 4.3,
      temperature: 10,
      silica: 11.2,
      conductivity: { value: 140, at: 20 },
    });
    expect(waters[1].concentrations).toMatchObject({ nitrate: 22.6, ammonium: 0.05, hydrogencarbonate: 0 });
    expect(columns.find(({ name }) => name === "doc")).toMatchObject({ holds: undefined, unit: "mg C/L" });
    expect(columns.find(({ name }) => name === "ph_lab")?.unit).toBeUndefined();
  });
  it("nitrogen in µg/L and sulfur in mg/L become the ions in mg/L; inorganic carbon becomes hydrogencarbonate at the pH", async () => {
    const { waters } = await dataset("tropical-stream");
    const [first] = waters;
    expect(first.sample).toBe("1987-01-05");
    expect(first.concentrations.nitrate).toBeCloseTo((0.097 * 62.004) / 14.007, 9);
    expect(first.concentrations.sulfate).toBeCloseTo((0.52 * 96.056) / 32.06, 9);
    expect(first.missing).toEqual(["phosphate"]);
    const { concentrations } = waterAnalysis(first);
    // 3.37 mg/L of carbon at pH 7.22: 1/(1 + 10^(6.352 − 7.22) + 10^(7.22 − 10.329)) of it (closed form).
    const share = 1 / (1 + 10 ** (6.352 - 7.22) + 10 ** (7.22 - 10.329));
    expect(concentrations.hydrogencarbonate).toBeCloseTo((3.37 / 12.011) * share * 61.016, 4);
  });
  it("the rain has 12 sodium and one magnesium value below a limit (a 13th remark stands beside a missing one), and 75 weeks without analysis", async () => {
    const { waters } = await dataset("weekly-rain");
    const below = waters.flatMap((water) => Object.keys(water.below));
    expect(below.filter((name) => name === "sodium")).toHaveLength(12);
    expect(below.filter((name) => name === "magnesium")).toHaveLength(1);
    expect(below).toHaveLength(13);
    const late = waters.find(({ sample }) => sample === "TN1174SW");
    expect(late?.below).toEqual({ sodium: 0.005 });
    expect(late?.concentrations.sodium).toBeUndefined();
    const empty = waters.filter(({ concentrations }) => Object.keys(concentrations).length === 0);
    expect(empty).toHaveLength(75);
  });
  it("a censored value stands in no analysis unless asked for: its limit, half of it, zero", async () => {
    const { waters } = await dataset("menominee-river");
    const water = waters.find(({ below }) => "nitrate" in below && "fluoride" in below);
    if (water === undefined) throw new Error("the river has no such sample");
    const fluoride = (below?: "limit" | "half the limit" | "zero") =>
      waterAnalysis(water, below === undefined ? {} : { below }).concentrations.fluoride;
    expect([fluoride(), fluoride("limit"), fluoride("half the limit"), fluoride("zero")]).toEqual([
      undefined,
      0.1,
      0.05,
      0,
    ]);
    expect(water.below.nitrate).toBeCloseTo((0.1 * 62.004) / 14.007, 9);
    expect(errorOf(() => waterAnalysis(water, { below: "nothing" as never }))).toMatch(/^bad-option/);
    expect(errorOf(() => waterAnalysis(undefined as never))).toMatch(/^no-water/);
    expect(errorOf(() => waterAnalysis(water, { under: "zero" } as never))).toMatch(/^unknown-option/);
  });
});

describe("bad folders are refused with file, line and column", () => {
  const columns = {
    id: { holds: "sample" },
    Ca: { holds: "calcium", unit: "mg/L", flag: "flag" },
    EC: { holds: "conductivity", unit: "µS/cm" },
  };
  const description = (more: object = {}) => ({
    title: "t",
    source: "s",
    licence: "l",
    table: "table.csv",
    columns,
    ...more,
  });
  const attempt = async (table: string | undefined, json: unknown) => {
    const folder = await mkdtemp(join(tmpdir(), "waters-"));
    try {
      if (table !== undefined) await writeFile(join(folder, "table.csv"), table);
      if (json !== undefined)
        await writeFile(join(folder, "columns.json"), typeof json === "string" ? json : JSON.stringify(json));
      const error = await openPublishedWaters(folder).then(
        () => undefined,
        (thrown: unknown) => thrown,
      );
      if (!isIonbookError(error)) throw new Error(`expected an IonbookError, got ${String(error)}`);
      return error;
    } finally {
      await rm(folder, { recursive: true });
    }
  };
  const header = "id,Ca,flag,EC\n";
  it.each([
    ["no number", `${header}a,1,,2\nb,x,,2\n`, description(), "not-a-number", { line: 3, column: "Ca" }],
    ["below zero", `${header}a,-1,,2\n`, description(), "negative-concentration", { line: 2, column: "Ca" }],
    ["an unknown remark", `${header}a,1,?,2\n`, description(), "unknown-flag", { line: 2, column: "flag" }],
    ["a row too short", `${header}a,1\n`, description(), "bad-table", { line: 2 }],
    ["no rows", header, description(), "bad-table", {}],
    ["an empty file", "", description(), "bad-table", {}],
    ["a missing column", "id,Ca,EC\na,1,2\n", description(), "missing-column", { line: 1, column: "flag" }],
    ["no table", undefined, description(), "file-not-found", {}],
    [
      "an unknown unit",
      `${header}a,1,,2\n`,
      description({ columns: { ...columns, EC: { holds: "conductivity", unit: "S" } } }),
      "unknown-unit",
      { line: 2, column: "EC" },
    ],
    [
      "no unit",
      `${header}a,1,,2\n`,
      description({ columns: { ...columns, Ca: { holds: "calcium" } } }),
      "unknown-unit",
      { line: 2, column: "Ca" },
    ],
  ])("%s", async (_, table, json, code, where) => {
    const error = await attempt(table, json);
    expect(error.code).toBe(code);
    expect(error.where).toMatchObject(where);
    expect(error.where?.file).toMatch(/table\.csv$/);
  });
  it.each([
    ["no description", undefined, "file-not-found", /columns\.json/],
    ["no JSON", "{", "bad-description", /columns\.json/],
    ["a key too many", description({ licens: "x" }), "bad-description", /licens/],
    [
      "neither ion nor quantity",
      description({ columns: { EC: { holds: "conductivty" } } }),
      "bad-description",
      /did you mean "conductivity"/,
    ],
  ])("%s", async (_, json, code, message) => {
    const error = await attempt("a\n1\n", json);
    expect(error.code).toBe(code);
    expect(error.message).toMatch(message);
  });
  it("no text at all", async () => {
    await expect(openPublishedWaters(undefined as never)).rejects.toMatchObject({ code: "file-not-found" });
  });
});
