import { describe, expect, it } from "vitest";
import type { EluentProgram } from "../../toolkit/separation/eluent-program.js";
import { type ColumnIon, predictPeak } from "../../toolkit/separation/peak-width.js";
import { predictSeparation } from "../../toolkit/separation/separation.js";

const HALF_WIDTH = 2.3548;
const ion = (a: number, b: number, plates: number): ColumnIon => ({ a, b, plates });

/** Ions, programme and times of handbook SIMULATOR §3 (all parameters invented there). */
const anions = {
  fluoride: ion(1.0, 0.95, 7000),
  acetate: ion(1.16, 0.95, 6500),
  formate: ion(1.24, 0.95, 6500),
  chlorite: ion(1.4, 0.96, 6500),
  bromate: ion(1.47, 0.96, 6500),
  chloride: ion(1.66, 1.0, 7500),
  nitrite: ion(1.79, 1.0, 7000),
  chlorate: ion(1.955, 0.99, 6500),
  bromide: ion(1.995, 1.0, 6500),
  nitrate: ion(2.045, 1.0, 6500),
  sulfate: ion(3.36, 1.95, 6000),
  phosphate: ion(4.8, 2.75, 5000),
};
const anionProgram: EluentProgram = [
  [0, 10],
  [6, 10],
  [16, 40],
  [20, 40],
];

/** Ions of handbook RETENTION §6 and SIMULATOR §4 (invented there). */
const cations = {
  lithium: ion(1.185, 0.95, 7000),
  sodium: ion(1.333, 0.95, 7000),
  ammonium: ion(1.402, 0.95, 7000),
  potassium: ion(1.553, 0.94, 6500),
  rubidium: ion(1.629, 0.94, 6500),
  caesium: ion(1.73, 0.93, 6000),
  magnesium: ion(2.9, 1.9, 5500),
  calcium: ion(3.028, 1.9, 5500),
  strontium: ion(3.14, 1.9, 5200),
  barium: ion(3.335, 1.9, 5000),
};
const cationTimes = { holdUpTime: 1.45, dwellTime: 0.65 };

describe("the anion separation of handbook SIMULATOR §3 (computed there)", () => {
  const { peaks } = predictSeparation(
    anions,
    anionProgram,
    { holdUpTime: 1.6, dwellTime: 0.6 },
    { extraColumnSigma: 0 },
  );

  it.each([
    ["fluoride", 3.4, 0.096, 4.33],
    ["acetate", 4.19, 0.123, 2.38],
    ["formate", 4.72, 0.138, 4.85],
    ["chlorite", 6.01, 0.175, 2.44],
    ["bromate", 6.78, 0.198, 6.1],
    ["chloride", 8.85, 0.203, 5.24],
    ["nitrite", 10.6, 0.191, 7.05],
    ["chlorate", 12.98, 0.207, 1.15],
    ["bromide", 13.38, 0.209, 2.02],
    ["nitrate", 14.11, 0.215, 4.79],
    ["sulfate", 15.61, 0.154, 10.66],
    ["phosphate", 18.49, 0.164, undefined],
  ])("%s: %f min, half width %f min, resolution %f", (name, time, width, resolution) => {
    const peak = peaks.find((p) => p.ion === name);
    expect(peak?.retentionTime).toBeCloseTo(time, 1.9);
    expect(HALF_WIDTH * (peak?.sigma ?? 0)).toBeCloseTo(width, 2.9);
    if (resolution === undefined) expect(peak?.resolutionNext).toBeUndefined();
    else expect(Math.abs((peak?.resolutionNext ?? 0) - resolution)).toBeLessThan(0.011);
  });
});

describe("the cation separation of handbook SIMULATOR §4 (computed there)", () => {
  const program: EluentProgram = [
    [0, 4.5],
    [8, 4.5],
    [18, 36],
    [24, 36],
  ];
  const separation = predictSeparation(cations, program, cationTimes, { extraColumnSigma: 0 });

  it("gives every retention time", () => {
    const expected = [6.77, 8.93, 10.21, 12.38, 13.26, 14.54, 16.07, 16.96, 17.8, 19.43];
    for (const [i, { retentionTime }] of separation.peaks.entries())
      expect(retentionTime).toBeCloseTo(expected[i], 1.9);
    expect(separation.peaks).toHaveLength(expected.length);
  });

  it("finds sodium and ammonium as the worst pair, at 2.92", () => {
    expect(separation.worst).toMatchObject({ first: "sodium", second: "ammonium" });
    expect(Math.abs((separation.worst?.resolution ?? 0) - 2.92)).toBeLessThan(0.011);
  });

  it("tells itself in words with the worst pair", () => {
    expect(String(separation)).toContain("worst pair: sodium and ammonium, resolution 2.92");
  });
});

