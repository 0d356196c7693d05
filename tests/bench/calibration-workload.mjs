// Fourteen ions, eight levels, three injections each: what the peer does of them, and all that the toolkit says of them.
import { chooseCalibration } from "../../toolkit/dist/calibration/choice/choose-calibration.js";
import { calibrate } from "../../toolkit/dist/calibration/curve/calibrate.js";
import { fitTests } from "../../toolkit/dist/calibration/tests-of-fit/fit-tests.js";
import { limitLadder } from "../../toolkit/dist/limits/limit-ladder.js";

const IONS = [
  "fluoride",
  "acetate",
  "formate",
  "chlorite",
  "bromate",
  "chloride",
  "nitrite",
  "chlorate",
  "bromide",
  "nitrate",
  "carbonate",
  "sulfate",
  "oxalate",
  "phosphate",
];
const MODELS = ["linear", "through-zero", "quadratic", "weak"];
const WEIGHTINGS = ["none", "1/x", "1/x^2", "variance-function"];

/** Points and unknowns of each ion. */
export function standardsOf(x, y, unknowns) {
  const perIon = unknowns.length / IONS.length;
  return IONS.map((ion, j) => ({
    ion,
    points: Array.from(x, (concentration, i) => ({ concentration, response: y[j * x.length + i] })),
    unknowns: unknowns.subarray(j * perIon, (j + 1) * perIon),
  }));
}

/** A curve with weights 1/x, and every unknown read off it with its 95 % interval. */
function readOff({ ion, points, unknowns }, model) {
  const curve = calibrate(points, { model, weighting: "1/x", ion });
  let x0 = 0;
  let half = 0;
  for (const response of unknowns) {
    const found = curve.concentration(response);
    const { low, high } = found.interval();
    x0 += found.value;
    half += (high - low) / 2;
  }
  return { x0, half };
}

/** The peer's work: a line and a parabola each. */
export function lineAndParabola(standards) {
  return {
    linear: standards.map((each) => readOff(each, "linear")),
    quad: standards.map((each) => readOff(each, "quadratic")),
  };
}

/** Reads every figure and every verdict, so that none can stay uncomputed: how many there are, and their sums. */
class Reader {
  figures = 0;
  sum = 0;
  letters = 0;

  number(value) {
    if (value === undefined) return;
    this.figures++;
    if (Number.isFinite(value)) this.sum += value;
  }

  text(words) {
    this.letters += words.length;
  }

  curve(curve) {
    for (const coefficient of curve.coefficients) this.number(coefficient);
    for (const row of curve.covariance) for (const entry of row) this.number(entry);
    for (const error of curve.standardErrors) this.number(error);
    this.number(curve.residualStandardDeviation);
    this.number(curve.dof);
    this.number(curve.rSquared);
    this.number(curve.relativeStandardErrorPercent);
    this.number(curve.range[0]);
    this.number(curve.range[1]);
    this.number(curve.varianceFunction?.s0);
    this.number(curve.varianceFunction?.theta);
  }

  tests(tests) {
    for (const { statistic, critical, p, passed, verdict } of tests) {
      this.number(statistic);
      this.number(critical);
      this.number(p);
      this.number(Number(passed));
      this.text(verdict);
    }
  }

  choice({ calibration, accepted, reason, tried }) {
    this.curve(calibration);
    this.number(Number(accepted));
    this.text(reason);
    for (const { calibration: each, tests, against } of tried) {
      if (each !== undefined) this.curve(each);
      this.tests(tests);
      for (const words of against) this.text(words);
    }
  }

  ladder({ rungs, inForce, span }) {
    this.number(span);
    this.number(inForce.criticalValue);
    this.number(inForce.detectionLimit);
    this.number(inForce.quantificationLimit);
    this.text(inForce.why);
    for (const { limits, value, dof, requirement, reasons } of rungs) {
      this.number(value);
      this.number(dof);
      this.text(requirement);
      for (const words of reasons) this.text(words);
      for (const limit of limits) {
        this.number(limit.value);
        this.number(limit.interval?.low);
        this.number(limit.interval?.high);
      }
    }
  }
}

/**
 * Every model with every weighting, its tests of fit, the choice among them with its reason, the ladder of limits, and
 * every figure and verdict of them read; and the peer's line with its unknowns, by which the work is compared.
 */
export function everything(standards) {
  const read = new Reader();
  const all = standards.map(({ ion, points }) => {
    const curves = MODELS.flatMap((model) =>
      WEIGHTINGS.map((weighting) => {
        const curve = calibrate(points, { model, weighting, ion });
        const tests = fitTests(curve);
        read.curve(curve);
        read.tests(tests);
        return { curve, tests };
      }),
    );
    const choice = chooseCalibration(points, { ion });
    read.choice(choice);
    const ladder = limitLadder({ ion, calibration: points });
    read.ladder(ladder);
    return { curves, choice, ladder };
  });
  const { figures, sum, letters } = read;
  return { all, figures, sum, letters, linear: standards.map((each) => readOff(each, "linear")) };
}

export function sumsOf(found) {
  const sum = (list, key) => list.reduce((total, each) => total + each[key], 0);
  const sums = { sum_x0_linear: sum(found.linear, "x0"), sum_half_linear: sum(found.linear, "half") };
  if (found.all) return { ...sums, figures: found.figures, sum_figures: found.sum, letters: found.letters };
  return { ...sums, sum_x0_quad: sum(found.quad, "x0"), sum_half_quad: sum(found.quad, "half") };
}
