import { describe, expect, test } from "vitest";
import { fitCurve } from "../../toolkit/numeric/fit-curve.js";
import { fitPolynomial } from "../../toolkit/numeric/fit-polynomial.js";
import { createRandom } from "../../toolkit/numeric/random.js";
import { digits, fewestDigits, publishedCases, readReference } from "./reference.js";

type Parameters = readonly number[];
type Model = (b: Parameters, x: number) => number;

const { cos, exp, PI, sin } = Math;
const twoPeaks: Model = (b, x) =>
  b[0] * exp(-b[1] * x) + b[2] * exp(-(((x - b[3]) / b[4]) ** 2)) + b[5] * exp(-(((x - b[6]) / b[7]) ** 2));
const threeDecays: Model = (b, x) => b[0] * exp(-b[1] * x) + b[2] * exp(-b[3] * x) + b[4] * exp(-b[5] * x);
const wave = (period: number, a: number, b: number, x: number) =>
  a * cos((2 * PI * x) / period) + b * sin((2 * PI * x) / period);

const models: Readonly<Record<string, Model>> = {
  Bennett5: (b, x) => b[0] * (b[1] + x) ** (-1 / b[2]),
  BoxBOD: (b, x) => b[0] * (1 - exp(-b[1] * x)),
  Chwirut2: (b, x) => exp(-b[0] * x) / (b[1] + b[2] * x),
  DanWood: (b, x) => b[0] * x ** b[1],
  ENSO: (b, x) => b[0] + wave(12, b[1], b[2], x) + wave(b[3], b[4], b[5], x) + wave(b[6], b[7], b[8], x),
  Gauss1: twoPeaks,
  Gauss3: twoPeaks,
  Hahn1: (b, x) => (b[0] + x * (b[1] + x * (b[2] + x * b[3]))) / (1 + x * (b[4] + x * (b[5] + x * b[6]))),
  Kirby2: (b, x) => (b[0] + x * (b[1] + x * b[2])) / (1 + x * (b[3] + x * b[4])),
  Lanczos1: threeDecays,
  Lanczos2: threeDecays,
  MGH10: (b, x) => b[0] * exp(b[1] / (x + b[2])),
  MGH17: (b, x) => b[0] + b[1] * exp(-x * b[3]) + b[2] * exp(-x * b[4]),
  Misra1a: (b, x) => b[0] * (1 - exp(-b[1] * x)),
  Misra1b: (b, x) => b[0] * (1 - (1 + (b[1] * x) / 2) ** -2),
  Misra1d: (b, x) => (b[0] * b[1] * x) / (1 + b[1] * x),
  Rat42: (b, x) => b[0] / (1 + exp(b[1] - b[2] * x)),
};

interface Certified {
  readonly title: string;
  readonly start: Parameters;
  readonly b: Parameters;
  readonly errors: Parameters;
  readonly sumOfSquares: number;
  readonly dof: number;
  /** Lanczos1: its residuals are rounding errors of the data, certified values or not. */
  readonly bare: boolean;
  readonly fit: (start: Parameters) => ReturnType<typeof fitCurve>;
  readonly sumAt: (b: Parameters) => number;
}

const certified: Certified[] = publishedCases("t02_nonlinear_least_squares_strd.json").flatMap((of) => {
  const name = of.id.replace("strd_", "");
  const data = readReference<{ x: number[]; x1: number[]; x2: number[]; y: number[] }>(
    of.inputs.data_file as string,
  );
  const { fit, sumAt } = name === "Nelson" ? twoPredictors(data) : onePredictor(models[name], data);
  return ["start1", "start2"].map((which) => ({
    title: `${name} from ${which} [${of.source}; ${of.provenance}]`,
    start: of.inputs[which] as Parameters,
    b: of.expected.b as Parameters,
    errors: of.expected.sd_b as Parameters,
    sumOfSquares: of.expected.rss as number,
    dof: of.expected.df as number,
    bare: name === "Lanczos1",
    fit,
    sumAt,
  }));
});

