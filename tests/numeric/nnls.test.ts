import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { solveLeastSquares } from "../../toolkit/numeric/dense.js";
import { nonNegativeLeastSquares } from "../../toolkit/numeric/nnls.js";
import { createRandom } from "../../toolkit/numeric/random.js";

interface Problem {
  readonly matrix: Float64Array;
  readonly right: Float64Array;
  readonly rows: number;
  readonly columns: number;
}

function randomProblem(seed: number, rows: number, columns: number): Problem {
  const random = createRandom(seed);
  const matrix = new Float64Array(rows * columns);
  const right = new Float64Array(rows);
  random.fillNormal(matrix);
  random.fillNormal(right);
  return { matrix, right, rows, columns };
}

function squares({ matrix, right, columns }: Problem, x: ArrayLike<number>): number {
  return right.reduce((sum, b, i) => {
    let r = b;
    for (let j = 0; j < columns; j++) r -= matrix[i * columns + j] * x[j];
    return sum + r * r;
  }, 0);
}

/** The least sum of squares over all subsets of columns whose plain solution happens to be non-negative. */
function byEnumeration(problem: Problem): number {
  const { matrix, right, rows, columns } = problem;
  let best = squares(problem, new Float64Array(columns));
  for (let subset = 1; subset < 2 ** columns; subset++) {
    const chosen = Array.from({ length: columns }, (_, j) => j).filter((j) => subset & (1 << j));
    const part = Array.from({ length: rows }, (_, i) => chosen.map((j) => matrix[i * columns + j])).flat();
    const fit = solveLeastSquares(part, right, rows, chosen.length);
    if (fit.solution.every((value) => value >= 0)) best = Math.min(best, fit.residualSumOfSquares);
  }
  return best;
}

const settings = { seed: 1, numRuns: 100 };
const anySeed = fc.integer({ min: 1, max: 100_000 });

describe("non-negative least squares", () => {
  test("finds the best of all subsets of columns", () => {
    fc.assert(
      fc.property(anySeed, fc.integer({ min: 1, max: 6 }), (seed, columns) => {
        const problem = randomProblem(seed, 10, columns);
        const fit = nonNegativeLeastSquares(problem.matrix, problem.right, 10, columns);
        expect(fit.solution.every((value) => value >= 0)).toBe(true);
        expect(fit.residualSumOfSquares).toBeCloseTo(byEnumeration(problem), 10);
        expect(squares(problem, fit.solution)).toBeCloseTo(fit.residualSumOfSquares, 12);
      }),
      settings,
    );
  });

  test("meets the conditions of an optimum (Kuhn and Tucker): no slope where active, none upwards elsewhere", () => {
    fc.assert(
      fc.property(anySeed, fc.integer({ min: 1, max: 40 }), (seed, columns) => {
        const problem = randomProblem(seed, 25, columns);
        const { solution, active } = nonNegativeLeastSquares(problem.matrix, problem.right, 25, columns);
        const residual = problem.right.map((b, i) => {
          return b - solution.reduce((sum, x, j) => sum + problem.matrix[i * columns + j] * x, 0);
        });
        for (let j = 0; j < columns; j++) {
          const slope = residual.reduce((sum, r, i) => sum + r * problem.matrix[i * columns + j], 0);
          if (active.includes(j)) expect(Math.abs(slope)).toBeLessThan(1e-10);
          else expect(slope).toBeLessThan(1e-10);
          expect(solution[j] > 0).toBe(active.includes(j));
        }
      }),
      settings,
    );
  });

  test("recovers non-negative coefficients of decaying exponentials from exact data", () => {
    const rates = [0.3, 1, 3, 10];
    const truth = [2, 0, 1, 0.5];
    const times = Array.from({ length: 60 }, (_, i) => i / 10);
    const matrix = times.flatMap((t) => rates.map((rate) => Math.exp(-t / rate)));
    const right = times.map((_, i) => truth.reduce((sum, x, j) => sum + x * matrix[i * 4 + j], 0));
    const { solution } = nonNegativeLeastSquares(matrix, right, 60, 4);
    truth.forEach((x, j) => {
      expect(solution[j]).toBeCloseTo(x, 10);
    });
  });

  test("gives plain least squares where that is non-negative, and nothing where all columns point away", () => {
    const matrix = [1, 0, 0, 1, 1, 1];
    const plain = solveLeastSquares(matrix, [1, 2, 3.5], 3, 2).solution;
    nonNegativeLeastSquares(matrix, [1, 2, 3.5], 3, 2).solution.forEach((x, j) => {
      expect(x).toBeCloseTo(plain[j], 14);
    });
    expect([...nonNegativeLeastSquares(matrix, [-1, -2, -3], 3, 2).solution]).toEqual([0, 0]);
  });

  test("a column given twice or empty does not disturb the fit", () => {
    const fit = nonNegativeLeastSquares([1, 1, 0, 2, 2, 0, 3, 3, 0], [2, 4, 6], 3, 3);
    expect(fit.solution[0] + fit.solution[1]).toBeCloseTo(2, 13);
    expect(fit.solution[2]).toBe(0);
  });

  test("numbers that are not finite are refused", () => {
    expect(() => nonNegativeLeastSquares([1, Number.NaN], [1, 2], 2, 1)).toThrowError(
      expect.objectContaining({ code: "not-finite" }),
    );
  });
});
