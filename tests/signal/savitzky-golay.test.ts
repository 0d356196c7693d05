// Weights against the published table: A. Savitzky, M. J. E. Golay, Anal. Chem. 36 (1964) 1627, corrected by J. Steinier,
// Y. Termonia, J. Deltour, Anal. Chem. 44 (1972) 1906 (from memory): 5 points −3 12 17 12 −3 over 35, first derivative
// −2 −1 0 1 2 over 10 (quadratic); 7 points cubic first derivative 22 −67 −58 0 58 67 −22 over 252.
import { describe, expect, it } from "vitest";
import { createRandom } from "../../toolkit/numeric/random.js";
import { type SavitzkyGolayOptions, smoothSavitzkyGolay } from "../../toolkit/signal/savitzky-golay.js";

function weights(options: SavitzkyGolayOptions & { readonly window: number }): number[] {
  const n = 41;
  const impulse = new Float64Array(n);
  impulse[20] = 1;
  const half = (options.window - 1) / 2;
  return [...smoothSavitzkyGolay(impulse, options).subarray(20 - half, 21 + half)].reverse();
}

describe("published weights", () => {
  it.each([
    [{ window: 5, degree: 2 }, [-3, 12, 17, 12, -3], 35],
    [{ window: 5, degree: 2, derivative: 1 }, [-2, -1, 0, 1, 2], 10],
    [{ window: 7, degree: 3, derivative: 1 }, [22, -67, -58, 0, 58, 67, -22], 252],
  ])("%j", (options, table, norm) => {
    weights(options).forEach((w, i) => {
      expect(w).toBeCloseTo(table[i] / norm, 13);
    });
  });
});

describe.each([1, 2, 3])("seed %i", (seed) => {
  const random = createRandom(seed);
  const [a, b, c, d] = [random.normal(), random.normal(), random.normal(), random.normal()];
  const x = Float64Array.from({ length: 103 }, (_, i) => (i - 40) / 20);

  it.each([0, 1, 2, 3])("a cubic passes unchanged, ends included, derivative %i to 1e-8", (derivative) => {
    const at = (t: number) =>
      [a + t * (b + t * (c + t * d)), b + t * (2 * c + 3 * t * d), 2 * c + 6 * t * d, 6 * d][derivative];
    const y = x.map((t) => a + t * (b + t * (c + t * d)));
    const found = smoothSavitzkyGolay(y, { derivative, interval: 1 / 20 });
    found.forEach((value, i) => {
      expect(Math.abs(value - at(x[i]))).toBeLessThan(1e-8);
    });
  });

  it("noise shrinks as the sum of the squared weights says, within 10 %", () => {
    const noise = Float64Array.from({ length: 20_000 }, () => random.normal());
    const out = smoothSavitzkyGolay(noise, { window: 21, degree: 3 });
    const expected = Math.sqrt(weights({ window: 21, degree: 3 }).reduce((sum, w) => sum + w * w, 0));
    const found = Math.sqrt(out.reduce((sum, v) => sum + v * v, 0) / out.length);
    expect(Math.abs(found / expected - 1)).toBeLessThan(0.1);
  });
});

it.each([
  ["bad-option", { window: 20 }],
  ["bad-option", { window: 5, degree: 5 }],
  ["bad-option", { derivative: -1 }],
  ["bad-option", { interval: 0 }],
  ["short-stretch", { window: 51 }],
])("%s is refused", (code, options) => {
  expect(() => smoothSavitzkyGolay(new Float64Array(50), options)).toThrow(expect.objectContaining({ code }));
});