function onePredictor(model: Model, { x, y }: { x: number[]; y: number[] }) {
  return {
    fit: (start: Parameters) => fitCurve(model, { x, y }, start),
    sumAt: (b: Parameters) => y.reduce((sum, value, i) => sum + (value - model(b, x[i])) ** 2, 0),
  };
}

/** Nelson: the logarithm of a breakdown voltage against time and temperature. */
function twoPredictors({ x1, x2, y }: { x1: number[]; x2: number[]; y: number[] }) {
  const model = (b: Parameters, [time, temperature]: readonly [number, number]) =>
    b[0] - b[1] * time * exp(-b[2] * temperature);
  const x = x1.map((time, i) => [time, x2[i]] as const);
  const logs = y.map(Math.log);
  return {
    fit: (start: Parameters) => fitCurve(model, { x, y: logs }, start),
    sumAt: (b: Parameters) => logs.reduce((sum, value, i) => sum + (value - model(b, x[i])) ** 2, 0),
  };
}

describe("certified curves", () => {
  test.each(certified)(
    "$title: the certified parameters give the certified sum of squares",
    ({ b, sumAt, sumOfSquares, bare }) => {
      // Parameters of 11 digits leave an error of their square in the sum; that of Lanczos1 drowns in them.
      if (bare) expect(sumAt(b)).toBeLessThan(1e-19);
      else expect(digits(sumAt(b), sumOfSquares)).toBeGreaterThan(6);
    },
  );

  test.each(certified)("$title: parameters to 8 digits, standard errors to 7", (of) => {
    const fit = of.fit(of.start);
    expect(fit.converged).toBe(true);
    expect(fewestDigits(fit.parameters, of.b)).toBeGreaterThan(8);
    // Two digits where the certifier's own tolerance is one in a hundred.
    expect(fewestDigits(fit.standardErrors, of.errors)).toBeGreaterThan(of.bare ? 2 : 7);
    expect(digits(fit.residualSumOfSquares, of.sumOfSquares)).toBeGreaterThan(of.bare ? 1.7 : 9);
    expect(fit.dof).toBe(of.dof);
  });
});

/** ∂/∂b of the two peaks on a decay: Gauss1 and Gauss3. */
const twoPeaksJacobian: (b: Parameters, x: number) => Parameters = (b, x) => {
  const peak = (height: number, centre: number, width: number) => {
    const u = (x - centre) / width;
    const value = exp(-u * u);
    return [value, (2 * height * value * u) / width, (2 * height * value * u * u) / width];
  };
  const fade = exp(-b[1] * x);
  return [fade, -b[0] * x * fade, ...peak(b[2], b[3], b[4]), ...peak(b[5], b[6], b[7])];
};

describe("with the analytic derivatives given", () => {
  const gauss = certified.filter(({ title }) => title.startsWith("Gauss"));
  test.each(gauss)("$title: parameters to 8 digits, standard errors to 5", ({ title, start, b, errors }) => {
    const name = title.split(" ")[0];
    const published = publishedCases("t02_nonlinear_least_squares_strd.json").find(
      ({ id }) => id === `strd_${name}`,
    );
    const data = readReference<{ x: number[]; y: number[] }>(published?.inputs.data_file as string);
    const fit = fitCurve(twoPeaks, data, start, { jacobian: twoPeaksJacobian });
    expect(fit.converged).toBe(true);
    expect(fewestDigits(fit.parameters, b)).toBeGreaterThan(8);
    expect(fewestDigits(fit.standardErrors, errors)).toBeGreaterThan(5);
  });
});

const decay: Model = (b, x) => b[0] * exp(-b[1] * x) + b[2];
const decayJacobian: (b: Parameters, x: number) => Parameters = (b, x) => [
  exp(-b[1] * x),
  -x * b[0] * exp(-b[1] * x),
  1,
];

