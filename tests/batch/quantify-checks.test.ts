import { describe, expect, it } from "vitest";
import type { IonCurve } from "../../toolkit/batch/quantify/calibrate-ions.js";
import type { EvaluatedRun } from "../../toolkit/batch/quantify/evaluate-channel.js";
import { flagByChecks } from "../../toolkit/batch/quantify/flag-by-checks.js";
import { DEFAULT_ACCEPTANCE, qualityChecks } from "../../toolkit/batch/quantify/quality-checks.js";
import { injectionRepeatability } from "../../toolkit/batch/quantify/repeatability.js";
import { traceScatter } from "../../toolkit/batch/quantify/trace-scatter.js";
import type { CheckResult, Injection, SampleResult, SolutionIon } from "../../toolkit/batch/types.js";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { chiSquaredQuantile } from "../../toolkit/numeric/distributions.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { measured } from "../../toolkit/uncertainty/measured.js";
import { channelOf, methodIon, peak, run, solution } from "./quantify-objects.js";

// Hand-made channel (invented): the area is the concentration, so that what a check finds can be read off.

const chloride = methodIon("chloride", 5);
const unit: IonCurve = {
  ion: chloride,
  curve: calibrate(
    [1, 2, 5, 10, 20, 50].map((c) => ({ concentration: c, response: c })),
    { model: "linear", weighting: "1/x^2", ion: "chloride" },
  ),
  points: [],
  modelMisfit: 0,
  lowestLevel: 1,
  highestLevel: 50,
};
const limits = { criticalValue: 0.05, detectionLimit: 0.1, quantificationLimit: 1, definition: "by hand" };

const at = (of: Partial<Injection>, concentration: number): EvaluatedRun =>
  run(of, [peak({ time: 5, area: concentration, ion: 0 })]);

const checksOf = (runs: readonly EvaluatedRun[], solutions: readonly SolutionIon[] = []) =>
  qualityChecks({
    channel: channelOf([chloride], runs, solutions),
    curves: [unit],
    limits: [limits],
    repeatability: { relative: 0.003, dof: 10, repeats: 7, traces: [] },
    accept: DEFAULT_ACCEPTANCE,
  });

const recovery = (c: CheckResult) => (100 * c.found) / (c.expected ?? Number.NaN);

describe("a spiked sample", () => {
  const spiked = (found: number, added: number, native = 18, dilution = 1) =>
    checksOf(
      [
        at({ id: "p", solution: "well" }, native),
        at({ id: "s", kind: "matrix spike", parent: "p", solution: "spike", dilution }, found),
      ],
      [solution("spike", "chloride", added)],
    );

  it("50.0 mL at 18.0 mg/L with 0.500 mL of 1000 mg/L, found 27.55, recovers 98.3 %", () => {
    // Worked example by hand: added 1000·0.5/50.5 = 9.901, native diluted 18·50/50.5 = 17.822, R = 100·9.728/9.901.
    // The spike's own volume is stated as the dilution 50.5/50, the amount added for the undiluted sample: 10 mg/L.
    const [check] = spiked(27.55, 10, 18, 1.01);
    expect(recovery(check)).toBeCloseTo((100 * (27.55 - 17.8218)) / 9.90099, 3);
    expect(recovery(check)).toBeCloseTo(98.3, 1);
    expect(check).toMatchObject({ check: "matrix spike", passed: true, touches: ["well"] });
  });

  it("the same spike with its volume left out seems to recover 95.5 %", () => {
    expect(recovery(spiked(27.55, 10)[0])).toBeCloseTo(95.5, 9);
  });

  it("passes from 80 to 120 % and no further", () => {
    const passed = [25.99, 26.01, 29.99, 30.01].map((found) => spiked(found, 10)[0].passed);
    expect(passed).toEqual([false, true, true, false]);
  });

  it("smaller than a quarter of what was there is not judged", () => {
    expect(spiked(22.4, 4.49)).toEqual([]);
    expect(spiked(22.6, 4.51)).toHaveLength(1);
  });
});

describe("duplicates", () => {
  const twice = (first: number, second: number, dilution = 1) =>
    checksOf([
      at({ id: "p", solution: "well", dilution }, first),
      at({ id: "d", kind: "duplicate", solution: "well", parent: "p", dilution }, second),
    ]);

  it("agree within 10 % of their mean: 200·|x₁ − x₂|/(x₁ + x₂)", () => {
    expect(twice(10, 11.04)[0].passed).toBe(true); // 9.89 %
    expect(twice(10, 11.06)[0].passed).toBe(false); // 10.07 %
    expect(twice(11.06, 10)[0].passed).toBe(false);
  });

  it("below five times the quantification limit their difference may be that limit", () => {
    expect(twice(3, 3.99)[0]).toMatchObject({ passed: true, limit: "difference ≤ 1 mg/L" });
    expect(twice(3, 4.01)[0].passed).toBe(false);
    expect(twice(4.1, 4.99)[0]).toMatchObject({ passed: true, limit: "difference ≤ 1 mg/L" });
    // 5.01 is beyond: 21.8 % fails although the difference is below the limit
    expect(twice(4.02, 5.01)[0]).toMatchObject({ passed: false, limit: "difference ≤ 10 %" });
  });

  it("both below the quantification limit are not judged", () => {
    expect(twice(0.4, 0.9)).toEqual([]);
  });

  it("are compared undiluted, and so is the quantification limit", () => {
    const [check] = twice(3, 3.9, 20);
    expect(check.expected).toBeCloseTo(60, 9);
    expect(check.found).toBeCloseTo(78, 9);
    expect(check).toMatchObject({ passed: true, limit: "difference ≤ 20 mg/L" });
  });
});

