import { describe, expect, it } from "vitest";
import { dixonCritical } from "../../toolkit/calibration/tests-of-fit/dixon-distribution.js";
import {
  dixonTest,
  grubbsCritical,
  grubbsTest,
} from "../../toolkit/calibration/tests-of-fit/outlier-tests.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { codeOf, expectPublished, published, titleOf } from "./published.js";

const FILE = "t10_qc_comparison.json";
const inputsOf = <T>(of: { inputs: unknown }) => of.inputs as T;

describe("critical values", () => {
  const grubbs = published(FILE, "grubbs_critical_a");
  it(titleOf(grubbs), () => {
    const { n } = inputsOf<{ n: readonly number[] }>(grubbs);
    expectPublished(grubbs, {
      g_5pct: n.map((count) => grubbsCritical(0.05, count)),
      g_1pct: n.map((count) => grubbsCritical(0.01, count)),
    });
  });

  const dixon = published(FILE, "dixon_r10_critical_a");
  it(titleOf(dixon), () => {
    const { n } = inputsOf<{ n: readonly number[] }>(dixon);
    const [Q90, Q95] = [0.1, 0.05].map((alpha) => n.map((count) => dixonCritical(alpha, count)));
    expectPublished(dixon, { Q90, Q95 });
    // The exact values recorded with the case, by another double integral.
    const exact = [
      0.9702134290164391, 0.8297501387231446, 0.7102390040378853, 0.5689516472213458, 0.46559389964647885,
    ];
    Q95.forEach((value, i) => {
      expect(value).toBeCloseTo(exact[i], 4);
    });
  });
});

describe("a suspect reading", () => {
  const nitrite = published(FILE, "miller_nitrite_four");
  it(titleOf(nitrite), () => {
    const { x } = inputsOf<{ x: readonly number[] }>(nitrite);
    const [G, Q] = [grubbsTest(x), dixonTest(x)];
    expectPublished(nitrite, { Q: Q.statistic, G: G.statistic, G_crit_5pct: G.critical5Percent });
    for (const test of [G, Q]) {
      expect(test.suspect).toBe(3);
      expect(test.status).toBe("unsuspicious");
      expect(test.passed).toBe(true);
      expect(test.p).toBeGreaterThan(0.05);
    }
  });

  it("is a straggler beyond 5 % and an outlier beyond 1 % (ISO 5725-2:1994, 7.3.4), named with what to do", () => {
    const straggler = grubbsTest([1, 1.01, 0.99, 1.02, 1.1], { what: "level L3" });
    expect(straggler.statistic).toBeGreaterThan(straggler.critical5Percent);
    expect([straggler.status, straggler.passed, straggler.suspect]).toEqual(["straggler", true, 4]);
    const outlier = grubbsTest([1, 1.01, 0.99, 1.02, 1.5], { what: "level L3" });
    expect([outlier.status, outlier.passed]).toEqual(["outlier", false]);
    expect(String(outlier)).toContain("1.5 of level L3 is an outlier (beyond 1 %)");
    expect(outlier.p).toBeLessThan(0.01);
    expect(dixonTest([1, 1.01, 0.99, 1.02, 1.5]).status).toBe("outlier");
  });

  it("p equals α at the critical value", () => {
    // Six readings with Grubbs' G at its 5 % point: one at distance, the others in two heaps about their mean.
    const n = 6;
    const found = [0.05, 0.01].map((alpha) => {
      const G = grubbsCritical(alpha, n);
      // x = (d, ±e …): x̄ shifts with d, solved by bisection on e.
      let [low, high] = [1e-3, 10];
      const set = (e: number) => [5, e, -e, e, -e, 0];
      for (let i = 0; i < 80; i++) {
        const e = 0.5 * (low + high);
        if (grubbsTest(set(e)).statistic > G) low = e;
        else high = e;
      }
      return grubbsTest(set(low)).p;
    });
    expect(found[0]).toBeCloseTo(0.05, 6);
    expect(found[1]).toBeCloseTo(0.01, 6);
  });

  it.each([1, 2, 3])(
    "is called an outlier by chance in about 1 of 100 normal sets of five (seed %i)",
    (seed) => {
      const random = createRandom(seed);
      let [grubbs, dixon] = [0, 0];
      for (let i = 0; i < 1000; i++) {
        const readings = Array.from({ length: 5 }, () => 10 + random.normal());
        if (!grubbsTest(readings).passed) grubbs++;
        // The statistic against its critical value, without the probability that costs an integral.
        const sorted = [...readings].sort((a, b) => a - b);
        const gap = Math.max(sorted[1] - sorted[0], sorted[4] - sorted[3]) / (sorted[4] - sorted[0]);
        if (gap > dixonCritical(0.01, 5)) dixon++;
      }
      // 10 ± 3.2 expected: three of these.
      expect(Math.abs(grubbs - 10)).toBeLessThan(10);
      expect(Math.abs(dixon - 10)).toBeLessThan(10);
    },
  );

  it("needs three numbers that differ", () => {
    expect(codeOf(() => grubbsTest([1, 2]))).toBe("too-few-readings");
    expect(codeOf(() => dixonTest([1, 2]))).toBe("too-few-readings");
    expect(codeOf(() => grubbsTest([1, 2, Number.NaN]))).toBe("not-a-number");
    expect(codeOf(() => grubbsTest([1, 1, 1]))).toBe("no-scatter");
    expect(codeOf(() => dixonTest(Array.from({ length: 31 }, (_, i) => i)))).toBe("too-many-readings");
    expect(codeOf(() => grubbsTest([1, 2, 3], { waht: "x" } as never))).toBe("unknown-option");
    expect(codeOf(() => grubbsTest("1, 2, 3" as never))).toBe("too-few-readings");
  });
});
