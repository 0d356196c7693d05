// Scouting study of the laboratory's handbook (retention §4, ion parameters invented there): error of the retention
// time of an unseen ramp 6→40 mmol/L after scouting with 0.15 % error of times, 1 % of t₀ and 3 % of t_D.
import { describe, expect, it } from "vitest";
import { createRandom, type Random } from "../../toolkit/numeric/random.js";
import type { EluentProgram } from "../../toolkit/separation/eluent-program.js";
import { fitRetention, type ScoutingRun } from "../../toolkit/separation/fit-retention.js";
import { holdUpTime, retentionFactorWith } from "../../toolkit/separation/hold-up-time.js";
import {
  peakCapacityGradient,
  peakCapacityIsocratic,
  peakCapacitySegments,
} from "../../toolkit/separation/peak-capacity.js";
import {
  type ColumnTimes,
  predictRetention,
  type RetentionModel,
} from "../../toolkit/separation/retention.js";
import { measured } from "../../toolkit/uncertainty/measured.js";

const IONS: Readonly<Record<string, RetentionModel>> = {
  chloride: { a: 1.66, b: 0.98 },
  sulfate: { a: 3.36, b: 1.9 },
  phosphate: { a: 4.8, b: 2.75 },
};
const NOMINAL: Required<ColumnTimes> = { holdUpTime: 1.6, dwellTime: 0.6 };
const isocratic = (c: number): EluentProgram => [[0, c]];
const ramp = (from: number, to: number, minutes: number): EluentProgram => [
  [0, from],
  [minutes, to],
];
const UNSEEN: EluentProgram = [
  [0, 6],
  [3, 6],
  [18, 40],
];
const SCOUTING = [isocratic(8), isocratic(25), ramp(5, 50, 10), ramp(5, 50, 30)];

/** Runs on a column whose two times are not quite the nominal ones, each reading with its error. */
function scout(programs: readonly EluentProgram[], random: Random) {
  const times = {
    holdUpTime: NOMINAL.holdUpTime * (1 + 0.01 * random.normal()),
    dwellTime: NOMINAL.dwellTime * (1 + 0.03 * random.normal()),
  };
  const runs = programs.map(
    (program): ScoutingRun => ({
      program,
      retentionTimes: Object.fromEntries(
        Object.entries(IONS).map(([name, model]) => [
          name,
          predictRetention(model, program, times).retentionTime * (1 + 0.0015 * random.normal()),
        ]),
      ),
    }),
  );
  return { times, runs };
}

describe("a retention model fitted to scouting runs", () => {
  it("without errors is the true one, hold-up and dwell time included", () => {
    const times = { holdUpTime: 1.61, dwellTime: 0.615 };
    const runs = SCOUTING.map((program) => ({
      program,
      retentionTimes: Object.fromEntries(
        Object.entries(IONS).map(([name, model]) => [
          name,
          predictRetention(model, program, times).retentionTime,
        ]),
      ),
    }));
    const fit = fitRetention(runs, { times: NOMINAL, relativeU: 1e-7 });
    for (const [name, { a, b }] of Object.entries(IONS)) {
      expect(Math.abs(fit.ions[name].a - a)).toBeLessThan(1e-5);
      expect(Math.abs(fit.ions[name].b - b)).toBeLessThan(1e-5);
    }
    expect(Math.abs(fit.holdUpTime.value - 1.61)).toBeLessThan(1e-4);
    expect(Math.abs(fit.dwellTime.value - 0.615)).toBeLessThan(1e-3);
    expect(fit.warnings).toEqual([]);
  });

  it("predicts an unseen ramp within the handbook's 0.11 % (monovalent and divalent) and 0.09 %, and knows how well", () => {
    const errors: Record<string, number[]> = { chloride: [], sulfate: [], phosphate: [] };
    let inside = 0;
    let all = 0;
    for (const seed of [1, 2, 3]) {
      const random = createRandom(seed);
      for (let turn = 0; turn < 12; turn++) {
        const { times, runs } = scout(SCOUTING, random);
        const fit = fitRetention(runs, { times: NOMINAL });
        for (const [name, model] of Object.entries(IONS)) {
          const truth = predictRetention(model, UNSEEN, times).retentionTime;
          const found = fit.predict(name, UNSEEN);
          errors[name].push(found.value / truth - 1);
          if (Math.abs(found.value - truth) <= 2 * found.u) inside++;
          all++;
        }
      }
    }
    const rms = (values: readonly number[]) => Math.hypot(...values) / Math.sqrt(values.length);
    expect(rms(errors.chloride)).toBeLessThan(1.3 * 0.0011);
    expect(rms(errors.sulfate)).toBeLessThan(1.3 * 0.0011);
    expect(rms(errors.phosphate)).toBeLessThan(1.3 * 0.0009);
    expect(inside / all).toBeGreaterThan(0.88);
  });

  it("warns of strengths too close together and of names that look swapped", () => {
    const { runs } = scout([isocratic(15), isocratic(20)], createRandom(1));
    const fit = fitRetention(runs, { times: NOMINAL });
    expect(fit.warnings.join()).toMatch(/span only 15.* to 20/);
    const swapped = scout(SCOUTING, createRandom(1)).runs.map(({ program, retentionTimes }) => ({
      program,
      retentionTimes: { chloride: retentionTimes.sulfate, sulfate: retentionTimes.chloride },
    }));
    expect(fitRetention(swapped, { times: NOMINAL }).warnings.join()).toMatch(/chloride: b = .*swapped/);
  });

  it.each([
    ["too-few-runs", () => fitRetention(scout([isocratic(8)], createRandom(1)).runs, { times: NOMINAL })],
    ["bad-hold-up-time", () => fitRetention([], { times: { holdUpTime: 0 } })],
    [
      "bad-retention-time",
      () =>
        fitRetention(
          [8, 25].map((c) => ({ program: isocratic(c), retentionTimes: { chloride: 0.5 } })),
          { times: NOMINAL },
        ),
    ],
    [
      "unknown-ion",
      () =>
        fitRetention(scout(SCOUTING, createRandom(1)).runs, { times: NOMINAL }).predict("bromide", UNSEEN),
    ],
  ])("refuses with %s", (code, call) => {
    expect(call).toThrow(expect.objectContaining({ code }));
  });
});

