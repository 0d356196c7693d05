import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { readChromatogram } from "../../toolkit/batch/reading/chromatogram.js";
import { fileOf } from "./invented-batch.js";
import { netcdfFile } from "./netcdf-file.js";
import { refusalOf } from "./refusal.js";

const reference = (name: string): string =>
  fileURLToPath(new URL(`../reference/andi/${name}`, import.meta.url));

const REAL = reference("liquid-chromatogram-8-peaks.cdf");
/** Relative step of a 32-bit float: what a file of such floats can say. */
const FLOAT = 2 ** -23;

describe("a real liquid chromatogram in the layout of ASTM E1947 (tests/reference/andi/SOURCE.md)", () => {
  it("has 4651 readings from 0.012 s to 1860.012 s, 0.4 s apart, told in minutes", async () => {
    const { time } = await readChromatogram(REAL);
    expect(time.length).toBe(4651);
    expect(Math.abs(time[0] * 60 - 0.012)).toBeLessThan(0.012 * FLOAT);
    expect(Math.abs(time[4650] * 60 - 1860.012)).toBeLessThan(1860 * FLOAT);
    const intervals = time.subarray(1).map((t, i) => (t - time[i]) * 60);
    expect(Math.max(...intervals) - 0.4).toBeLessThan(0.4 * FLOAT);
    expect(0.4 - Math.min(...intervals)).toBeLessThan(0.4 * FLOAT);
  });

  it("runs from −0.07588416337966919 to 119.02395629882812 mAU and keeps that unit", async () => {
    const chromatogram = await readChromatogram(REAL);
    expect(Math.min(...chromatogram.signal)).toBe(-0.07588416337966919);
    expect(Math.max(...chromatogram.signal)).toBe(119.02395629882812);
    expect(chromatogram.signalUnit).toBe("mAU");
    expect(chromatogram.id).toBe("liquid-chromatogram-8-peaks");
    expect(chromatogram.notes).toEqual(["time given in seconds, converted to min"]);
  });

  it("gives the eight areas stored in the file, by trapezoids above the stored baselines", async () => {
    const chromatogram = await readChromatogram(REAL);
    const [header, ...rows] = readFileSync(reference("liquid-chromatogram-8-peaks.expected.csv"), "utf8")
      .trim()
      .split("\n")
      .map((line) => line.split(","));
    expect(rows.length).toBe(8);
    for (const row of rows) {
      const of = (column: string): number => Number(row[header.indexOf(column)]);
      const area = areaAboveLine(chromatogram, {
        start: of("start_s") / 60,
        end: of("end_s") / 60,
        from: of("baseline_start"),
        to: of("baseline_stop"),
      });
      // Printed to six decimals; times of the file are 32-bit floats, some 1e-7 of a peak's width.
      expect(Math.abs((area * 60) / of("trapezoid_area_same_baseline") - 1)).toBeLessThan(1e-6);
      expect(Math.abs((area * 60) / of("reported_area") - 1)).toBeLessThan(2e-6);
    }
  });
});

interface Stretch {
  readonly start: number;
  readonly end: number;
  readonly from: number;
  readonly to: number;
}

function areaAboveLine(trace: { time: Float64Array; signal: Float64Array }, stretch: Stretch): number {
  const inside = [...trace.time].filter((t) => t > stretch.start && t < stretch.end);
  const times = [stretch.start, ...inside, stretch.end];
  const above = times.map((t) => {
    const share = (t - stretch.start) / (stretch.end - stretch.start);
    return valueAt(trace, t) - (stretch.from + share * (stretch.to - stretch.from));
  });
  return times.slice(1).reduce((sum, t, i) => sum + ((t - times[i]) * (above[i] + above[i + 1])) / 2, 0);
}

function valueAt({ time, signal }: { time: Float64Array; signal: Float64Array }, t: number): number {
  const after = time.findIndex((each) => each >= t);
  if (time[after] === t || after === 0) return signal[after];
  const share = (t - time[after - 1]) / (time[after] - time[after - 1]);
  return signal[after - 1] + share * (signal[after] - signal[after - 1]);
}

