import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { solveLeastSquares } from "../../toolkit/numeric/dense.js";
import { nonNegativeFromNormal } from "../../toolkit/numeric/nnls-normal.js";
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

/** AᵀA and Aᵀb of a problem, and the answer of the routine under test. */
function solved({ matrix, right, rows, columns }: Problem): Float64Array {
  const gram = new Float64Array(columns * columns);
  const g = new Float64Array(columns);
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < columns; j++) {
      g[j] += matrix[i * columns + j] * right[i];
      for (let k = 0; k < columns; k++) {
        gram[j * columns + k] += matrix[i * columns + j] * matrix[i * columns + k];
      }
    }
  }
  return nonNegativeFromNormal(gram, g, columns);
}

const settings = { seed: 1, numRuns: 100 };
const anySeed = fc.integer({ min: 1, max: 100_000 });

describe("non-negative least squares from the normal matrix", () => {
  test("finds the best of all subsets of columns", () => {
    fc.assert(
      fc.property(anySeed, fc.integer({ min: 1, max: 6 }), (seed, columns) => {
        const problem = randomProblem(seed, 10, columns);
        const x = solved(problem);
        expect(x.every((value) => value >= 0)).toBe(true);
        // The raised diagonal (1e-11) and the squared condition of these small random problems leave eight digits.
        expect(squares(problem, x)).toBeCloseTo(byEnumeration(problem), 8);
      }),
      settings,
    );
  });

  test("meets the conditions of an optimum (Kuhn and Tucker): no slope where active, none upwards elsewhere", () => {
    fc.assert(
      fc.property(anySeed, fc.integer({ min: 1, max: 20 }), (seed, columns) => {
        const problem = randomProblem(seed, 25, columns);
        const x = solved(problem);
        const residual = problem.right.map(
          (b, i) => b - x.reduce((sum, value, j) => sum + problem.matrix[i * columns + j] * value, 0),
        );
        for (let j = 0; j < columns; j++) {
          const slope = residual.reduce((sum, r, i) => sum + r * problem.matrix[i * columns + j], 0);
          if (x[j] > 0) expect(Math.abs(slope)).toBeLessThan(1e-7);
          else expect(slope).toBeLessThan(1e-7);
        }
      }),
      settings,
    );
  });

  test("survives two columns that are the same, and gives zero where every column points away", () => {
    const twice = { matrix: Float64Array.of(1, 1, 1, 1), right: Float64Array.of(2, 2), rows: 2, columns: 2 };
    const x = solved(twice);
    expect(x[0] + x[1]).toBeCloseTo(2, 8);
    const away = { matrix: Float64Array.of(1, 1), right: Float64Array.of(-1, -1), rows: 2, columns: 1 };
    expect(Array.from(solved(away))).toEqual([0]);
  });
});
