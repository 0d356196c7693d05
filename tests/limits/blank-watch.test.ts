import { describe, expect, it } from "vitest";
import { limitLadder } from "../../toolkit/limits/limit-ladder.js";
import { shareInterval, tailsAbove } from "../../toolkit/limits/share-above.js";
import { watchBlanks } from "../../toolkit/limits/watch-blanks.js";
import { codeOf, published, titleOf } from "../calibration/published.js";
import { CHANGED, chance, UNCHANGED, warned } from "./blank-watch-runs.js";
import { nitrite } from "./nitrite.js";

const earlier = (nitrite.blanks ?? []) as readonly number[];
const test = (watch: ReturnType<typeof watchBlanks>, name: string) =>
  watch.tests.find((each) => each.name === name) ?? expect.fail(`no test of the ${name}`);
const names = (watch: ReturnType<typeof watchBlanks>) => watch.warnings.map(({ name }) => name);

const thiol = published("t10_qc_comparison.json", "miller_welch_thiol");
const fisher = published("t12_distributions_signal.json", "f_quantiles_a");

describe("the tests of the watch", () => {
  it(`scatter is the ratio of the published variances, level the t of the published means [${titleOf(thiol)}]`, () => {
    const { a, b } = thiol.inputs as unknown as Record<"a" | "b", number[]>;
    const watch = watchBlanks({ earlier: a, blanks: b, criticalValue: 2 });
    const [sa, sb] = thiol.expected.sds as readonly number[];
    const [ma, mb] = thiol.expected.means as readonly number[];
    // Printed digits: 0.076 and 0.44 leave 1.5 % of the ratio's root.
    expect(Math.sqrt(test(watch, "scatter").statistic)).toBeCloseTo(sb / sa, 0);
    const pooled = Math.sqrt((6 * sa ** 2 + 5 * sb ** 2) / 11);
    expect(test(watch, "level").statistic / ((mb - ma) / (pooled * Math.sqrt(1 / 7 + 1 / 6)))).toBeCloseTo(
      1,
      2,
    );
    expect(names(watch)).toEqual(
      expect.arrayContaining(["blanks-scatter-more", "blanks-level-shifted", "blanks-above-critical-value"]),
    );
  });

  it(`critical F of 4 and 16 values at 5 % [${titleOf(fisher)}]`, () => {
    // df 3 and 8 stand in the table: four new blanks, nine earlier ones; four tests share the alarm.
    const watch = watchBlanks(
      { earlier: earlier.slice(0, 9), blanks: [0.001, 0.002, 0.0013, 0.0017] },
      { alarm: 0.2 },
    );
    expect(watch.tests.filter(({ p }) => p !== undefined)).toHaveLength(4);
    const at = (fisher.inputs.df as unknown as number[][]).findIndex(([a, b]) => a === 3 && b === 8);
    expect(test(watch, "scatter").critical).toBeCloseTo((fisher.expected.F as number[])[at], 2);
  });

  // C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404; printed widely as 0.0025 to 0.4450 and 0 to 0.3085 (from memory).
  it("the exact interval of a share: 1 of 10 and 0 of 10 as printed", () => {
    const one = shareInterval(1, 10);
    expect([one.low, one.high].map((x) => x.toFixed(4))).toEqual(["0.0025", "0.4450"]);
    const none = shareInterval(0, 10);
    expect([none.low, none.high].map((x) => x.toFixed(4))).toEqual(["0.0000", "0.3085"]);
    expect(shareInterval(10, 10).high).toBe(1);
  });

  it("a stated critical value: binomial law in closed form; an estimated one keeps α for one blank and is wider for many", () => {
    expect(tailsAbove(6, 0.05, undefined)[6]).toBeCloseTo(0.05 ** 6, 14);
    expect(tailsAbove(6, 0.05, undefined)[1]).toBeCloseTo(1 - 0.95 ** 6, 12);
    // Exact by the definition of the prediction limit: one new blank lies above with α.
    for (const blanks of [4, 10, 40]) expect(tailsAbove(1, 0.05, blanks)[1]).toBeCloseTo(0.05, 7);
    // The mean number above is n·α whatever is estimated: Σ P(K ≥ k).
    const tails = tailsAbove(8, 0.05, 6);
    expect(tails.slice(1).reduce((a, b) => a + b, 0)).toBeCloseTo(0.4, 6);
    expect(tails[4]).toBeGreaterThan(5 * tailsAbove(8, 0.05, undefined)[4]);
    expect(tailsAbove(700, 0.05, undefined)[35]).toBeGreaterThan(0.4);
  });
});