describe("the synthetic conformance file beside its text dump (tests/reference/andi/SOURCE.md)", () => {
  it("holds the ordinates, delay, interval and unit that the dump lists", async () => {
    const dump = readFileSync(reference("conformance-andi-chrom-valid.cdl"), "utf8");
    const listed = (/ ordinate_values = ([^;]*);/.exec(dump)?.[1] ?? "").split(",").map(Number);
    const { time, signal, signalUnit } = await readChromatogram(
      reference("conformance-andi-chrom-valid.cdf"),
    );
    expect(listed.length).toBe(10);
    expect([...signal]).toEqual(listed.map(Math.fround));
    // actual_delay_time = 0 and actual_sampling_interval = 10, in seconds
    [...time].forEach((t, i) => {
      expect(t * 60).toBeCloseTo(10 * i, 12);
    });
    expect(signalUnit).toBe("au");
  });
});

describe("what a netCDF file may hold besides (files written by the published layout)", () => {
  const sound = {
    attributes: { detector_unit: "uS/cm\0", retention_unit: "seconds" },
    variables: {
      ordinate_values: [1, 2, 3, 2, 1, 1],
      actual_sampling_interval: 30,
      actual_delay_time: 6,
    },
  };

  it("reads conductivity and leaves out readings of −9999, telling how many", async () => {
    const variables = { ...sound.variables, ordinate_values: [1, 2, -9999, 2, 1, -9999] };
    const chromatogram = await readChromatogram(fileOf("a.cdf", netcdfFile({ ...sound, variables })));
    expect([...chromatogram.signal]).toEqual([1, 2, 2, 1]);
    [0.1, 0.6, 1.6, 2.1].forEach((t, i) => {
      expect(chromatogram.time[i]).toBeCloseTo(t, 12);
    });
    expect(chromatogram.signalUnit).toBe("µS/cm");
    expect(chromatogram.notes.join()).toMatch(/2 readings marked as missing/);
  });

  it("takes the listed times where the sampling is marked as not uniform", async () => {
    const content = {
      ...sound,
      variables: { ...sound.variables, raw_data_retention: [0, 30, 60, 120, 150, 180] },
      variableAttributes: { ordinate_values: { uniform_sampling_flag: "N" } },
    };
    const { time, notes } = await readChromatogram(fileOf("a.cdf", netcdfFile(content)));
    [0, 0.5, 1, 2, 2.5, 3].forEach((t, i) => {
      expect(time[i]).toBeCloseTo(t, 12);
    });
    expect(notes.join()).toMatch(/uneven/);
  });

  it("asks for the unit where the file has none, and takes the one that is given", async () => {
    const file = fileOf("a.cdf", netcdfFile({ ...sound, attributes: {} }));
    const refused = await refusalOf(readChromatogram(file));
    expect(refused.code).toBe("missing-unit");
    expect(refused.message).toMatch(/signalUnit/);
    const { signal, signalUnit } = await readChromatogram(file, { signalUnit: "nS/cm" });
    expect(signalUnit).toBe("µS/cm");
    expect(signal[1]).toBeCloseTo(0.002, 15);
  });

  it.each([
    ["a file that broke off in its data", "truncated-file", netcdfFile(sound).slice(0, -9)],
    ["a file that broke off in its header", "truncated-file", netcdfFile(sound).slice(0, 60)],
    [
      "an interval of zero",
      "bad-sampling",
      netcdfFile({ ...sound, variables: { ...sound.variables, actual_sampling_interval: 0 } }),
    ],
    [
      "a file without readings",
      "unknown-format",
      netcdfFile({ ...sound, variables: { actual_sampling_interval: 1 } }),
    ],
    ["netCDF-4", "unknown-format", Buffer.from("\x89HDF\r\n\x1a\n and so on", "latin1")],
  ])("refuses %s", async (_, code, bytes) => {
    const file = fileOf("a.cdf", bytes);
    const refused = await refusalOf(readChromatogram(file));
    expect(refused.code).toBe(code);
    expect(refused.where?.file).toBe(file);
    expect(refused.message).toMatch(/export|convert/);
  });
});
