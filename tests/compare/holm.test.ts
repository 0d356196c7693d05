import { expect, test } from "vitest";
import { holmAdjusted } from "../../toolkit/compare/holm.js";

test("four tests come out as in the textbook example of the procedure (from memory)", () => {
  // 0.005·4, 0.01·3, 0.03·2, and 0.04·1 raised to the one before it
  const adjusted = holmAdjusted([0.01, 0.04, 0.03, 0.005]);
  [0.03, 0.06, 0.06, 0.02].forEach((p, index) => {
    expect(adjusted[index]).toBeCloseTo(p, 12);
  });
});

test("one test stays as it is, none gives none, and nothing exceeds 1", () => {
  expect(holmAdjusted([0.2])).toEqual([0.2]);
  expect(holmAdjusted([])).toEqual([]);
  expect(holmAdjusted([0.9, 0.8])).toEqual([1, 1]);
});

test("what is no probability is refused", () => {
  expect(() => holmAdjusted([0.1, 1.2])).toThrow(/1.2 is no probability/);
  expect(() => holmAdjusted([Number.NaN])).toThrow(/no probability/);
});