describe("new blanks against the limits in force", () => {
  // Nitrite of handbook DETECTION §2 and §3: x_C .0021 above the mean .00145.
  it("are held against Currie's critical value of the earlier ones: the handbook's .0021 above their mean", () => {
    const watch = watchBlanks({ earlier, blanks: earlier.slice(0, 4), ion: "nitrite" });
    expect((watch.criticalValue - 0.00145).toFixed(4)).toBe("0.0021");
    expect(watch.contradicted).toBe(false);
    expect(String(watch)).toContain("not contradicted");
  });

  it("contradict them by scatter, level, share, trend and running mean, each by its own name", () => {
    const wide = watchBlanks({ earlier, blanks: [0.011, -0.009, 0.008, -0.006, 0.002] });
    expect(names(wide)).toContain("blanks-scatter-more");
    const high = watchBlanks({ earlier, blanks: [0.0062, 0.0071, 0.0055, 0.0068] });
    expect(names(high)).toEqual(
      expect.arrayContaining(["blanks-level-shifted", "blanks-above-critical-value"]),
    );
    expect(high.share).toMatchObject({ above: 4, of: 4, allowed: 0.05 });
    const low = watchBlanks({ earlier, blanks: [-0.0042, -0.0051, -0.0035, -0.0048] });
    expect(low.warnings[0].text).toContain("lower");
    const drift = watchBlanks({
      blanks: [0.001, 0.0021, 0.0029, 0.0041, 0.005, 0.0061],
      own: true,
      criticalValue: 0.01,
    });
    expect(names(drift)).toEqual(["blanks-drift"]);
    expect(drift.warnings[0].text).toContain("rise by 0.00506");
    const dirty = watchBlanks({
      blanks: Array.from({ length: 20 }, (_, i) => 0.006 + 0.0001 * (i % 5)),
      criticalValue: 0.0036,
    });
    expect(names(dirty)).toContain("blanks-contaminated");
    expect(String(dirty)).toContain("CONTRADICTED");
  });

  it("too few of them say so instead of passing", () => {
    const one = watchBlanks({ earlier, blanks: [0.0016] });
    expect(one.omitted.map(({ name }) => name)).toEqual(["scatter", "trend", "share above", "running mean"]);
    expect(watchBlanks({ earlier, blanks: [null, null] })).toMatchObject({
      withoutNumber: 2,
      tests: [],
      contradicted: false,
    });
    expect(String(watchBlanks({ earlier, blanks: [null] }))).toContain("nothing could be tested");
  });

  it("one new blank alone can contradict the level", () => {
    expect(names(watchBlanks({ earlier, blanks: [0.012] }))).toContain("blanks-level-shifted");
  });

  it("low standards are watched alike", () => {
    const spikes = (nitrite.spikes ?? []).map(({ value }) => value);
    const watch = watchBlanks({
      earlier,
      blanks: earlier.slice(3, 8),
      lowStandards: { earlier: spikes, later: [0.031, 0.0105, 0.0188, 0.029, 0.0097] },
    });
    expect(names(watch)).toEqual(["low-standards-scatter-more"]);
    const off = watchBlanks({
      earlier,
      blanks: [],
      lowStandards: { earlier: spikes, later: [0.0301, 0.0311, 0.0297] },
    });
    expect(names(off)).toEqual(["low-standards-level-shifted"]);
  });

  it.each([1, 2, 3])("seed %i: unchanged blanks warn in at most 5 of 100, changed ones are seen", (seed) => {
    const [trials, alarm] = [150, 0.05];
    for (const scenario of UNCHANGED) {
      expect(warned(scenario, seed, trials, alarm).any, scenario.name).toBeLessThan(5 + chance(5, trials));
    }
    for (const scenario of CHANGED) {
      const { named } = warned(scenario, seed, 60, alarm);
      const { percent } = scenario.seen ?? expect.fail(scenario.name);
      expect(named, scenario.name).toBeGreaterThan(percent - chance(percent, 60));
    }
  });
});

