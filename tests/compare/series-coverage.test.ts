import { describe, expect, test } from "vitest";
import { compareSeries } from "../../toolkit/compare/compare-series.js";
import { flipSigns, permuteGroups } from "../../toolkit/compare/permutation.js";
import { createRandom, type Random } from "../../toolkit/numeric/random.js";
import { fromSources } from "../../toolkit/uncertainty/measured.js";
import { DAYS, daysFor, seriesOf } from "./invented-series.js";

const REPEATS = 2000;

type Days = readonly (readonly [string, string])[];

/** Ten days before and ten after. */
const MANY = daysFor(24, 12);

/** One invented study: places scatter together and apart, each result has a reading of its own, one curve for all. */
function study(random: Random, effect: number, curveError: number, days: Days = DAYS) {
  const scale = 1 + curveError * random.normal();
  const together = days.map(() => 1.5 * random.normal());
  const place = (name: string, level: number, change: number) => {
    const values = days.map(([, period], i) => {
      const truth = level + (period === "after" ? change : 0) + together[i] + 0.8 * random.normal();
      const read = scale * (truth + 0.2 * random.normal());
      return fromSources(read, "mg/L", [
        { source: `reading ${name} ${i}`, contribution: 0.2 },
        { source: "curve", contribution: curveError * read },
      ]);
    });
    return seriesOf(name, values, days);
  };
  return compareSeries(place("well", 30, 1 + effect), place("spring", 18, 1), {
    design: "before-after-control",
  });
}

describe.each([1, 2, 3])("invented studies, seed %i", (seed) => {
  test("with an effect of 20 and a common scale error of 5 % the interval covers the truth in 92 to 98 %", () => {
    const random = createRandom(`coverage ${seed}`);
    let covered = 0;
    for (let i = 0; i < REPEATS; i++) {
      const { interval } = study(random, 20, 0.05);
      if (interval.low <= 20 && interval.high >= 20) covered++;
    }
    expect(covered / REPEATS).toBeGreaterThan(0.92);
    expect(covered / REPEATS).toBeLessThan(0.98);
  });

  // Welch's degrees of freedom of 3 + 3 visits lie between 2 and 4 and are cut to a whole number: on the safe side.
  test("without an effect 3 + 3 visits find one in 1 to 5 %, and regrouping reaches its 0.1 in 10 %, within 3 %", () => {
    const random = createRandom(`few ${seed}`);
    let found = 0;
    let regrouped = 0;
    for (let i = 0; i < REPEATS; i++) {
      const { verdict, permutation } = study(random, 0, 0.05);
      if (verdict !== "no change shown") found++;
      if (permutation !== undefined && permutation.p <= 0.1) regrouped++;
    }
    expect(found / REPEATS).toBeGreaterThan(0.01);
    expect(found / REPEATS).toBeLessThan(0.05);
    expect(Math.abs(regrouped / REPEATS - 0.1)).toBeLessThan(0.03);
  });

  // Three standard deviations of 300 studies: 3.8 % and 6.9 %. So many visits are not regrouped, which would cost time.
  test("12 + 12 visits find an effect that is not there in 5 %, and the smallest difference in 80 %, within 7 %", () => {
    const random = createRandom(`many ${seed}`);
    const u = Math.sqrt(2 * (0.8 ** 2 + 0.2 ** 2)) * Math.sqrt(2 / 12);
    // t tables at ν = 22: 2.074 and 0.858.
    const smallest = (2.074 + 0.858) * u;
    let found = 0;
    let alarms = 0;
    for (let i = 0; i < 300; i++) {
      if (study(random, smallest, 0, MANY).verdict === "rose") found++;
      if (study(random, 0, 0, MANY).verdict !== "no change shown") alarms++;
    }
    expect(Math.abs(alarms / 300 - 0.05)).toBeLessThan(0.04);
    expect(Math.abs(found / 300 - 0.8)).toBeLessThan(0.07);
  });
});

describe("regroupings, counted by combinatorics", () => {
  test.each([
    [2, 2, 6, 2 / 6],
    [3, 3, 20, 0.1],
    [4, 4, 70, 2 / 70],
    [2, 5, 21, 1 / 21],
    [6, 6, 924, 2 / 924],
  ])("%i + %i values: C = %i", (m, n, regroupings, smallestP) => {
    const a = Array.from({ length: m }, (_, i) => i / 10);
    const b = Array.from({ length: n }, (_, i) => 100 + i);
    expect(permuteGroups(a, b)).toEqual({ p: smallestP, regroupings, smallestP });
  });

  test("equal values are as extreme as any regrouping: p = 1", () => {
    expect(permuteGroups([1, 1, 1], [1, 1])?.p).toBe(1);
    expect(flipSigns([0, 0])?.p).toBe(1);
  });

  // Sums of 1, 2, 3 with signs: ±6, ±4, ±2, 0, 0; |sum| of 1 + 2 − 3 = 0 is reached by all eight, 4 by four of them.
  test("signs of three differences by hand", () => {
    expect(flipSigns([1, 2, -3])?.p).toBe(1);
    expect(flipSigns([-1, 2, 3])?.p).toBe(4 / 8);
    expect(flipSigns([1, 2, 3])?.p).toBe(2 / 8);
  });

  test("more than a million regroupings are not tried", () => {
    const values = Array.from({ length: 13 }, (_, i) => i);
    expect(permuteGroups(values, values)).toBeUndefined();
    expect(flipSigns(new Array(20).fill(1))).toBeUndefined();
  });
});
