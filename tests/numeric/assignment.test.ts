import { describe, expect, it } from "vitest";
import { smallestAssignment } from "../../toolkit/numeric/assignment.js";
import { createRandom } from "../../toolkit/numeric/random.js";

/** Smallest sum over all permutations, by trying them. */
function smallestSum(costs: readonly (readonly number[])[], row = 0, used = 0): number {
  if (row === costs.length) return 0;
  return Math.min(
    ...costs.map((_, column) =>
      used & (1 << column)
        ? Number.POSITIVE_INFINITY
        : costs[row][column] + smallestSum(costs, row + 1, used | (1 << column)),
    ),
  );
}

describe("the assignment of rows to columns", () => {
  it("has the smallest sum of all permutations (tried one by one; seeds 1, 2, 3)", () => {
    for (const seed of [1, 2, 3]) {
      const random = createRandom(seed);
      for (const n of [1, 2, 3, 5, 7]) {
        const costs = Array.from({ length: n }, () => Array.from({ length: n }, () => 10 * random.normal()));
        const columns = smallestAssignment(costs);
        expect([...columns].sort((a, b) => a - b)).toEqual([...costs.keys()]);
        const sum = columns.reduce((all, column, row) => all + costs[row][column], 0);
        expect(sum).toBeCloseTo(smallestSum(costs), 9);
      }
    }
  });
  it("refuses a table that is not square or not finite", () => {
    expect(() => smallestAssignment([[1, 2]])).toThrow(/finite costs/);
    expect(() => smallestAssignment([[Number.NaN]])).toThrow(/finite costs/);
  });
});
