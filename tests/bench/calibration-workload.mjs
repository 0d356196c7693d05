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

/**
 * Every model with every weighting, its tests of fit, the choice among them with its reason, the ladder of limits; and
 * the peer's line with its unknowns, by which the work is compared.
 */
export function everything(standards) {
  const all = standards.map(({ ion, points }) => ({
    curves: MODELS.map((model) =>
      WEIGHTINGS.map((weighting) => {
        const curve = calibrate(points, { model, weighting, ion });
        return { curve, tests: fitTests(curve) };
      }),
    ),
    choice: chooseCalibration(points, { ion }),
    ladder: limitLadder({ ion, calibration: points }),
  }));
  return { all, linear: standards.map((each) => readOff(each, "linear")) };
}

export function sumsOf(found) {
  const sum = (list, key) => list.reduce((total, each) => total + each[key], 0);
  const sums = { sum_x0_linear: sum(found.linear, "x0"), sum_half_linear: sum(found.linear, "half") };
  if (found.quad === undefined) return sums;
  return { ...sums, sum_x0_quad: sum(found.quad, "x0"), sum_half_quad: sum(found.quad, "half") };
}
