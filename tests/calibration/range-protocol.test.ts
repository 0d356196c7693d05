import { describe, expect, it } from "vitest";
import { type RangeReading, validateLinearRange } from "../../toolkit/calibration/range/linear-range.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { codeOf, expectPublished, pointsOf, published, titleOf } from "./published.js";

// Levels and responses are made up; what is published says so in its title.
const levels = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50];

/** Two readings a level, ± 0.3 %, of the response given. */
const study = (
  response: (x: number, j: number) => number,
  more: (x: number, j: number) => object = () => ({}),
) =>
  levels.flatMap((concentration, j): RangeReading[] =>
    [1.003, 0.997].map((scatter, i) => ({
      concentration,
      response: response(concentration, j) * (j % 2 === i ? scatter : 2 - scatter),
      ...more(concentration, j),
    })),
  );
const straight = study((x) => 0.25 * x);
const line = (range: ReturnType<typeof validateLinearRange>, test: string) => {
  const found = range.evidence.find((row) => row.test.startsWith(test));
  if (!found) throw new Error(`no line ${test}`);
  return found;
};

describe("the protocol of a linear range", () => {
  const iso = published("t10_qc_comparison.json", "mandel_fitting_test_straight");
  it(`${titleOf(iso)}, as a line of the protocol`, () => {
    const { x, y } = iso.inputs as unknown as { x: number[]; y: number[] };
    const range = validateLinearRange(pointsOf(x, y), { weighting: "none" });
    expectPublished(iso, { test_value: line(range, "curvature").statistic });
    expect(line(range, "curvature").critical).toBeCloseTo(12.246383348435081, 6);
    expect([range.low, range.high, range.accepted]).toEqual([0.05, 0.5, true]);
  });

  it("answers what the data allow and names what nobody has looked at", () => {
    const range = validateLinearRange(straight, { ion: "Cl-", quantificationLimit: 0.1 });
    expect(range.accepted).toBe(true);
    expect(range.verdict).toBe("chloride: linear from 0.1 to 50 mg/L (9 of 9 levels)");
    expect(range.evidence.map(({ test }) => test.split(/[,(]/)[0].trim())).toEqual([
      "levels in the range",
      "largest deviation of a response factor",
      "lack of fit against replicates",
      "runs of residual signs over the levels",
      "curvature",
      "low end against the quantification limit",
    ]);
    expect(range.notAsked.map(({ test }) => test.split(",")[0])).toEqual([
      "retention shift within the range",
      "change of tailing above the middle levels",
      "change of width above the middle levels",
      "descending against ascending",
    ]);
    for (const row of range.evidence) expect(row.source.length).toBeGreaterThan(5);
    expect(String(range)).toContain("not asked  descending against ascending");
  });

  it("a misfit that is significant and moves a level by more than 2 % fails; one that does not is said to be irrelevant", () => {
    const off = (percent: number) => study((x, j) => 0.25 * x * (j === 4 ? 1 + percent / 100 : 1));
    const slight = line(validateLinearRange(off(1.5)), "lack of fit");
    expect(slight.statistic).toBeGreaterThan(slight.critical);
    expect(slight.passed).toBe(true);
    expect(slight.remark).toMatch(/significant, yet it moves no level by more than 1\.\d %/);
    const bad = validateLinearRange(off(4));
    expect(line(bad, "lack of fit").passed).toBe(false);
    expect(bad.accepted).toBe(false);
    expect(bad.verdict).toContain("not accepted as linear from 0.1 to 50 mg/L");
    expect(bad.verdict).toContain("lack of fit");
  });

  it("residuals that keep their sign too long fail when they matter, and only then", () => {
    const wave = (percent: number) =>
      validateLinearRange([
        { concentration: 0, response: 0 },
        ...Array.from({ length: 12 }, (_, j) => {
          const concentration = 0.1 * 1.2 ** j;
          const off = (j < 3 || j > 8 ? percent : -percent) / 100 + 1e-4 * (j % 2);
          return { concentration, response: 0.25 * concentration * (1 + off) };
        }),
      ]);
    // Mandel's test takes the two top levels; of the ten left four lie above and six below.
    const runs = line(wave(2.4), "runs");
    expect([runs.statistic, runs.critical, runs.passed]).toEqual([3, 4, false]);
    // 210 orders of six and four, 2 of them in two runs and 8 in three (Wald and Wolfowitz).
    expect(runs.p).toBeCloseTo(10 / 210, 12);
    expect(runs.remark).toContain("longest run 6; moves a level by");
    expect(line(wave(0.4), "runs").passed).toBe(true);
  });

  it("overload of the column ends the range by retention, tailing or width, at the top alone", () => {
    const figures = { retentionTime: 5, tailing: 1.1, widthHalf: 0.12 };
    const top = (changed: object) =>
      study(
        (x) => 0.25 * x,
        (_, j) => ({ ...figures, ...(j === 8 ? changed : {}) }),
      );
    for (const [changed, word] of [
      [{ retentionTime: 4.85 }, "retention -3.0 %"],
      [{ tailing: 1.5 }, "tailing +36.4 %"],
      [{ widthHalf: 0.14 }, "width +16.7 %"],
    ] as const) {
      const range = validateLinearRange(top(changed));
      expect(range.high).toBe(20);
      expect(range.levels[8].reasons[0]).toContain(word);
      expect(range.levels[8].reasons[0]).toContain("overloaded");
      expect(range.accepted).toBe(true);
    }
    const noisy = study(
      (x) => 0.25 * x,
      (_, j) => ({ ...figures, ...(j === 0 ? { tailing: 1.5 } : {}) }),
    );
    expect(validateLinearRange(noisy).low).toBe(0.1);
    expect(line(validateLinearRange(noisy), "change of tailing").statistic).toBeCloseTo(0, 9);
  });

  it("a top level that falls off without signs of overload is told from an overloaded one", () => {
    const bent = study(
      (x, j) => 0.25 * x * (j === 8 ? 0.9 : 1),
      () => ({ retentionTime: 5, tailing: 1.1 }),
    );
    const range = validateLinearRange(bent);
    expect(range.high).toBe(20);
    expect(range.levels[8].reasons).toHaveLength(1);
    expect(range.levels[8].reasons[0]).toContain("the detector or the chemistry bends");
  });

  it("begins at the quantification limit, and says so at every level below", () => {
    const range = validateLinearRange(straight, { quantificationLimit: 0.3 });
    expect([range.low, range.accepted]).toEqual([0.5, true]);
    expect(range.levels[0].reasons).toEqual(["below the quantification limit of 0.3 mg/L"]);
    expect(line(range, "low end").statistic).toBe(0.5);
  });

  it.each<[string, number, number, string]>([
    ["as N", 5, 4.4268, "entered as N"],
    ["in µg/L", 5, 1e-3, "µg/L entered as mg/L"],
    ["in g/L", 5, 1e3, "g/L entered as mg/L"],
    ["with a dilution of ten forgotten", 10, 0.1, "factor 10 in a dilution"],
  ])("a level entered %s names the slip", (_, given, factor, words) => {
    // The solution is what it is; its concentration is entered too small by the factor.
    const wrong = straight.map((point) =>
      point.concentration === given ? { ...point, concentration: given / factor } : point,
    );
    const range = validateLinearRange(wrong, { ion: "nitrate" });
    const level = range.levels.find(({ concentration }) => Math.abs(concentration * factor - given) < 1e-9);
    expect(level?.accepted).toBe(false);
    expect(level?.reasons[0]).toContain(words);
  });

  it("what is carried over shows when levels are run both ways", () => {
    const both = (carried: number) =>
      straight.map((point, i) => ({
        ...point,
        direction: i % 2 === 0 ? ("ascending" as const) : ("descending" as const),
        response: 0.25 * point.concentration + (i % 2 === 0 ? 0 : carried),
      }));
    expect(line(validateLinearRange(both(0)), "descending").passed).toBe(true);
    const carried = validateLinearRange(both(0.002));
    expect(line(carried, "descending").statistic).toBeCloseTo(8, 6);
    expect(carried.accepted).toBe(false);
  });

  it("readings that were rejected are left out", () => {
    const wild = [...straight, { concentration: 5, response: 9, rejected: "bubble in the loop" }];
    expect(validateLinearRange(wild).levels.map(({ readings }) => readings)).toEqual(levels.map(() => 2));
    expect(validateLinearRange(wild).accepted).toBe(true);
  });

  it.each<[string, unknown, unknown]>([
    ["bad-points", 3, {}],
    ["bad-points", [1, 2, 3], {}],
    ["unknown-option", straight, { responsefactorPercent: 5 }],
    ["bad-option", straight, { responseFactorPercent: -5 }],
    ["bad-option", straight, { significance: 5 }],
    ["bad-option", straight, { quantificationLimit: "1" }],
    ["bad-option", straight, { quantificationLimit: Number.NaN }],
    ["unknown-weighting", straight, { weighting: "1/y" }],
    ["unknown-ion", straight, { ion: "chlorid" }],
    ["bad-peak-figure", [{ ...straight[0], tailing: 0 }, ...straight], {}],
    ["bad-option", [{ ...straight[0], direction: "up" }, ...straight], {}],
    ["not-a-number", [{ concentration: 1, response: Number.NaN }, ...straight], {}],
    ["too-few-levels", straight.slice(0, 6), {}],
    ["falling-line", levels.map((x) => ({ concentration: x, response: 100 - x })), {}],
  ])("refuses %s", (code, points, criteria) => {
    expect(codeOf(() => validateLinearRange(points as never, criteria as never))).toBe(code);
  });

  it.each([1, 2, 3])(
    "of a straight response with replicates is accepted whole; of a bent one never whole (seed %i)",
    (seed) => {
      const random = createRandom(seed);
      const draw = (bend: number) =>
        levels.flatMap((x) =>
          [0, 1, 2].map(() => ({
            concentration: x,
            response: 0.25 * x * (1 - bend * (x / 50)) * (1 + 0.008 * random.normal()),
          })),
        );
      let [whole, tooLong] = [0, 0];
      for (let i = 0; i < 40; i++) {
        const good = validateLinearRange(draw(0));
        if (good.accepted && good.low === 0.1 && good.high === 50) whole++;
        const bent = validateLinearRange(draw(0.15));
        if (bent.high === 50 && bent.accepted) tooLong++;
      }
      expect(whole).toBeGreaterThan(37);
      expect(tooLong).toBe(0);
    },
  );
});
