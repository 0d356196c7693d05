import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { linearLookUp, monotoneLookUp } from "../../toolkit/numeric/interpolation.js";

const kinds = [
  ["linear", linearLookUp],
  ["monotone", monotoneLookUp],
] as const;

const table = fc
  .array(
    fc.tuple(fc.double({ min: 0.01, max: 10, noNaN: true }), fc.double({ min: -100, max: 100, noNaN: true })),
    {
      minLength: 1,
      maxLength: 20,
    },
  )
  .map((steps) => {
    let at = -20;
    return { x: steps.map(([step]) => (at += step)), y: steps.map(([, value]) => value) };
  });
const settings = { seed: 1, numRuns: 300 };

describe.each(kinds)("%s look-up", (_, lookUp) => {
  test("passes through its points and stays at the end values beyond them", () => {
    fc.assert(
      fc.property(table, ({ x, y }) => {
        const curve = lookUp(x, y);
        x.forEach((value, i) => {
          expect(Math.abs(curve.at(value) - y[i])).toBe(0);
        });
        expect(curve.at(x[0] - 5)).toBe(y[0]);
        expect(curve.at(Infinity)).toBe(y[y.length - 1]);
      }),
      settings,
    );
  });

  test("never leaves the range of the two points around", () => {
    fc.assert(
      fc.property(table, fc.double({ min: 0, max: 1, noNaN: true }), ({ x, y }, u) => {
        const curve = lookUp(x, y);
        for (let i = 1; i < x.length; i++) {
          const value = curve.at(x[i - 1] + u * (x[i] - x[i - 1]));
          const slack = 1e-12 * Math.max(Math.abs(y[i]), Math.abs(y[i - 1]));
          expect(value).toBeGreaterThanOrEqual(Math.min(y[i], y[i - 1]) - slack);
          expect(value).toBeLessThanOrEqual(Math.max(y[i], y[i - 1]) + slack);
        }
      }),
      settings,
    );
  });

  test("repeats a straight line", () => {
    const curve = lookUp([0, 1, 3, 4, 8], [1, 3, 7, 9, 17]);
    for (const x of [0.1, 0.5, 2.9, 3.5, 7.7]) expect(curve.at(x)).toBeCloseTo(1 + 2 * x, 13);
  });

  test("answers the same in any order of questions, one by one or together", () => {
    const x = Float64Array.from({ length: 50 }, (_, i) => i + 0.3 * Math.sin(i));
    const curve = lookUp(
      x,
      x.map((value) => Math.sin(value / 5)),
    );
    const places = Float64Array.from({ length: 200 }, (_, i) => ((i * 37) % 200) / 3.5 - 2);
    const filled = new Float64Array(200);
    curve.fill(places, filled);
    [...places.keys()].reverse().forEach((i) => {
      expect(curve.at(places[i])).toBe(filled[i]);
    });
  });

  test("keeps its table when the arrays it was made from change", () => {
    const x = [0, 1];
    const y = [0, 1];
    const curve = lookUp(x, y);
    y[1] = 100;
    expect(curve.at(0.5)).toBe(0.5);
  });

  test.each([
    ["a y missing", "unequal-lengths", [0, 1], [1]],
    ["no point", "too-few-points", [], []],
    ["an x given twice", "not-ascending", [0, 1, 1], [1, 2, 3]],
    ["a y that is NaN", "not-finite", [0, 1], [1, Number.NaN]],
  ])("%s is refused", (__, code, x, y) => {
    expect(() => lookUp(x, y)).toThrowError(expect.objectContaining({ code }));
  });

  test("room for too few values is refused", () => {
    expect(() => lookUp([0, 1], [0, 1]).fill([0, 0.5], new Float64Array(1))).toThrowError(
      expect.objectContaining({ code: "unequal-lengths" }),
    );
  });
});

test("the monotone curve meets the rule of Fritsch and Butland worked out by hand", () => {
  // Points (0, 0), (1, 1), (3, 2): secants 1 and ½, steps 1 and 2. Slope at the middle 9/(5/1 + 4/0.5) = 9/13;
  // at the left end (4·1 − 1·½)/3 = 7/6.
  const curve = monotoneLookUp([0, 1, 3], [0, 1, 2]);
  const u = 0.25;
  const [start, end] = [7 / 6, 9 / 13];
  const byHermite = u * (1 - u) ** 2 * start + u * u * (3 - 2 * u) - u * u * (1 - u) * end;
  expect(curve.at(u)).toBeCloseTo(byHermite, 14);
});

test("the monotone curve nears a smooth function as the third power of the step or faster", () => {
  const worst = (n: number) => {
    const x = Float64Array.from({ length: n + 1 }, (_, i) => i / n);
    const curve = monotoneLookUp(x, x.map(Math.exp));
    let error = 0;
    for (let i = 0; i < 1000; i++) error = Math.max(error, Math.abs(curve.at(i / 1000) - Math.exp(i / 1000)));
    return error;
  };
  expect(worst(20) / worst(80)).toBeGreaterThan(32);
});
