import { parse } from "csv-parse/sync";
import { describe, expect, it } from "vitest";
import type {
  Batch,
  IonCalibration,
  PeakResult,
  Results,
  SampleBalance,
  SampleResult,
} from "../../toolkit/batch/types.js";
import { csvText } from "../../toolkit/batch/writing/csv.js";
import { resultTables } from "../../toolkit/batch/writing/result-tables.js";
import { measured } from "../../toolkit/uncertainty/measured.js";

// Every value here is invented: the tables' form is tested, not what stands in them.

describe("a comma-separated table", () => {
  it("quotes as the examples of RFC 4180, section 2, rules 5 to 7", () => {
    // Source: RFC 4180 (2005); examples from memory of the standard.
    expect(csvText(["a", "b", "c"], [["aaa", 'b"bb', "ccc"]])).toBe('a,b,c\naaa,"b""bb",ccc\n');
    expect(csvText(["a"], [["b\r\nbb"]])).toBe('a\n"b\r\nbb"\n');
    expect(csvText(["a"], [["zzz,yyy"]])).toBe('a\n"zzz,yyy"\n');
  });

  it("comes back unchanged through a reader of CSV", () => {
    const cells = ["plain", "", "a,b", 'say "no"', "two\nlines", " blank ", "µ<b>&amp;", "'already", "x=1"];
    const [, row] = parse(csvText(cells, [cells])) as string[][];
    expect(row).toEqual(cells);
  });

  it.each(["=1+1", "+1", "-1", "@A1", "\t1", "\r1", "=HYPERLINK(0)"])("disarms the formula %j", (text) => {
    const [row] = parse(csvText([text], [])) as string[][];
    expect(row).toEqual([`'${text}`]);
  });

  it("never touches a number, negative ones included", () => {
    expect(csvText([], [[-1.5, -0.25, 1e-6, 1.25e-7, 1234567.891, 0]])).toBe(
      "\n-1.5,-0.25,0.000001,1.25e-7,1234567.891,0\n",
    );
  });

  it("writes numbers so that they read back as the very same", () => {
    const numbers = [Math.PI, 1 / 3, 6.02214076e23, -Number.EPSILON, 123456789.12345679];
    const [row] = parse(csvText([], [numbers]), { from_line: 2 }) as string[][];
    expect(row.map(Number)).toEqual(numbers);
  });

  it("leaves a cell empty where nothing applies", () => {
    expect(csvText([], [[undefined, Number.NaN, "", true, false]])).toBe("\n,,,true,false\n");
  });
});

const sample: SampleResult = {
  sample: "=well; <b>",
  ion: "chloride",
  channel: "anion",
  value: measured(24.5, "mg/L", { u: 0.1 }, { dof: 12 }),
  unit: "mg/L",
  status: "quantified",
  detectionLimit: 0.1,
  quantificationLimit: 0.5,
  dilution: 10,
  injection: "A5",
  flags: ["check-high", "a;b"],
};

const notMeasured: SampleResult = {
  ...sample,
  sample: "well",
  ion: "hydrogencarbonate",
  value: undefined,
  status: "not measured",
  dilution: undefined,
  injection: undefined,
  flags: [],
};

const peak: PeakResult = {
  injection: "A5",
  ion: "unknown-1",
  retentionTime: 7.25,
  area: measured(0.123456789, "µS/cm·min", { u: 0.0012 }),
  height: 0.5,
  widthHalf: undefined,
  tailing: 1.2,
  resolutionNext: undefined,
  signalToNoise: 150,
  identity: "unknown",
  start: 7,
  end: 7.6,
  rule: "summation",
  flags: [],
};

function calibration(
  model: IonCalibration["model"],
  coefficients: number[],
  standardErrors: number[],
): IonCalibration {
  return {
    kind: "ion-calibration",
    ion: "chloride",
    channel: "anion",
    model,
    weighting: "1/x^2",
    curve: {
      coefficients,
      standardErrors,
      residualStandardDeviation: 0.02,
      dof: 5,
    } as unknown as IonCalibration["curve"],
    points: [],
    low: 0.5,
    high: 50,
    criticalValue: 0.01,
    lod: 0.02,
    loq: 0.5,
    mdl: undefined,
    limitDefinition: "Currie",
    verdict: "accepted",
  };
}

const balance: SampleBalance = {
  kind: "sample-balance",
  sample: "well",
  cations: measured(6.1, "meq/L", { u: 0.05 }),
  anions: measured(6, "meq/L", { u: 0.06 }),
  percentDifference: measured(-0.83, "%", { u: 0.6 }),
  unknownAnions: undefined,
  passed: true,
  suspects: ["hydrogencarbonate was not measured"],
  parts: [],
  criteria: [],
};

