// Internal standard, bracketing and drift: published values where there are, else laws and Monte Carlo.
import { describe, expect, it } from "vitest";
import { betweenStandards } from "../../toolkit/calibration/sequence/between-standards.js";
import { bracketSamples } from "../../toolkit/calibration/sequence/bracketing.js";
import { internalStandard } from "../../toolkit/calibration/sequence/internal-standard.js";
import { responseDrift } from "../../toolkit/calibration/sequence/response-drift.js";
import { correlation, measured, monteCarlo } from "../../toolkit/uncertainty/measured.js";
import { codeOf, expectPublished, published, titleOf } from "./published.js";

const FILE = "t04_calibration.json";
const close = (a: number, b: number, part: number) => expect(Math.abs(a / b - 1)).toBeLessThan(part);

describe("drift of the response over the checks", () => {
  const fluorescein = published(FILE, "miller_fluorescein_line");
  it(`is the straight line through the factors: ${titleOf(fluorescein)}`, () => {
    const { x, y } = fluorescein.inputs as unknown as Record<"x" | "y", readonly number[]>;
    const drift = responseDrift(x.map((position, i) => ({ position, response: y[i], concentration: 1 })));
    expectPublished(fluorescein, {
      slope: drift.slope,
      intercept: drift.intercept,
      s_b: drift.standardError,
      t_95: drift.critical,
      ci_slope: drift.critical * drift.standardError,
    });
    expect(drift.verdict).toBe("drifted beyond the limit");
    expect(drift.statistic).toBeCloseTo(drift.slope / drift.standardError, 12);
  });

  const run = (factors: readonly number[], options = {}) =>
    responseDrift(
      factors.map((f, i) => ({ position: 10 * i, response: 5 * f, concentration: 5 })),
      options,
    );
  it.each([
    ["steady", [0.2441, 0.2452, 0.2437, 0.2449, 0.2443], {}],
    ["drifts within the limit", [0.24, 0.2422, 0.2441, 0.2463, 0.248], {}],
    ["drifted beyond the limit", [0.24, 0.2422, 0.2441, 0.2463, 0.248], { limitPercent: 2 }],
    ["scatters beyond the limit", [0.24, 0.28, 0.23, 0.245, 0.241], {}],
  ] as const)("is %s", (verdict, factors, options) => {
    expect(run(factors, options).verdict).toBe(verdict);
  });

  it("does not depend on the order of the list or on the unit of the response", () => {
    const factors = [0.24, 0.2422, 0.2441, 0.2463, 0.248];
    const checks = factors.map((f, i) => ({ position: i, response: 5 * f, concentration: 5 }));
    const [one, other] = [
      responseDrift(checks),
      responseDrift([...checks].reverse().map((c) => ({ ...c, response: 1000 * c.response }))),
    ];
    close(other.changePercent, one.changePercent, 1e-9);
    close(other.p, one.p, 1e-6);
  });

  it.each<readonly [string, string, () => unknown]>([
    ["two checks", "too-few-checks", () => run([1, 1])],
    ["no list", "too-few-checks", () => responseDrift(undefined as never)],
    [
      "a check without content",
      "bad-concentration",
      () => responseDrift([1, 2, 3].map((position) => ({ position, response: 1, concentration: 0 }))),
    ],
    [
      "one place",
      "same-position",
      () => responseDrift([1, 2, 3].map((response) => ({ position: 1, response, concentration: 1 }))),
    ],
    ["NaN", "not-a-number", () => run([1, Number.NaN, 1])],
    ["an unknown option", "unknown-option", () => run([1, 1, 1], { limit: 5 })],
    ["a limit of zero", "bad-option", () => run([1, 1, 1], { limitPercent: 0 })],
  ])("refuses %s", (_, code, call) => {
    expect(codeOf(call)).toBe(code);
  });
});