describe("checks against known solutions", () => {
  const known = [solution("check", "chloride", 20), solution("low", "chloride", 0.9)];

  it("a continuing check passes from 90 to 110 %", () => {
    const passed = [17.99, 18.01, 21.99, 22.01].map(
      (found) =>
        checksOf([at({ id: "k", kind: "continuing check", solution: "check" }, found)], known)[0].passed,
    );
    expect(passed).toEqual([false, true, true, false]);
  });

  it("a check below the lowest level says nothing about the curve", () => {
    expect(checksOf([at({ id: "k", kind: "continuing check", solution: "low" }, 0.5)], known)).toEqual([]);
  });

  it("a continuing check governs the samples as far as the neighbouring checks", () => {
    const check = (id: string) => at({ id, kind: "continuing check", solution: "check" }, 20);
    const water = (name: string) => at({ id: name, solution: name }, 5);
    const found = checksOf(
      [water("a"), check("k1"), water("b"), water("c"), check("k2"), water("d"), check("k3")],
      known,
    );
    expect(found.map((c) => [c.injection, ...c.touches])).toEqual([
      ["k1", "a", "b", "c"],
      ["k2", "b", "c", "d"],
      ["k3", "d"],
    ]);
  });

  it("a blank may hold half the quantification limit", () => {
    const passed = [0.499, 0.501].map((found) => checksOf([at({ id: "b", kind: "blank" }, found)])[0].passed);
    expect(passed).toEqual([true, false]);
  });
});

describe("a failed check reaches the results it governs and no other", () => {
  const row = (
    sample: string,
    ion: string,
    value: number,
    over: Partial<SampleResult> = {},
  ): SampleResult => ({
    sample,
    ion,
    channel: "anion",
    value: measured(value, "mg/L", { u: 0.1 }),
    unit: "mg/L",
    status: "quantified",
    detectionLimit: 0.1,
    quantificationLimit: 1,
    dilution: 1,
    injection: "1",
    flags: [],
    ...over,
  });
  const failed = (check: string, over: Partial<CheckResult> = {}): CheckResult => ({
    check,
    injection: "k",
    ion: "chloride",
    channel: "anion",
    found: 25,
    expected: 20,
    limit: "",
    passed: false,
    source: "",
    touches: ["a"],
    ...over,
  });
  const rows = [
    row("a", "chloride", 5),
    row("b", "chloride", 50, { flags: ["near void"] }),
    row("a", "nitrate", 5),
    row("a", "chloride", 5, { channel: "cation" }),
    row("c", "chloride", 0, { value: undefined, status: "not measured" }),
  ];
  const flags = (...checks: CheckResult[]) => flagByChecks(rows, checks).map((r) => r.flags.join(";"));

  it.each([
    ["continuing check", 25, "check-high"],
    ["continuing check", 15, "check-low"],
    ["matrix spike", 15, "matrix"],
    ["matrix spike duplicate", 15, "matrix"],
    ["duplicate", 25, "duplicates"],
    ["matrix spike pair", 25, "duplicates"],
  ])("a %s that found %d of 20 flags its own sample and ion as %s", (check, found, flag) => {
    expect(flags(failed(check, { found }))).toEqual([flag, "near void", "", "", ""]);
  });

  it.each([
    ["second source", 25, "standards-disagree"],
    ["fortified blank", 25, "recovery-high"],
    ["fortified blank", 15, "recovery-low"],
    ["reference material", 25, "reference"],
  ])("a %s that found %d of 20 flags every result of its ion as %s", (check, found, flag) => {
    expect(flags(failed(check, { found }))).toEqual([flag, `near void;${flag}`, "", "", ""]);
  });

  it("a contaminated blank flags what is below ten times its content as injected", () => {
    const blank = failed("blank", { found: 1, expected: 0 });
    expect(flags(blank)).toEqual(["blank", "near void", "", "", ""]);
    const diluted = [row("a", "chloride", 50, { dilution: 10 }), row("a", "chloride", 10.01)];
    expect(flagByChecks(diluted, [blank]).map((r) => r.flags)).toEqual([["blank"], []]);
  });

  it("passed checks flag nothing, and two failures of one kind flag once", () => {
    expect(flags(failed("second source", { passed: true }))).toEqual(["", "near void", "", "", ""]);
    expect(flags(failed("duplicate"), failed("duplicate", { injection: "k2" }))[0]).toBe("duplicates");
  });
});