function results(channels: readonly ("anion" | "cation")[]): Results {
  const batches = channels.map((channel) => ({ method: { channel } }) as unknown as Batch);
  return {
    kind: "results",
    title: "Invented wells",
    invented: true,
    batches,
    samples: [sample, notMeasured],
    peaks: [peak],
    calibrations: [
      calibration("quadratic", [0.01, 0.24, -0.001], [0.001, 0.002, 0.0003]),
      calibration("linear", [0.01, 0.24], [0.001, 0.002]),
      calibration("through-zero", [0, 0.24], [0, 0.002]),
      calibration("weak", [3.5, 0.25], [0.01, 0.02]),
    ],
    checks: [
      {
        check: "second source",
        injection: "A4",
        ion: "chloride",
        channel: "anion",
        found: 99.2,
        expected: undefined,
        limit: "90–110 %",
        passed: false,
        source: "common practice, no source",
        touches: ["well"],
      },
    ],
    balances: [balance],
    unknowns: [],
    traces: new Map(),
    toString: () => "",
  } as unknown as Results;
}

const rows = (table: string): Record<string, string>[] => parse(table, { columns: true });

describe("the tables of a batch's results", () => {
  const tables = resultTables(results(["anion", "cation"]));

  // CONTRACT §7, word for word.
  it.each([
    ["results.csv", "sample,ion,value,unit,u,dof,low95,high95,status,dilution,injection,flags"],
    [
      "peaks.csv",
      "injection,ion,retention_time,area,u_area,height,width_half,tailing,resolution_next,signal_to_noise,identity",
    ],
    [
      "calibration.csv",
      "ion,model,weighting,b0,b1,b2,u_b0,u_b1,u_b2,residual_sd,dof,low,high,lod,loq,mdl,verdict",
    ],
    ["checks.csv", "check,injection,ion,found,expected,limit,passed,source"],
    [
      "balance.csv",
      "sample,cations_meq_L,anions_meq_L,percent_difference,u_percent,unknown_anions_meq_L,passed,suspects",
    ],
  ])("%s has exactly the columns of the contract, in its order", (file, header) => {
    expect(tables[file].split("\n")[0]).toBe(header);
  });

  it("give value, u and a 95 % interval by Student's factor", () => {
    const [row] = rows(tables["results.csv"]);
    expect(row).toMatchObject({ sample: "'=well; <b>", value: "24.5", u: "0.1", dof: "12", dilution: "10" });
    // t(0.95, 12) = 2.18: JCGM 100:2008, table G.2, printed to two decimals.
    expect(Math.abs((Number(row.high95) - 24.5) / 0.1 - 2.18)).toBeLessThan(0.005);
    expect(Math.abs((24.5 - Number(row.low95)) / 0.1 - 2.18)).toBeLessThan(0.005);
    expect(row.flags).toBe("check-high;a,b");
  });

  it("leave value, u, dof and interval empty for what was not measured, and nothing else", () => {
    const [, row] = rows(tables["results.csv"]);
    expect(row).toMatchObject({
      value: "",
      u: "",
      dof: "",
      low95: "",
      high95: "",
      dilution: "",
      injection: "",
    });
    expect(row).toMatchObject({
      sample: "well",
      ion: "hydrogencarbonate",
      unit: "mg/L",
      status: "not measured",
    });
  });

  it("give peaks with their areas in full and empty cells where a figure does not apply", () => {
    const [row] = rows(tables["peaks.csv"]);
    expect(row).toMatchObject({
      area: "0.123456789",
      u_area: "0.0012",
      width_half: "",
      tailing: "1.2",
      resolution_next: "",
      identity: "unknown",
    });
  });

  it("put every coefficient in the column of its power, those of a weak acid in b1 and b2", () => {
    const found = rows(tables["calibration.csv"]).map((row) => [
      row.b0,
      row.b1,
      row.b2,
      row.u_b0,
      row.u_b1,
      row.u_b2,
    ]);
    expect(found).toEqual([
      ["0.01", "0.24", "-0.001", "0.001", "0.002", "0.0003"],
      ["0.01", "0.24", "", "0.001", "0.002", ""],
      ["0", "0.24", "", "0", "0.002", ""],
      ["", "3.5", "0.25", "", "0.01", "0.02"],
    ]);
    expect(rows(tables["calibration.csv"])[0].mdl).toBe("");
  });

  it("say true or false of a check, and nothing of an expectation it does not have", () => {
    expect(rows(tables["checks.csv"])[0]).toMatchObject({ passed: "false", expected: "", found: "99.2" });
  });

  it("balance a sample where both channels are given, and only there", () => {
    expect(rows(tables["balance.csv"])[0]).toEqual({
      sample: "well",
      cations_meq_L: "6.1",
      anions_meq_L: "6",
      percent_difference: "-0.83",
      u_percent: "0.6",
      unknown_anions_meq_L: "",
      passed: "true",
      suspects: "hydrogencarbonate was not measured",
    });
    expect(Object.keys(resultTables(results(["anion"])))).not.toContain("balance.csv");
    expect(Object.keys(resultTables(results(["cation", "cation"])))).not.toContain("balance.csv");
  });
});