function noisyDecay(seed: number): { x: number[]; y: number[] } {
  const random = createRandom(seed);
  const x = Array.from({ length: 60 }, (_, i) => i / 10);
  return { x, y: x.map((value) => decay([3, 0.5, 0.2], value) + 0.05 * random.normal()) };
}

describe("options", () => {
  test("derivatives given or found by differences lead to the same fit", () => {
    const data = noisyDecay(1);
    const given = fitCurve(decay, data, [1, 1, 0], { jacobian: decayJacobian });
    const found = fitCurve(decay, data, [1, 1, 0]);
    expect(fewestDigits(found.parameters, given.parameters)).toBeGreaterThan(10);
    expect(fewestDigits(found.standardErrors, given.standardErrors)).toBeGreaterThan(10);
  });

  test("a straight model gives what the polynomial fit gives, with or without known standard deviations", () => {
    const { x, y } = noisyDecay(2);
    const line: Model = (b, value) => b[0] + b[1] * value;
    const deviations = x.map((value) => 0.05 + 0.01 * value);
    for (const standardDeviationsAre of ["known", "relative"] as const) {
      const curve = fitCurve(line, { x, y, standardDeviations: deviations }, [1, 1], {
        standardDeviationsAre,
      });
      const exact = fitPolynomial(x, y, 1, { standardDeviations: deviations, standardDeviationsAre });
      expect(fewestDigits(curve.parameters, exact.coefficients)).toBeGreaterThan(10);
      expect(fewestDigits(curve.standardErrors, exact.standardErrors)).toBeGreaterThan(9);
      expect(fewestDigits(curve.covariance.flat(), exact.covariance.flat())).toBeGreaterThan(9);
    }
  });

  test("bounds that do not bind change nothing", () => {
    const data = noisyDecay(3);
    const free = fitCurve(decay, data, [1, 1, 0.5]);
    const bounded = fitCurve(decay, data, [1, 1, 0.5], {
      bounds: [
        [0, 10],
        [0, 10],
        [0, 1],
      ],
    });
    expect(fewestDigits(bounded.parameters, free.parameters)).toBeGreaterThan(10);
    expect(bounded.atBound).toEqual([false, false, false]);
  });

  test("a parameter pushed against its bound stays there, and the others fit as if it were fixed", () => {
    const data = noisyDecay(1);
    const bounded = fitCurve(decay, data, [1, 1, 0], {
      bounds: [
        [0, 2],
        [0, 10],
        [-1, 1],
      ],
    });
    const fixed = fitCurve((b: Parameters, x: number) => decay([2, b[0], b[1]], x), data, [1, 0]);
    expect(bounded.converged).toBe(true);
    expect(bounded.atBound).toEqual([true, false, false]);
    expect(bounded.parameters[0]).toBe(2);
    // The bound forces a misfit of five times the noise, which slows the last digits of any such search.
    expect(fewestDigits(bounded.parameters.slice(1), fixed.parameters)).toBeGreaterThan(8);
    expect(bounded.standardErrors[0]).toBe(0);
  });

  test("the model is never asked outside the bounds", () => {
    const { x, y } = noisyDecay(1);
    let outside = 0;
    const guarded: Model = (b, value) => {
      if (b[0] < 0 || b[0] > 2 || b[1] < 0) outside++;
      return decay(b, value);
    };
    fitCurve(guarded, { x, y }, [0, 0, 0], {
      bounds: [
        [0, 2],
        [0, Infinity],
        [-Infinity, Infinity],
      ],
    });
    expect(outside).toBe(0);
  });

  test("a start at zero and one far away both arrive", () => {
    const data = noisyDecay(1);
    const near = fitCurve(decay, data, [3, 0.5, 0.2]);
    for (const start of [
      [0, 0.1, 0],
      [100, 3, -5],
    ]) {
      const far = fitCurve(decay, data, start);
      expect(far.converged).toBe(true);
      expect(fewestDigits(far.parameters, near.parameters)).toBeGreaterThan(9);
    }
  });

  test("inputs stay as they were", () => {
    const data = noisyDecay(1);
    const copy = structuredClone(data);
    const start = Object.freeze([1, 1, 0]);
    fitCurve(decay, data, start);
    expect(data).toEqual(copy);
  });
});

