import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  choleskyFactor,
  choleskyInverse,
  choleskySolve,
  solveLeastSquares,
} from "../../toolkit/numeric/dense.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { fewestDigits, originOf, publishedCases, readReference } from "./reference.js";

function normals(seed: number, count: number): Float64Array {
  const values = new Float64Array(count);
  createRandom(seed).fillNormal(values);
  return values;
}

function multiply(a: ArrayLike<number>, b: ArrayLike<number>, n: number): Float64Array {
  const product = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) for (let k = 0; k < n; k++) product[i * n + j] += a[i * n + k] * b[k * n + j];
  }
  return product;
}

/** GᵀG + I of random G: symmetric, positive definite, well conditioned. */
function definiteMatrix(seed: number, n: number): Float64Array {
  const g = normals(seed, n * n);
  const matrix = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      for (let k = 0; k < n; k++) matrix[i * n + j] += g[k * n + i] * g[k * n + j];
    }
    matrix[i * n + i] += 1;
  }
  return matrix;
}

const sizeAndSeed = fc.tuple(fc.integer({ min: 1, max: 12 }), fc.integer({ min: 1, max: 1000 }));
const settings = { seed: 1, numRuns: 100 };

describe("Cholesky", () => {
  test("factors the textbook matrix 4 12 −16 / 12 37 −43 / −16 −43 98 into 2 / 6 1 / −8 5 3 (from memory)", () => {
    const factor = choleskyFactor([4, 12, -16, 12, 37, -43, -16, -43, 98], 3);
    expect([...factor]).toEqual([2, 0, 0, 6, 1, 0, -8, 5, 3]);
  });

  test("L·Lᵀ is the matrix, and only its lower triangle is read", () => {
    fc.assert(
      fc.property(sizeAndSeed, ([n, seed]) => {
        const matrix = definiteMatrix(seed, n);
        const half = matrix.map((value, at) => (at % n > Math.floor(at / n) ? Number.NaN : value));
        const factor = choleskyFactor(half, n);
        const transposed = factor.map((_, at) => factor[(at % n) * n + Math.floor(at / n)]);
        multiply(factor, transposed, n).forEach((value, at) => {
          expect(value).toBeCloseTo(matrix[at], 11);
        });
      }),
      settings,
    );
  });

  test("the inverse times the matrix is one, and solving agrees with it", () => {
    fc.assert(
      fc.property(sizeAndSeed, ([n, seed]) => {
        const matrix = definiteMatrix(seed, n);
        const factor = choleskyFactor(matrix, n);
        const inverse = choleskyInverse(factor, n);
        multiply(inverse, matrix, n).forEach((value, at) => {
          expect(value).toBeCloseTo(at % (n + 1) === 0 ? 1 : 0, 10);
        });
        const right = normals(seed + 1, n);
        choleskySolve(factor, right, n).forEach((x, i) => {
          const expected = right.reduce((sum, value, j) => sum + inverse[i * n + j] * value, 0);
          expect(x).toBeCloseTo(expected, 10);
        });
      }),
      settings,
    );
  });

  test("the inverse of Hilbert's 5 × 5 matrix has its known whole entries (25, −300, … 179200, 44100)", () => {
    const hilbert = Array.from({ length: 25 }, (_, at) => 1 / (Math.floor(at / 5) + (at % 5) + 1));
    const inverse = choleskyInverse(choleskyFactor(hilbert, 5), 5);
    const known = [
      25, -300, 1050, -1400, 630, -300, 4800, -18900, 26880, -12600, 1050, -18900, 79380, -117600, 56700,
      -1400, 26880, -117600, 179200, -88200, 630, -12600, 56700, -88200, 44100,
    ];
    // Its condition number is 5e5.
    expect(fewestDigits([...inverse], known)).toBeGreaterThan(10);
  });

  test("a matrix that is not positive definite is refused, naming the pivot", () => {
    expect(() => choleskyFactor([1, 2, 2, 1], 2)).toThrowError(
      expect.objectContaining({ code: "not-positive-definite", message: expect.stringContaining("pivot 2") }),
    );
    expect(() => choleskyFactor([Number.NaN], 1)).toThrow();
  });
});