describe("injection repeatability", () => {
  const IONS = [3, 5, 7, 9, 11].map((t, j) => methodIon(`ion ${j}`, t));
  const SOLUTIONS = 20;
  const TIMES = 4;
  const PRIOR = { dof: 3, relative: 0.003 };

  function found(seed: number, injected: number, read: number) {
    const random = createRandom(seed);
    const runs: EvaluatedRun[] = [];
    for (let s = 0; s < SOLUTIONS; s++)
      for (let i = 0; i < TIMES; i++) {
        const volume = 1 + injected * random.normal();
        const peaks = IONS.map((_, j) => {
          const true_ = (1 + s) * (1 + j) * 100;
          return peak({
            time: 3 + 2 * j,
            area: true_ * volume * (1 + read * random.normal()),
            uNoise: read * true_,
            ion: j,
          });
        });
        runs.push(run({ id: `${s}.${i}`, kind: "calibration", solution: `L${s}` }, peaks));
      }
    return injectionRepeatability(channelOf(IONS, runs));
  }

  it.each([1, 2, 3])("recovers a known scatter of 0.008, readings' noise taken off (seed %i)", (seed) => {
    const { relative, dof, repeats } = found(seed, 0.008, 0.002);
    expect(repeats).toBe(SOLUTIONS * (TIMES - 1));
    expect(dof).toBe(repeats + PRIOR.dof);
    // What the batch itself showed, the typical value's share taken out again, follows χ² with 60 degrees of freedom.
    const statistic = (dof * relative ** 2 - PRIOR.dof * PRIOR.relative ** 2) / 0.008 ** 2;
    expect(statistic).toBeGreaterThan(chiSquaredQuantile(0.005, repeats));
    expect(statistic).toBeLessThan(chiSquaredQuantile(0.995, repeats));
  });

  it.each([1, 2, 3])("noise of the readings is not taken for the injector's (seed %i)", (seed) => {
    const { relative, dof, repeats } = found(seed, 0, 0.004);
    // Each injection's mean over five ions scatters by 0.4 %/√5; its expected squares are taken off, what chance leaves is not.
    const mean = 0.004 / Math.sqrt(IONS.length);
    const chance = mean ** 2 * (chiSquaredQuantile(0.995, repeats) - repeats);
    expect(dof * relative ** 2).toBeLessThan(PRIOR.dof * PRIOR.relative ** 2 + chance);
    expect(chance).toBeLessThan(0.6 * repeats * mean ** 2);
  });

  it("falls back on the typical 0.3 % where nothing was injected twice", () => {
    const once = ["L1", "L2"].map((s) => run({ id: s, kind: "calibration", solution: s }, []));
    expect(injectionRepeatability(channelOf(IONS, once))).toMatchObject({
      relative: 0.003,
      dof: 3,
      repeats: 0,
    });
  });

  it("samples, duplicates and spikes do not count: their difference may be the water's", () => {
    const kinds = ["sample", "duplicate", "matrix spike", "matrix spike duplicate", "blank"] as const;
    for (const kind of kinds) {
      const runs = [100, 120].map((area, i) =>
        run({ id: `${i}`, kind, solution: "well" }, [peak({ time: 3, area, ion: 0 })]),
      );
      expect(injectionRepeatability(channelOf(IONS, runs)).repeats).toBe(0);
    }
  });
});

describe("traces that vials bring along", () => {
  const blanks = (seed: number, brought: number, noise: number, count: number) => {
    const random = createRandom(seed);
    const runs = Array.from({ length: count }, (_, i) => {
      const area = 40 + brought * random.normal() + noise * random.normal();
      return run({ id: `B${i}`, kind: "blank" }, [peak({ time: 5, area, uNoise: noise, ion: 0 })]);
    });
    return traceScatter(channelOf([chloride], runs), 0);
  };

  it.each([1, 2, 3])("are told by the scatter of the blanks beyond their noise (seed %i)", (seed) => {
    const statistic = (39 * (blanks(seed, 3, 1, 40) ** 2 + 1)) / (3 ** 2 + 1);
    expect(statistic).toBeGreaterThan(chiSquaredQuantile(0.005, 39));
    expect(statistic).toBeLessThan(chiSquaredQuantile(0.995, 39));
  });

  it("are none where the blanks scatter as their noise says, but for one in a hundred", () => {
    const invented = Array.from({ length: 1000 }, (_, i) => blanks(i + 1, 0, 1, 12)).filter((s) => s > 0);
    // Binomial(1000, 0.01): more than 21 or none in fewer than one of a thousand.
    expect(invented.length).toBeGreaterThan(0);
    expect(invented.length).toBeLessThan(22);
  });

  it("are not told by fewer than five blanks", () => {
    expect(blanks(1, 30, 1, 4)).toBe(0);
  });
});
