import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import { lineWithErrorsInBoth } from "../../toolkit/calibration/curve/errors-in-both.js";
import { pipette, volumetricFlask } from "../../toolkit/standards/glassware.js";
import { prepareStandards } from "../../toolkit/standards/prepare-standards.js";
import { correlation } from "../../toolkit/uncertainty/measured.js";
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

describe("a reading taken off a line with errors in both", () => {
  const points = [0.5, 1, 2, 5, 10].map((x, i) => ({
    x,
    y: 0.02 + 0.25 * x + [0.001, -0.002, 0.001, 0.002, -0.003][i],
    ux: 0.02 * x,
    uy: 0.003,
  }));
  const line = lineWithErrorsInBoth(points);

  it("has the u of the covariance: u² = (u²(y) + v00 + 2x·v01 + x²·v11)/b² (law of propagation)", () => {
    const found = line.concentration(0.9, { u: 0.004 });
    const [b0, b1] = line.coefficients;
    const [[v00, v01], [, v11]] = line.covariance;
    const x = (0.9 - b0) / b1;
    expect(found.value).toBeCloseTo(x, 12);
    expect(found.u).toBeCloseTo(Math.sqrt(0.004 ** 2 + v00 + 2 * x * v01 + x * x * v11) / b1, 12);
    expect(found.dof).toBe(Infinity);
  });

  it("shares the line with the next reading, and refuses what is no reading", () => {
    const [a, b] = [line.concentration(0.9, { u: 0 }), line.concentration(1.1, { u: 0 })];
    expect(correlation(a, b)).toBeGreaterThan(0.99);
    expect(codeOf(() => line.concentration(Number.NaN, { u: 0.1 }))).toBe("not-a-number");
    expect(codeOf(() => line.concentration(1, { u: -1 }))).toBe("negative-uncertainty");
    expect(codeOf(() => line.concentration(1, undefined as never))).toBe("bad-option");
  });
});

describe("standards' sources with degrees of freedom", () => {
  const responses = [0.0251, 0.1253, 0.4998, 1.2501, 2.4997];
  const points = (dof?: number) =>
    [0.1, 0.5, 2, 5, 10].map((concentration, i) => {
      const source = { source: "stock", contribution: 0.05 * concentration };
      const sources = [dof === undefined ? source : { ...source, dof }];
      return { concentration, response: responses[i], sources };
    });

  it("reach the result: ν_eff by Welch and Satterthwaite (JCGM 100:2008, G.4.1)", () => {
    const found = calibrate(points(4)).concentration(1, { source: "reading" });
    const known = calibrate(points()).concentration(1, { source: "reading" });
    const stock = Math.abs(found.contributions[found.sources.findIndex(({ key }) => key === "stock")]);
    const rest = found.u ** 2 - stock ** 2;
    expect(found.u).toBeCloseTo(known.u, 14);
    expect(known.dof).toBeGreaterThan(1000);
    expect(found.dof).toBeCloseTo(found.u ** 4 / (stock ** 4 / 4 + rest ** 2 / 3), 6);
    expect(codeOf(() => calibrate(points(0)))).toBe("bad-dof");
  });

  it("come with the levels of a preparation: a certificate with five degrees of freedom", () => {
    const [level] = prepareStandards({
      stocks: [
        {
          name: "chloride",
          contents: [{ ion: "chloride", concentration: 1000, uncertainty: { u: 20 }, dof: 5 }],
        },
      ],
      solutions: [
        {
          name: "level 1",
          flask: volumetricFlask(100),
          aliquots: [{ from: "chloride", pipette: pipette(1) }],
        },
      ],
    }).standards("chloride");
    const dofs = Object.fromEntries(level.sources.map(({ source, dof }) => [source, dof]));
    expect(dofs["certificate of chloride, chloride"]).toBe(5);
    expect(Object.values(dofs).filter((dof) => dof === Infinity).length).toBeGreaterThan(2);
  });
});