describe("linear least squares", () => {
  const cases = publishedCases("t01_linear_least_squares_strd.json");
  /** Digits that columns of raw powers allow: 16 less half the condition number's, or so. */
  const fewest: Record<string, number> = {
    strd_Norris: 12,
    strd_NoInt1: 14,
    strd_Wampler1: 8,
    strd_Wampler2: 10,
    strd_Wampler4: 7,
  };

  test.each(cases.filter((each) => each.id in fewest))("$id from raw powers [$source; $provenance]", (of) => {
    const { x, y } = readReference<{ x: number[]; y: number[] }>(of.inputs.data_file as string);
    const certified = of.expected.B as number[];
    const lowest = of.id === "strd_NoInt1" ? 1 : 0;
    const matrix = x.flatMap((value) => certified.map((_, k) => value ** (k + lowest)));
    const fit = solveLeastSquares(matrix, y, x.length, certified.length);
    expect(fewestDigits([...fit.solution], certified)).toBeGreaterThan(fewest[of.id]);

    const spread = Math.sqrt(fit.residualSumOfSquares / (of.expected.df as number));
    const errors = certified.map((_, k) => spread * Math.sqrt(fit.inverseGram[k * (certified.length + 1)]));
    if (of.expected.residual_sd !== 0) {
      expect(fewestDigits(errors, of.expected.sd_B as number[])).toBeGreaterThan(fewest[of.id]);
    }
    expect(originOf(of)).toContain("NIST");
  });

  test("the residual is at right angles to every column", () => {
    fc.assert(
      fc.property(sizeAndSeed, ([n, seed]) => {
        const rows = n + 8;
        const matrix = normals(seed, rows * n);
        const right = normals(seed + 5000, rows);
        const { solution, residualSumOfSquares } = solveLeastSquares(matrix, right, rows, n);
        const residual = right.map(
          (b, i) => b - solution.reduce((sum, x, j) => sum + matrix[i * n + j] * x, 0),
        );
        for (let j = 0; j < n; j++) {
          expect(Math.abs(residual.reduce((sum, r, i) => sum + r * matrix[i * n + j], 0))).toBeLessThan(
            1e-11,
          );
        }
        expect(residual.reduce((sum, r) => sum + r * r, 0)).toBeCloseTo(residualSumOfSquares, 11);
      }),
      settings,
    );
  });

  test("units of a column do not matter: scaling it by 1e±150 scales its coefficient back", () => {
    const matrix = [1, 1, 1, 2, 1, 3, 1, 5];
    const right = [2, 3, 5, 7];
    const plain = solveLeastSquares(matrix, right, 4, 2).solution;
    for (const factor of [1e150, 1e-150]) {
      const scaled = matrix.map((value, at) => (at % 2 === 1 ? value * factor : value));
      const { solution } = solveLeastSquares(scaled, right, 4, 2);
      expect(solution[1] * factor).toBeCloseTo(plain[1], 13);
      expect(solution[0]).toBeCloseTo(plain[0], 13);
    }
  });

  test("the inputs stay as they were", () => {
    const matrix = Object.freeze([1, 1, 1, 2, 1, 3]);
    const right = Object.freeze([1, 2, 4]);
    solveLeastSquares(matrix, right, 3, 2);
    expect([matrix, right]).toEqual([
      [1, 1, 1, 2, 1, 3],
      [1, 2, 4],
    ]);
  });

  test.each([
    ["fewer points than coefficients", "too-few-points", () => solveLeastSquares([1, 2], [1], 1, 2)],
    ["a column twice", "dependent-columns", () => solveLeastSquares([1, 1, 2, 2, 3, 3], [1, 2, 3], 3, 2)],
    ["a column of zeros", "dependent-columns", () => solveLeastSquares([1, 0, 2, 0, 3, 0], [1, 2, 3], 3, 2)],
    ["a reading that is NaN", "not-finite", () => solveLeastSquares([1, 2, 3], [1, Number.NaN, 3], 3, 1)],
  ])("%s is refused", (_, code, call) => {
    expect(call).toThrowError(expect.objectContaining({ code }));
  });
});
