import { describe, expect, it } from "vitest";
import { calibrate } from "../../toolkit/calibration/curve/calibrate.js";
import type { CalibrationModel, StandardReading } from "../../toolkit/calibration/response/types.js";
import { createRandom, type Random } from "../../toolkit/numeric/random.js";
import { measured } from "../../toolkit/uncertainty/measured.js";

// Simulated calibrations whose truth is known (made-up data).
const LEVELS = [0.1, 0.3, 1, 3, 10, 30, 60];
const NOISE = 0.0015;
const INJECTION = 0.008;
const STOCK = 0.004;
const FLASK = 0.006;
const TRIALS = 2000;

const truth: Readonly<Record<"linear" | "weak", (x: number) => number>> = {
  linear: (x) => 0.01 + 0.25 * x,
  weak: (x) => (2 * x) / (1.6 + Math.sqrt(1.6 ** 2 + 0.2 * x)),
};
const scatter = (y: number) => Math.sqrt(NOISE ** 2 + (INJECTION * y) ** 2);

/** One laboratory's day: standards that deviate as a stock and flasks do, each injected twice. */
function prepare(random: Random, respond: (x: number) => number, withSources: boolean) {
  const points: StandardReading[] = [];
  const variances: number[] = [];
  const stock = withSources ? STOCK * random.normal() : 0;
  for (const concentration of LEVELS) {
    const flask = withSources ? FLASK * random.normal() : 0;
    const y = respond(concentration * (1 + stock + flask));
    const sources = [
      { source: "stock", contribution: STOCK * concentration },
      { source: `flask ${concentration}`, contribution: FLASK * concentration },
    ];
    for (let r = 0; r < 2; r++) {
      const response = y + scatter(y) * random.normal();
      points.push(withSources ? { concentration, response, sources } : { concentration, response });
      variances.push(scatter(respond(concentration)) ** 2);
    }
  }
  return { points, variances };
}

interface Outcome {
  readonly coveredPercent: number;
  readonly rootMeanSquare: number;
  readonly meanChiSquared: number;
}

function simulate(model: "linear" | "weak", withSources: boolean, seed: number): Outcome {
  const random = createRandom(seed);
  const respond = truth[model];
  let covered = 0;
  let squares = 0;
  let chiSquared = 0;
  for (let i = 0; i < TRIALS; i++) {
    const { points, variances } = prepare(random, respond, withSources);
    const curve = calibrate(points, {
      model: model as CalibrationModel,
      weighting: "1/x^2",
      name: "curve",
      covarianceFrom: { responseVariances: variances },
    });
    chiSquared += curve.covarianceBasis.chiSquared as number;
    const x = 0.15 * Math.exp(random.uniform() * Math.log(300));
    const u = scatter(respond(x));
    const found = curve.concentration(measured(respond(x) + u * random.normal(), "1", { u }));
    const { low, high } = found.interval();
    if (low <= x && x <= high) covered++;
    squares += ((found.value - x) / found.u) ** 2;
  }
  return {
    coveredPercent: (100 * covered) / TRIALS,
    rootMeanSquare: Math.sqrt(squares / TRIALS),
    meanChiSquared: chiSquared / TRIALS,
  };
}

describe(`of ${TRIALS} simulated calibrations with known variances`, () => {
  const runs = [1, 2, 3].flatMap((seed) => [
    { model: "linear" as const, withSources: false, seed },
    { model: "weak" as const, withSources: true, seed },
  ]);

  it.each(runs)(
    "93 to 97 % of the 95 % intervals hold the truth ($model, shared sources $withSources, seed $seed)",
    ({ model, withSources, seed }) => {
      const { coveredPercent, rootMeanSquare, meanChiSquared } = simulate(model, withSources, seed);
      expect(coveredPercent).toBeGreaterThan(93);
      expect(coveredPercent).toBeLessThan(97);
      expect(rootMeanSquare).toBeGreaterThan(0.95);
      expect(rootMeanSquare).toBeLessThan(1.05);
      // χ² of 14 readings and two coefficients, though the weights 1/x² are not the inverse variances: 12 ± 0.11.
      expect(Math.abs(meanChiSquared - 12)).toBeLessThan(0.4);
    },
  );

  it.each([1, 2, 3])("variances stated nine times too small are mostly corrected (seed %i)", (seed) => {
    const random = createRandom(seed);
    let sum = 0;
    for (let i = 0; i < 200; i++) {
      const { points, variances } = prepare(random, truth.linear, false);
      const options = {
        weighting: "1/x^2",
        covarianceFrom: { responseVariances: variances.map((v) => v / 9) },
      } as const;
      const curve = calibrate(points, options);
      const { inflation, dof } = curve.covarianceBasis;
      if (inflation > 1) expect(dof).toBe(22);
      // F is the factor on Cov(b) and on the reading's variance.
      const trusted = calibrate(points, {
        ...options,
        covarianceFrom: { ...options.covarianceFrom, priorDof: 1e12 },
      });
      expect(curve.covariance[1][1] / trusted.covariance[1][1]).toBeCloseTo(inflation, 6);
      expect(curve.readingVariance(2) / trusted.readingVariance(2)).toBeCloseTo(inflation, 6);
      sum += inflation;
    }
    // (ν₀ + 9·12)/(ν₀ + 12) with ν₀ = 10.
    expect(sum / 200).toBeGreaterThan(5);
    expect(sum / 200).toBeLessThan(5.8);
  });

  it.each([1, 2, 3])(
    "so do 93 to 97 % without any stated variance, six readings of equal scatter (seed %i)",
    (seed) => {
      const random = createRandom(seed);
      let covered = 0;
      for (let i = 0; i < TRIALS; i++) {
        const points = [1, 2, 4, 6, 8, 10].map((x) => ({
          concentration: x,
          response: 0.3 * x + 0.02 * random.normal(),
        }));
        const x = 1 + 9 * random.uniform();
        const { low, high } = calibrate(points)
          .concentration(0.3 * x + 0.02 * random.normal())
          .interval();
        if (low <= x && x <= high) covered++;
      }
      expect((100 * covered) / TRIALS).toBeGreaterThan(93);
      expect((100 * covered) / TRIALS).toBeLessThan(97);
    },
  );
});

describe("cost", () => {
  it("fifteen curves and six hundred results take less than 50 ms once the code is warm", () => {
    const random = createRandom(1);
    const batch = () => {
      const days = Array.from({ length: 15 }, () => prepare(random, truth.linear, true));
      const start = performance.now();
      for (const { points, variances } of days) {
        const curve = calibrate(points, {
          weighting: "1/x^2",
          covarianceFrom: { responseVariances: variances },
        });
        for (let i = 0; i < 40; i++) curve.concentration(measured(0.3 + 0.35 * i, "1", { u: 0.002 }));
      }
      return performance.now() - start;
    };
    // The quickest of many: other work on the machine only ever adds.
    expect(Math.min(...Array.from({ length: 20 }, batch))).toBeLessThan(50);
  });
});
