import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { brentRoot, goldenSection } from "../../toolkit/numeric/roots.js";

describe("Brent's root", () => {
  test("finds the dottie number, where cos x = x, and √2 to the last digits", () => {
    expect(Math.abs(brentRoot((x) => Math.cos(x) - x, 0, 1) - 0.7390851332151607)).toBeLessThan(3e-16);
    expect(Math.abs(brentRoot((x) => x * x - 2, 0, 2) - Math.SQRT2)).toBeLessThan(5e-16);
  });

  test("needs about ten calls on a smooth function, and ends on one as flat as x⁷ᐟ³ too", () => {
    let calls = 0;
    const counted = (f: (x: number) => number) => (x: number) => {
      calls++;
      return f(x);
    };
    brentRoot(
      counted((x) => Math.exp(x) - 5),
      0,
      4,
    );
    expect(calls).toBeLessThan(14);
    calls = 0;
    brentRoot(
      counted((x) => Math.cbrt(x - 1e-3) ** 7),
      -1,
      1,
    );
    expect(calls).toBeLessThan(200);
  });

  test("gives back any root it is shown, from either side", () => {
    const place = fc.double({ min: -100, max: 100, noNaN: true });
    fc.assert(
      fc.property(place, place, place, (root, one, other) => {
        fc.pre((one - root) * (other - root) < 0);
        const found = brentRoot((x) => Math.atan(x - root), one, other);
        expect(Math.abs(found - root)).toBeLessThan(1e-15 * Math.max(1, Math.abs(root)) * 2);
      }),
      { seed: 1, numRuns: 500 },
    );
  });

  test("stops at the tolerance asked for", () => {
    let calls = 0;
    const found = brentRoot(
      (x) => {
        calls++;
        return x ** 3 - 2;
      },
      0,
      2,
      { absoluteTolerance: 1e-3 },
    );
    expect(Math.abs(found - Math.cbrt(2))).toBeLessThan(1e-3);
    expect(calls).toBeLessThan(10);
  });

  test("takes a root at an end and refuses ends of equal sign", () => {
    expect(brentRoot((x) => x, 0, 1)).toBe(0);
    expect(brentRoot((x) => x - 1, 0, 1)).toBe(1);
    expect(() => brentRoot((x) => x * x + 1, -1, 1)).toThrowError(
      expect.objectContaining({ code: "no-sign-change" }),
    );
  });
});

test("the golden section finds a minimum to the half of the digits that a minimum has, also at an end", () => {
  expect(Math.abs(goldenSection((x) => (x - 0.3) ** 2 + 1, -5, 9) - 0.3)).toBeLessThan(3e-8);
  expect(Math.abs(goldenSection((x) => -Math.sin(x), 0, 3) - Math.PI / 2)).toBeLessThan(3e-8);
  expect(goldenSection((x) => x, 2, 3)).toBeCloseTo(2, 6);
});
