import { describe, expect, it } from "vitest";
import type { EluentProgram } from "../../toolkit/separation/eluent-program.js";
import { eluentConcentration, eluentSegments } from "../../toolkit/separation/eluent-program.js";
import {
  type ColumnTimes,
  crossingConcentration,
  predictRetention,
  type RetentionModel,
  retentionFactor,
} from "../../toolkit/separation/retention.js";

const ramp: EluentProgram = [
  [0, 8],
  [5, 8],
  [20, 45],
  [25, 45],
];
const times: ColumnTimes = { holdUpTime: 1.45, dwellTime: 0.65 };

/** The ion moved along the column in small steps of time: an independent way to the same retention time. */
function migrate(
  model: RetentionModel,
  program: EluentProgram,
  { holdUpTime, dwellTime = 0 }: ColumnTimes,
): number {
  const step = 1e-3;
  const speed = (t: number, z: number) =>
    1 /
    (holdUpTime * (1 + retentionFactor(model, eluentConcentration(program, t - z * holdUpTime - dwellTime))));
  let z = 0;
  for (let t = 0; ; t += step) {
    const half = z + (step / 2) * speed(t, z);
    const dz = step * speed(t + step / 2, half);
    if (z + dz >= 1) return t + (step * (1 - z)) / dz;
    z += dz;
  }
}

describe("retention times in closed form", () => {
  // Source: handbook RETENTION §2, brute-force migration with 1e-4 min steps (study retention_results.txt), computed there.
  it.each([
    [1.3, 0.95, 5.4627],
    [3.0, 1.9, 13.1064],
    [4.5, 2.75, 16.5865],
  ])("a %f, b %f leaves at %f min, as found by brute-force migration", (a, b, expected) => {
    expect(predictRetention({ a, b }, ramp, times).retentionTime).toBeCloseTo(expected, 4);
  });

  it.each([
    [
      "a falling ramp",
      [
        [0, 40],
        [3, 40],
        [8, 10],
        [30, 10],
      ],
    ],
    [
      "steps",
      [
        [0, 10],
        [4, 10],
        [4, 25],
        [7, 25],
        [7, 15],
      ],
    ],
    [
      "a program that begins late",
      [
        [2, 12],
        [9, 30],
      ],
    ],
  ] as [string, EluentProgram][])("agree with stepwise migration under %s", (_, program) => {
    for (const model of [
      { a: 1.5, b: 0.95 },
      { a: 2.9, b: 1.9 },
    ]) {
      const { retentionTime } = predictRetention(model, program, times);
      expect(Math.abs(retentionTime - migrate(model, program, times))).toBeLessThan(2e-3);
    }
  });

  it("are t0(1 + k) at constant strength, and the exit factor is k", () => {
    const model = { a: 1.66, b: 1 };
    const { retentionTime, exitRetentionFactor } = predictRetention(model, [[0, 20]], { holdUpTime: 1.6 });
    expect(exitRetentionFactor).toBeCloseTo(10 ** 1.66 / 20, 12);
    expect(retentionTime).toBeCloseTo(1.6 * (1 + 10 ** 1.66 / 20), 12);
  });

  it("of two ions are equal at their crossing strength and change order there", () => {
    const nitrate = { a: 2.06, b: 1 };
    const sulfate = { a: 3.36, b: 1.95 };
    const c = crossingConcentration(nitrate, sulfate) as number;
    const at = (model: RetentionModel, strength: number) =>
      predictRetention(model, [[0, strength]], times).retentionTime;
    expect(at(nitrate, c)).toBeCloseTo(at(sulfate, c), 10);
    expect(at(nitrate, 0.9 * c)).toBeLessThan(at(sulfate, 0.9 * c));
    expect(at(nitrate, 1.1 * c)).toBeGreaterThan(at(sulfate, 1.1 * c));
    expect(crossingConcentration(nitrate, { a: 1.66, b: 1 })).toBeUndefined();
  });
});

describe("an eluent programme", () => {
  it("gives the same concentration by its stretches as by interpolation", () => {
    for (const { start, end, concentration, slope } of eluentSegments(ramp)) {
      const middle = end === Infinity ? start + 1 : (start + end) / 2;
      expect(concentration + slope * (middle - start)).toBeCloseTo(eluentConcentration(ramp, middle), 12);
    }
  });

  it.each([
    ["without a point", []],
    ["at zero concentration", [[0, 0]]],
    [
      "that runs back in time",
      [
        [0, 10],
        [5, 20],
        [4, 30],
      ],
    ],
  ] as [string, EluentProgram][])("%s is refused with advice", (_, program) => {
    expect(() => predictRetention({ a: 1, b: 1 }, program, times)).toThrow(
      expect.objectContaining({ code: "bad-program" }),
    );
  });

  it("cannot be used with a hold-up time of zero", () => {
    expect(() => predictRetention({ a: 1, b: 1 }, ramp, { holdUpTime: 0 })).toThrow(
      expect.objectContaining({ code: "bad-hold-up-time" }),
    );
  });
});