describe("stated errors", () => {
  test("the known standard deviations of a decay hold its rate in 95 % of simulated fits, within three standard errors", () => {
    const random = createRandom(2);
    const x = Array.from({ length: 20 }, (_, i) => i / 4);
    const runs = 1500;
    let held = 0;
    for (let i = 0; i < runs; i++) {
      const y = x.map((value) => decay([3, 0.5, 0.2], value) + 0.02 * random.normal());
      const fit = fitCurve(decay, { x, y, standardDeviations: new Array(20).fill(0.02) }, [2.5, 0.6, 0], {
        jacobian: decayJacobian,
      });
      if (Math.abs(fit.parameters[1] - 0.5) <= 1.959963984540054 * fit.standardErrors[1]) held++;
    }
    expect(Math.abs(held / runs - 0.95)).toBeLessThan(3 * Math.sqrt((0.95 * 0.05) / runs));
  });

  test("exact data are fitted exactly", () => {
    const x = Array.from({ length: 30 }, (_, i) => i / 5);
    const fit = fitCurve(decay, { x, y: x.map((value) => decay([3, 0.5, 0.2], value)) }, [1, 1, 0]);
    expect(fit.converged).toBe(true);
    expect(fewestDigits(fit.parameters, [3, 0.5, 0.2])).toBeGreaterThan(12);
  });
});

describe("what cannot be fitted says so", () => {
  const { x, y } = noisyDecay(1);

  test("parameters that the data cannot tell apart", () => {
    const fit = fitCurve((b: Parameters, value: number) => b[0] + b[1] + 0 * value, { x, y }, [1, 1]);
    expect(fit.converged).toBe(false);
    expect(fit.reason).toContain("cannot tell the parameters apart");
    expect(fit.standardErrors.every(Number.isNaN)).toBe(true);
  });

  test("too few iterations", () => {
    const fit = fitCurve(decay, { x, y }, [50, 4, 0], { maxIterations: 2 });
    expect(fit.converged).toBe(false);
    expect(fit.reason).toBe("not settled after 2 iterations");
  });

  test.each([
    ["a y missing", "unequal-lengths", () => fitCurve(decay, { x: [1, 2, 3, 4], y: [1, 2, 3] }, [1, 1, 1])],
    [
      "fewer points than parameters",
      "too-few-points",
      () => fitCurve(decay, { x: [1, 2], y: [1, 2] }, [1, 1, 1]),
    ],
    ["no parameter", "too-few-points", () => fitCurve(() => 1, { x: [1, 2], y: [1, 2] }, [])],
    [
      "a y that is NaN",
      "not-finite",
      () => fitCurve(decay, { x: [1, 2, 3], y: [1, Number.NaN, 3] }, [1, 1, 1]),
    ],
    [
      "a standard deviation of 0",
      "out-of-domain",
      () => fitCurve(decay, { x, y, standardDeviations: x }, [1, 1, 1]),
    ],
    [
      "a start outside its bounds",
      "out-of-domain",
      () =>
        fitCurve(decay, { x, y }, [1, 1, 5], {
          bounds: [
            [0, 9],
            [0, 9],
            [0, 1],
          ],
        }),
    ],
    [
      "bounds for two of three",
      "unequal-lengths",
      () =>
        fitCurve(decay, { x, y }, [1, 1, 0], {
          bounds: [
            [0, 9],
            [0, 9],
          ],
        }),
    ],
    [
      "a start where the model is undefined",
      "model-not-finite",
      () => fitCurve((b: Parameters, v: number) => Math.log(b[0] * v + 1), { x, y }, [-5]),
    ],
  ])("%s is refused", (_, code, call) => {
    expect(call).toThrowError(expect.objectContaining({ code }));
  });
});