/** Ions of handbook RETENTION §6 (invented there). */
const ten = {
  fluoride: ion(1.0, 0.95, 7000),
  formate: ion(1.24, 0.95, 6500),
  bromate: ion(1.47, 0.96, 6500),
  chloride: ion(1.66, 1.0, 7500),
  nitrite: ion(1.79, 1.0, 7000),
  bromide: ion(1.985, 1.0, 6500),
  nitrate: ion(2.06, 1.0, 6500),
  sulfate: ion(3.36, 1.95, 6000),
  oxalate: ion(3.46, 1.95, 6000),
  phosphate: ion(4.8, 2.75, 5000),
};
const tenTimes = { holdUpTime: 1.6, dwellTime: 0.6 };

describe("ten anions at constant strength, handbook RETENTION §6 (computed there)", () => {
  it.each([
    [10, 3.17, 189],
    [15, 3.02, 63],
    [20, 2.48, 29.5],
    [30, 0.12, 10.8],
    [40, 0.34, 6.4],
    [50, 0.44, 5.5],
  ])("at %f mmol/L the worst resolution is %f and the run ends at %f min", (c, worst, end) => {
    const separation = predictSeparation(ten, [[0, c]], tenTimes);
    expect(Math.abs((separation.worst?.resolution ?? 0) - worst)).toBeLessThan(0.011);
    expect(Math.abs(separation.end - end)).toBeLessThan(end > 50 ? 0.6 : 0.06);
  });
});

describe("ten anions under the robust programme of handbook RETENTION §6 (computed there)", () => {
  const program: EluentProgram = [
    [0, 17.2],
    [6.45, 17.2],
    [9.48, 16.2],
    [11.9, 42.2],
  ];
  const separation = predictSeparation(ten, program, tenTimes);

  // Concentrations and times of the programme are printed to three digits, hence 0.02 min.
  it("gives every retention time, on a falling stretch too", () => {
    const expected = [2.67, 3.46, 4.68, 5.85, 7.34, 10.62, 12.29, 13.53, 14.25, 15.67];
    for (const [i, { retentionTime }] of separation.peaks.entries()) {
      expect(Math.abs(retentionTime - expected[i])).toBeLessThan(0.02);
    }
  });

  it("has its worst pair at 3.27 and ends at 15.9 min", () => {
    expect(Math.abs((separation.worst?.resolution ?? 0) - 3.27)).toBeLessThan(0.02);
    expect(Math.abs(separation.end - 15.9)).toBeLessThan(0.06);
  });
});

describe("the width of a band", () => {
  it("is t0(1 + k)/√N at constant strength", () => {
    const { sigma } = predictPeak(ion(1.66, 1, 7500), [[0, 20]], tenTimes, { extraColumnSigma: 0 });
    expect(sigma).toBeCloseTo((1.6 * (1 + 10 ** 1.66 / 20)) / Math.sqrt(7500), 8);
  });

  it("adds the extra-column spread in variance", () => {
    const bare = predictPeak(anions.fluoride, anionProgram, tenTimes, { extraColumnSigma: 0 }).sigma;
    expect(predictPeak(anions.fluoride, anionProgram, tenTimes).sigma).toBeCloseTo(
      Math.hypot(bare, 1.2 / 60),
      12,
    );
  });

  // Source: handbook RETENTION §3 [study]: without compression widths come out up to 49 % too large (Ca, Sr).
  it("would be up to 49 % too large without gradient compression on the steep programme", () => {
    const steep: EluentProgram = [
      [0, 4],
      [8.43, 4],
      [15.18, 22.3],
      [16.38, 55.7],
    ];
    const excess = (["calcium", "strontium"] as const).map((name) => {
      const { sigma, exitRetentionFactor } = predictPeak(cations[name], steep, cationTimes, {
        extraColumnSigma: 0,
      });
      return 100 * ((1.45 * (1 + exitRetentionFactor)) / Math.sqrt(cations[name].plates) / sigma - 1);
    });
    expect(Math.max(...excess)).toBeGreaterThan(48);
    expect(Math.max(...excess)).toBeLessThan(50.5);
  });

  it("needs a plate number above zero", () => {
    expect(() => predictPeak(ion(1, 1, 0), [[0, 20]], tenTimes)).toThrow(
      expect.objectContaining({ code: "bad-plates" }),
    );
  });
});
