import { describe, expect, test } from "vitest";
import { compareResults } from "../../toolkit/compare/difference.js";
import { DISPLAY } from "../../toolkit/display.js";
import { isIonbookError } from "../../toolkit/errors.js";
import { fromReadings, measured, times } from "../../toolkit/uncertainty/measured.js";

/** A result with a private part of 0.8 % and a part of 0.85 % that comes with its calibration curve. */
function result(concentration: number, curve: string) {
  const own = measured(concentration, "mg/L", { u: 0.008 * concentration });
  return times(own, measured(1, "1", { u: 0.0085 }, { source: curve }));
}

describe("18.0 and 17.2 mg/L on one curve [GUM 5.2.2 for a correlated difference; figures computed from it]", () => {
  const shared = compareResults(result(18, "curve"), result(17.2, "curve"));

  test("u of the difference is 0.199 and z is 4.0: they differ", () => {
    expect(shared.difference.value).toBeCloseTo(0.8, 12);
    expect(shared.difference.u).toBeCloseTo(0.199, 3);
    expect(shared.z).toBeCloseTo(4.0, 1);
    expect(shared.significant).toBe(true);
    expect(shared.p).toBeLessThan(1e-4);
    expect(shared.interval.low).toBeGreaterThan(0.4);
  });

  test("treated as independent it would be 0.291 and 2.8", () => {
    const apart = compareResults(result(18, "curve of Monday"), result(17.2, "curve of Friday"));
    expect(apart.difference.u).toBeCloseTo(0.291, 3);
    expect(apart.z).toBeCloseTo(2.8, 1);
    expect(apart.correlation).toBe(0);
    expect(shared.correlation).toBeGreaterThan(0.5);
  });

  test("the smallest difference this pair could show is (t.975 + t.8)·u", () => {
    expect(shared.smallestDifference).toBeCloseTo((1.959964 + 0.841621) * shared.difference.u, 6);
  });

  // 2·Φ(−4.014276) = 5.963·10⁻⁵ (scipy.stats.norm).
  test("it says so in words", async () => {
    expect(String(shared)).toBe(
      "0.80 ± 0.39 mg/L (k = 2.0), z = 4.0, p = 0.000060: different; this pair could show differences from 0.56 mg/L on",
    );
    expect(shared.kind).toBe("difference");
    expect(await shared[DISPLAY]()).toEqual({ "text/plain": String(shared) });
  });
});

// p of two samples of equal size and spread by the t distribution with 2(n − 1) degrees of freedom:
// scipy.stats.ttest_ind([1,2,3,4,5], [3,4,5,6,7]) gives t = −2.0, p = 0.0805162.
test("two sets of readings agree with the two-sample t test of equal variances", () => {
  const a = fromReadings([1, 2, 3, 4, 5], "mg/L");
  const b = fromReadings([3, 4, 5, 6, 7], "mg/L");
  const { z, p, difference, significant } = compareResults(a, b);
  expect(z).toBeCloseTo(-2, 12);
  expect(difference.dof).toBeCloseTo(8, 10);
  expect(p).toBeCloseTo(0.0805162, 6);
  expect(significant).toBe(false);
});

test("a result does not differ from itself, and swapped results differ by the opposite", () => {
  const a = result(18, "curve");
  const b = result(17.2, "curve");
  expect(compareResults(a, a)).toMatchObject({ z: 0, p: 1, significant: false, smallestDifference: 0 });
  const [there, back] = [compareResults(a, b), compareResults(b, a)];
  expect(back.z).toBeCloseTo(-there.z, 12);
  expect(back.p / there.p).toBeCloseTo(1, 12);
});

test("values known exactly differ for certain", () => {
  const known = (x: number) => measured(x, "mg/L", { u: 0 });
  expect(compareResults(known(2), known(1))).toMatchObject({ p: 0, significant: true });
});

test("significance follows the level", () => {
  const a = fromReadings([1, 2, 3, 4, 5], "mg/L");
  const b = fromReadings([3, 4, 5, 6, 7], "mg/L");
  expect(compareResults(a, b, { level: 0.9 }).significant).toBe(true);
});

test.each([
  ["unit-mismatch", () => compareResults(result(18, "c"), measured(17, "µg/L", { u: 1 }))],
  ["bad-level", () => compareResults(result(18, "c"), result(17, "c"), { level: 95 })],
  ["bad-power", () => compareResults(result(18, "c"), result(17, "c"), { power: 1 })],
])("refused: %s", (code, call) => {
  let caught: unknown;
  try {
    call();
  } catch (error) {
    caught = error;
  }
  expect(isIonbookError(caught) && caught.code).toBe(code);
});
