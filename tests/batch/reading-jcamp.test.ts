import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readChromatogram } from "../../toolkit/batch/reading/chromatogram.js";
import { decodeJcamp } from "../../toolkit/batch/reading/jcamp.js";
import { fileOf } from "./invented-batch.js";
import { refusalOf } from "./refusal.js";

const fixture = (form: string): string =>
  readFileSync(new URL(`../reference/jcamp/asdf-small-${form}.dx`, import.meta.url), "utf8");

const START = [-10247, 1201, -5196, 7245, -5777, 5015, -8583, -3100];

describe("the published forms of one JCAMP-DX record (tests/reference/jcamp/SOURCE.md)", () => {
  it.each([
    ["fix", 8, -19442],
    ["packed", 30, -15732],
    ["squeezed", 38, -35641],
    ["difdup", 30, -15732],
  ])("%s decodes to %i ordinates of sum %i, e and E being digits", async (form, count, sum) => {
    const { x, y } = await decodeJcamp(fixture(form), form);
    expect(y.length).toBe(count);
    expect(y.slice(0, 8)).toEqual(START);
    expect(y.reduce((total, each) => total + each, 0)).toBe(sum);
    // 16383 × 0.341380770512785; FIRSTX is printed to 15 digits
    expect(Math.abs(x[0] - 16383 * 0.341380770512785)).toBeLessThan(1e-10);
  });

  it("packed and difference forms hold the same ordinates", async () => {
    const packed = await decodeJcamp(fixture("packed"), "packed");
    expect((await decodeJcamp(fixture("difdup"), "difdup")).y).toEqual(packed.y);
  });
});

/** An invented chromatogram in pairs. */
const PAIRS = `##TITLE=invented
##JCAMP-DX=4.24
##DATA TYPE=CHROMATOGRAM
##XUNITS=SECONDS
##YUNITS=nS/cm
##NPOINTS=4
##XYPOINTS=(XY..XY)
0,800 30,1800
60,900 90,800
##END=
`;

describe("a chromatogram in JCAMP-DX", () => {
  it("is read in minutes and µS/cm", async () => {
    const { time, signal, signalUnit, notes } = await readChromatogram(fileOf("a.jdx", PAIRS));
    [0, 0.5, 1, 1.5].forEach((t, i) => {
      expect(time[i]).toBeCloseTo(t, 14);
    });
    [0.8, 1.8, 0.9, 0.8].forEach((y, i) => {
      expect(signal[i]).toBeCloseTo(y, 14);
    });
    expect(signalUnit).toBe("µS/cm");
    expect(notes).toEqual([
      "time given in SECONDS, converted to min",
      "signal given in nS/cm, converted to µS/cm",
    ]);
  });

  it("is refused where the abscissa runs back, as in the fixtures' frequencies", async () => {
    const file = fileOf("a.dx", fixture("packed"));
    const refused = await refusalOf(readChromatogram(file, { timeUnit: "s", signalUnit: "µS/cm" }));
    expect(refused.code).toBe("time-not-increasing");
  });

  it.each([
    ["no unit of time", "missing-unit", PAIRS.replace("##XUNITS=SECONDS\n", "")],
    ["a unit that is no time", "missing-unit", PAIRS.replace("SECONDS", "HZ")],
    ["no unit of the signal", "missing-unit", PAIRS.replace("##YUNITS=nS/cm\n", "")],
    ["no end", "truncated-file", PAIRS.replace("60,900 90,800\n##END=\n", "")],
    ["fewer readings than promised", "truncated-file", PAIRS.replace("60,900 90,800\n", "")],
    ["no readings", "no-data", PAIRS.replace(/##NPOINTS[\s\S]*##END/, "##END")],
  ])("is refused with %s", async (_, code, text) => {
    const refused = await refusalOf(readChromatogram(fileOf("a.dx", text)));
    expect(refused.code).toBe(code);
    expect(refused.message).toMatch(/add|copy|export/);
  });
});