describe("hold-up time", () => {
  const time = Float64Array.from({ length: 600 }, (_, i) => i / 200);
  const dip = time.map((t) => 2 - 1.2 * Math.exp(-0.5 * ((t - 1.68) / 0.04) ** 2));
  const fit = fitRetention(scout([isocratic(6), isocratic(14), isocratic(32)], createRandom(2)).runs, {
    times: NOMINAL,
  });
  const geometry = { length: 250, diameter: 4, flow: 1 };

  it("comes from the most trusted way given, the others beside it", () => {
    const all = holdUpTime({ fit, unretained: 1.62, dip: { time, signal: dip }, geometry });
    expect(all.method).toBe("retention fit");
    expect(all.value).toBe(fit.holdUpTime);
    expect(all.others.map(({ method }) => method)).toEqual(["unretained ion", "water dip", "geometry"]);
    expect(holdUpTime({ unretained: 1.62, geometry }).method).toBe("unretained ion");
  });

  it("at the onset of the dip lies 2.15σ before the minimum of a Gaussian dip (definition of 10 %)", () => {
    const { value } = holdUpTime({ dip: { time, signal: dip } });
    expect(Math.abs(value.value - (1.68 - 0.04 * Math.sqrt(2 * Math.log(10))))).toBeLessThan(1e-3);
  });

  it("from geometry is επd²L/(4F), and says when it contradicts", () => {
    const { value } = holdUpTime({ geometry });
    expect(value.value).toBeCloseTo((0.65 * Math.PI * 16 * 250) / 4000, 12);
    expect(value.u / value.value).toBeCloseTo(0.05 / 0.65 / Math.sqrt(3), 12);
    expect(holdUpTime({ unretained: 1.2, geometry }).warnings.join()).toMatch(/by geometry it would be/);
  });

  it("makes 1 % of its error 3 % of k at k = 0.5 and 1.1 % at k = 10 (handbook, figures of peaks §2)", () => {
    const found = holdUpTime({ unretained: measured(1, "min", { u: 0.01 }) });
    for (const [k, percent] of [
      [0.5, 3],
      [10, 1.1],
    ]) {
      const { retentionFactor, method } = retentionFactorWith(found, 1 + k);
      expect(retentionFactor.value).toBeCloseTo(k, 12);
      expect((100 * retentionFactor.u) / k).toBeCloseTo(percent, 6);
      expect(method).toBe("unretained ion");
    }
  });

  it.each([
    ["no-evidence", () => holdUpTime({})],
    ["no-dip", () => holdUpTime({ dip: { time, signal: time.map(() => 1) } })],
    ["bad-geometry", () => holdUpTime({ geometry: { ...geometry, flow: 0 } })],
    ["bad-hold-up-time", () => retentionFactorWith(holdUpTime({ unretained: 2 }), 1.5)],
  ])("refuses with %s", (code, call) => {
    expect(call).toThrow(expect.objectContaining({ code }));
  });
});

describe("peak capacity", () => {
  it("isocratic counts peaks laid side by side at a resolution of 1 (built up one by one)", () => {
    // Neighbours at Rs = 1: t₂ − t₁ = 2(σ₁ + σ₂), σ = t/√N.
    const [plates, first] = [10_000, 1.6];
    const ratio = (1 + 2 / Math.sqrt(plates)) / (1 - 2 / Math.sqrt(plates));
    expect(peakCapacityIsocratic(plates, first * ratio ** 40, first)).toBeCloseTo(41, 1);
  });

  it("of a gradient of equal widths and of segments of equal widths agree", () => {
    const peaks = [2, 7, 22].map((retentionTime) => ({ retentionTime, sigma: 0.05 }));
    expect(peakCapacityGradient(20, [0.05, 0.05])).toBeCloseTo(101, 9);
    expect(peakCapacitySegments(peaks)).toBeCloseTo(101, 9);
  });

  it("of segments is the integral, summed finely", () => {
    const peaks = [
      { retentionTime: 9, sigma: 0.12 },
      { retentionTime: 3, sigma: 0.04 },
      { retentionTime: 15, sigma: 0.06 },
    ];
    const sigmaAt = (t: number) => (t < 9 ? 0.04 + ((t - 3) * 0.08) / 6 : 0.12 - ((t - 9) * 0.06) / 6);
    let sum = 1;
    for (let i = 0; i < 120_000; i++) sum += 1e-4 / (4 * sigmaAt(3 + (i + 0.5) * 1e-4));
    expect(peakCapacitySegments(peaks)).toBeCloseTo(sum, 6);
  });

  it.each([
    ["bad-plates", () => peakCapacityIsocratic(0, 3, 1)],
    ["bad-hold-up-time", () => peakCapacityIsocratic(100, 1, 3)],
    ["bad-width", () => peakCapacityGradient(10, [])],
    ["too-few-peaks", () => peakCapacitySegments([{ retentionTime: 1, sigma: 1 }])],
  ])("refuses with %s", (code, call) => {
    expect(call).toThrow(expect.objectContaining({ code }));
  });
});