describe("samples in brackets", () => {
  const checks = [
    { position: 1, response: 1.2, concentration: 5, label: "check 1" },
    { position: 11, response: 1.32, concentration: 5, label: "check 2" },
    { position: 21, response: 1.32, concentration: 5, label: "check 3" },
  ];
  const options = { relativeRepeatability: 0.01, standardUncertainty: 0.004 };
  const of = (samples: readonly { position: number; response: number }[], more = {}) =>
    bracketSamples({ checks, samples }, { ...options, ...more });

  it("are freed of a straight drift, whatever its size", () => {
    // A content of 2 mg/L seen with 0.24, 0.252 and 0.264 per mg/L, as the checks say by linear drift.
    const found = of([
      { position: 1, response: 0.48 },
      { position: 6, response: 0.504 },
      { position: 11, response: 0.528 },
      { position: 20, response: 0.528 },
    ]);
    for (const { concentration } of found.samples) expect(concentration.value).toBeCloseTo(2, 12);
    expect(found.samples[1].uncorrected).toBeCloseTo(2.1, 12);
    expect(found.samples[1].changePercent).toBeCloseTo(10, 9);
    expect(of([{ position: 6, response: 0.5 }], { limitPercent: 5 }).samples[0].passed).toBe(false);
  });

  it.each([0, 0.3, 0.5, 0.9])("have the u of a Monte Carlo at %f of the bracket, within 1 %%", (w) => {
    const { concentration } = of([{ position: 1 + 10 * w, response: 0.5 }]).samples[0];
    const inputs = {
      y: measured(0.5, "1", { u: 0.005 }),
      y1: measured(1.2, "1", { u: 0.012 }),
      y2: measured(1.32, "1", { u: 0.0132 }),
      s: measured(1, "1", { u: 0.004 }),
    };
    const model = ({ y, y1, y2, s }: Record<"y" | "y1" | "y2" | "s", number>) =>
      (5 * s * y) / (y1 + w * (y2 - y1));
    close(monteCarlo(model, inputs, { trials: 100_000, seed: 1 }).u, concentration.u, 0.01);
  });

  it("of one bracket share its checks; of neighbouring ones the check between; of distant ones the standard alone", () => {
    const found = of([2, 10, 12].map((position) => ({ position, response: 0.5 }))).samples;
    const [a, b, c] = found.map(({ concentration }) => concentration);
    expect(correlation(b, c)).toBeGreaterThan(correlation(a, c));
    const shared = (0.004 / Math.hypot(0.01, 0.01, 0.004)) ** 2;
    const ends = of([1, 21].map((position) => ({ position, response: 0.5 }))).samples;
    expect(correlation(ends[0].concentration, ends[1].concentration)).toBeCloseTo(shared, 6);
  });

  it.each<readonly [string, string, () => unknown]>([
    ["a sample after the last check", "not-bracketed", () => of([{ position: 22, response: 1 }])],
    [
      "one check",
      "too-few-checks",
      () => bracketSamples({ checks: checks.slice(1, 2), samples: [] }, options),
    ],
    ["readings without u", "no-uncertainty", () => bracketSamples({ checks, samples: [] })],
    [
      "two checks at one place",
      "same-position",
      () => bracketSamples({ checks: [checks[0], checks[0]], samples: [] }, options),
    ],
    ["no samples list", "bad-samples", () => bracketSamples({ checks } as never, options)],
    ["NaN", "not-a-number", () => of([{ position: 2, response: Number.NaN }])],
    ["nothing", "too-few-checks", () => bracketSamples(undefined as never)],
    ["an unknown option", "unknown-option", () => of([], { repeatability: 1 })],
    ["a negative repeatability", "bad-uncertainty", () => of([], { relativeRepeatability: -1 })],
    ["a negative limit", "bad-option", () => of([], { limitPercent: -1 })],
  ])("refuse %s", (_, code, call) => {
    expect(codeOf(call)).toBe(code);
  });
});

describe("a reading between two near standards", () => {
  const standard = (x: number, y: number) => ({
    concentration: measured(x, "mg/L", { u: 0.004 * x }, { source: "stock" }),
    response: measured(y, "1", { u: 0.005 * y }),
  });
  const reading = measured(0.5, "1", { u: 0.005 });
  it("lies on the chord, with the u of a Monte Carlo within 1 % (handbook, Calibration 7)", () => {
    const found = betweenStandards(reading, standard(1.8, 0.441), standard(2.2, 0.537));
    expect(found.value).toBeCloseTo(1.8 + (0.059 * 0.4) / 0.096, 12);
    const inputs = {
      y: reading,
      y1: standard(1, 0.441).response,
      y2: standard(1, 0.537).response,
      s: measured(1, "1", { u: 0.004 }),
    };
    const model = ({ y, y1, y2, s }: Record<"y" | "y1" | "y2" | "s", number>) =>
      s * (1.8 + ((y - y1) * 0.4) / (y2 - y1));
    close(monteCarlo(model, inputs, { trials: 100_000, seed: 1 }).u, found.u, 0.01);
  });
  it.each<readonly [string, string, () => unknown]>([
    [
      "a reading outside",
      "outside-bracket",
      () => betweenStandards(reading, standard(1, 0.2), standard(2, 0.4)),
    ],
    [
      "standards too far off",
      "bracket-too-wide",
      () => betweenStandards(reading, standard(1, 0.25), standard(3, 0.75)),
    ],
    [
      "standards the wrong way round",
      "falling-line",
      () => betweenStandards(reading, standard(2.2, 0.537), standard(1.8, 0.441)),
    ],
    ["plain numbers", "bad-option", () => betweenStandards(0.5 as never, standard(1, 1), standard(2, 2))],
    [
      "an unknown option",
      "unknown-option",
      () => betweenStandards(reading, standard(1.8, 0.441), standard(2.2, 0.537), { near: 1 } as never),
    ],
  ])("refuses %s", (_, code, call) => {
    expect(codeOf(call)).toBe(code);
  });
});