describe("the ladder of limits", () => {
  it("says at its head what new blanks contradict, and changes no limit for them", () => {
    const plain = limitLadder(nitrite);
    const watched = limitLadder({ ...nitrite, newBlanks: [0.0062, 0.0071, 0.0055, 0.0068] });
    expect(plain.watch).toBeUndefined();
    expect(watched.inForce).toEqual(plain.inForce);
    expect(watched.watch?.contradicted).toBe(true);
    // x_C counts from the blanks' mean where that is subtracted from results.
    expect(watched.watch?.criticalValue).toBeCloseTo((plain.inForce?.criticalValue ?? 0) + 0.00145, 12);
    expect(String(watched).split("\n")[1]).toMatch(/^! blanks-/);
    expect(limitLadder(nitrite, { blankCorrected: false }).blanks).toEqual(earlier);
  });

  it("watches the trend of its own blanks where their places are known", () => {
    const blanks = [0.001, 0.0021, 0.0029, 0.0041, 0.005, 0.0061];
    const { watch } = limitLadder({ blanks, blankPlaces: [2, 9, 16, 23, 30, 37] });
    expect(watch?.warnings.map(({ name }) => name)).toEqual(["blanks-drift"]);
    expect(watch?.tests.map(({ name }) => name)).toEqual(["trend"]);
  });

  it("holds blanks against a stated limit", () => {
    const given = { detectionLimit: 0.002, criticalValue: 0.001, source: "permit" };
    const { watch } = limitLadder({ given, newBlanks: [0.004, 0.0035, 0.0041, 0.0037, 0.0038] });
    expect(watch?.warnings.map(({ name }) => name)).toEqual(["blanks-above-critical-value"]);
  });
});

describe("wrong calls of the watch", () => {
  const any = (value: unknown) => value as never;
  it.each<[string, () => unknown, string]>([
    ["nothing to hold blanks against", () => watchBlanks({ blanks: [1, 2] }), "bad-option"],
    ["no list", () => watchBlanks({ blanks: any("0.1"), earlier }), "bad-option"],
    ["a misspelt name", () => watchBlanks(any({ blanks: [1], earler: earlier })), "unknown-option"],
    ["three earlier blanks", () => watchBlanks({ blanks: [1], earlier: [1, 2, 3] }), "too-few-replicates"],
    ["earlier blanks that agree", () => watchBlanks({ blanks: [1], earlier: [1, 1, 1, 1] }), "no-scatter"],
    ["a blank that is NaN", () => watchBlanks({ blanks: [Number.NaN], earlier }), "not-a-number"],
    ["earlier and own", () => watchBlanks({ blanks: [1], earlier, own: true }), "bad-option"],
    ["places that do not rise", () => watchBlanks({ blanks: [1, 2], at: [3, 2], earlier }), "bad-option"],
    ["alarm of 5", () => watchBlanks({ blanks: [1, 2], earlier }, { alarm: 5 }), "bad-level"],
    [
      "a new blank of the ladder that is a word",
      () => limitLadder({ ...nitrite, newBlanks: any(["a"]) }),
      "not-a-number",
    ],
    ["new spikes that are no list", () => limitLadder({ ...nitrite, newSpikes: any(3) }), "bad-option"],
    ["nothing at all", () => watchBlanks(any(undefined)), "bad-option"],
  ])("%s: a typed error", (_, call, code) => {
    expect(codeOf(call)).toBe(code);
  });
});
