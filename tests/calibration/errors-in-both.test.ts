import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { lineWithErrorsInBoth } from "../../toolkit/calibration/curve/errors-in-both.js";
import { codeOf, expectPublished, published, titleOf } from "./published.js";

const pearson = published("t04_calibration.json", "pearson_york_errors_in_both");

describe("a line through points with errors in both", () => {
  it(titleOf(pearson), () => {
    const { x, y, wx, wy } = pearson.inputs as unknown as Record<"x" | "y" | "wx" | "wy", readonly number[]>;
    const line = lineWithErrorsInBoth(
      x.map((at, i) => ({ x: at, y: y[i], ux: wx[i] ** -0.5, uy: wy[i] ** -0.5 })),
    );
    expectPublished(pearson, {
      slope: line.coefficients[1],
      intercept: line.coefficients[0],
      S: line.chiSquared,
      se_slope: line.standardErrors[1],
      se_intercept: line.standardErrors[0],
      S_per_df: line.chiSquared / line.dof,
    });
  });

  it("becomes the weighted line of `calibrate` where x is known, and turns with exchanged axes", () => {
    const points = [1, 2, 4, 8].map((x, i) => ({
      x,
      y: 3 * x + [0.1, -0.2, 0.15, 0.05][i],
      ux: 1e-7,
      uy: 0.1 + i / 10,
    }));
    const line = lineWithErrorsInBoth(points);
    const variances = points.map(({ uy }) => uy * uy);
    const curve = calibrate(
      points.map(({ x, y }) => ({ concentration: x, response: y })),
      { weighting: variances.map((v) => 1 / v), covarianceFrom: { responseVariances: variances } },
    );
    line.coefficients.forEach((value, k) => {
      expect(value).toBeCloseTo(curve.coefficients[k], 9);
      expect(line.standardErrors[k]).toBeCloseTo(curve.standardErrors[k], 9);
    });
    const both = points.map((point) => ({ ...point, ux: 0.05, correlation: 0.3 }));
    const straight = lineWithErrorsInBoth(both);
    const turned = lineWithErrorsInBoth(
      both.map(({ x, y, ux, uy, correlation }) => ({ x: y, y: x, ux: uy, uy: ux, correlation })),
    );
    expect(straight.coefficients[1] * turned.coefficients[1]).toBeCloseTo(1, 9);
    expect(straight.chiSquared).toBeCloseTo(turned.chiSquared, 9);
  });

  it("refuses points without uncertainty, without spread, or too few", () => {
    const good = [1, 2, 3].map((x) => ({ x, y: x, ux: 0.1, uy: 0.1 }));
    const changed = (change: object) => [...good.slice(0, 2), { ...good[2], ...change }];
    expect(codeOf(() => lineWithErrorsInBoth(good.slice(0, 2)))).toBe("too-few-points");
    expect(codeOf(() => lineWithErrorsInBoth(changed({ ux: 0 })))).toBe("negative-uncertainty");
    expect(codeOf(() => lineWithErrorsInBoth(changed({ y: Number.NaN })))).toBe("not-a-number");
    expect(codeOf(() => lineWithErrorsInBoth(changed({ correlation: 1 })))).toBe("bad-correlation");
    expect(codeOf(() => lineWithErrorsInBoth(good.map((point) => ({ ...point, x: 1 }))))).toBe(
      "dependent-columns",
    );
    expect(codeOf(() => lineWithErrorsInBoth({} as never))).toBe("bad-points");
  });
});