describe("an internal standard", () => {
  /** Injected volumes that scatter by some per cent, as both peaks see them. */
  const volumes = [1, 1.03, 0.96, 1.04, 0.98, 1.01];
  const levels = [1, 1, 5, 5, 10, 10];
  const standards = levels.map((concentration, i) => ({
    concentration,
    response: 0.245 * concentration * volumes[i],
    internal: 0.9 * volumes[i],
  }));

  it("frees results of the injected volume: 4 mg/L are found whatever was injected", () => {
    const samples = [0.93, 1, 1.1].map((volume) => ({
      response: 0.245 * 4 * volume,
      internal: 0.9 * volume,
    }));
    const study = internalStandard({ standards, samples }, { model: "through-zero" });
    for (const { concentration } of study.samples) expect(concentration.value).toBeCloseTo(4, 9);
    expect(study.useful).toBe(true);
    expect(study.scatterPercent.ratio).toBeLessThan(1e-9);
    expect(study.scatterPercent.response).toBeGreaterThan(2);
  });

  it("is not worth while where it scatters by itself", () => {
    const noisy = standards.map((each, i) => ({
      ...each,
      response: 0.245 * each.concentration,
      internal: 0.9 * volumes[i],
    }));
    const study = internalStandard({ standards: noisy }, { model: "through-zero" });
    expect(study.useful).toBe(false);
    expect(String(study)).toContain("not worth while");
  });

  it("passes recoveries from 90 to 115 % of the standards' mean (US EPA 300.1, from memory) and flags the rest by name", () => {
    const exact = [1, 5, 10].map((concentration) => ({
      concentration,
      response: concentration,
      internal: 1,
    }));
    const samples = [0.899, 0.9, 1.15, 1.151].map((internal, i) => ({
      response: 2,
      internal,
      label: `s${i}`,
    }));
    const study = internalStandard({ standards: exact, samples }, { internalStandard: "dichloroacetate" });
    expect(study.samples.map(({ flagged }) => flagged)).toEqual([true, false, false, true]);
    expect(study.recoveries.filter(({ role }) => role === "sample").map(({ percent }) => percent)).toEqual([
      expect.closeTo(89.9, 9),
      expect.closeTo(90, 9),
      expect.closeTo(115, 9),
      expect.closeTo(115.1, 9),
    ]);
    expect(String(study)).toMatch(/dichloroacetate out of 90 to 115 %: s0 90 %, s3 115 %/);
  });

  it("shows its own drift over the run", () => {
    const falling = Array.from({ length: 8 }, (_, i) => ({ response: 0.5, internal: 0.9 * (1 - 0.02 * i) }));
    const study = internalStandard({ standards, samples: falling }, { model: "through-zero" });
    expect(study.drift?.verdict).toBe("drifted beyond the limit");
  });

  it.each<readonly [string, string, () => unknown]>([
    [
      "no internal standard",
      "no-internal-standard",
      () => internalStandard({ standards, samples: [{ response: 1, internal: 0 }] }),
    ],
    [
      "NaN",
      "not-a-number",
      () => internalStandard({ standards, samples: [{ response: Number.NaN, internal: 1 }] }),
    ],
    ["no standards", "bad-readings", () => internalStandard({} as never)],
    ["nothing", "bad-readings", () => internalStandard(undefined as never)],
    ["two standards", "too-few-points", () => internalStandard({ standards: standards.slice(0, 2) })],
    [
      "an unknown option",
      "unknown-option",
      () => internalStandard({ standards }, { recovery: [1, 2] } as never),
    ],
    [
      "limits the wrong way round",
      "bad-option",
      () => internalStandard({ standards }, { recoveryPercent: [115, 90] }),
    ],
  ])("refuses %s", (_, code, call) => {
    expect(codeOf(call)).toBe(code);
  });
});
