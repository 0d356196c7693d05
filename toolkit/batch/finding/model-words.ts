import type { IonCalibration } from "../types.js";

const MODELS: Readonly<Record<IonCalibration["model"], string>> = {
  linear: "straight line",
  "through-zero": "straight line through zero",
  quadratic: "parabola",
  weak: "curve of a weak acid or base",
};

/** "straight line with weights 1/x²". */
export function modelWords({ model, weighting }: Pick<IonCalibration, "model" | "weighting">): string {
  const weights = weighting === "none" ? "without weights" : `with weights ${weighting.replace("^2", "²")}`;
  return `${MODELS[model]} ${weights}`;
}

/** Why this curve holds for these standards: who chose it, and what the tests of fit and the standards say of it. */
export function whyThisModel(calibration: IonCalibration): readonly string[] {
  const { curve, points, verdict } = calibration;
  const used = points.filter((point) => point.rejected === undefined);
  const worst = Math.max(0, ...used.map((point) => Math.abs(finite(point.relativeErrorPercent))));
  return [
    `The method asks for a ${modelWords(calibration)}.`,
    ...weightReason(calibration),
    ...curvatureReason(calibration),
    ...fitReason(calibration),
    `Read back from the curve, its ${used.length} readings lie within ${worst.toPrecision(2)} % of what was given; relative standard error ${curve.relativeStandardErrorPercent.toPrecision(2)} %.`,
    verdict === "accepted" ? "Accepted by the limits of the quality plan." : `Not accepted: ${verdict}.`,
  ];
}

function weightReason({ weighting, low, high }: IonCalibration): readonly string[] {
  if (weighting === "none") return [];
  const ratio = Number((high / low).toPrecision(2));
  return [
    `The levels span a factor of ${ratio} and scatter grows with the concentration: weights keep the low levels from being drowned.`,
  ];
}

/** Whether the data ask for a parabola or would do with a line. */
function curvatureReason({ model, curve }: IonCalibration): readonly string[] {
  if (model !== "linear" && model !== "quadratic") return [];
  if (new Set(curve.points.map((point) => point.concentration)).size < 4) return [];
  const test = curve.mandel();
  const figures = `Mandel F = ${test.F.toPrecision(3)}, critical ${test.critical.toPrecision(3)} at 99 %; line and parabola differ by at most ${test.largestDifferencePercent.toPrecision(2)} % of a level`;
  const verdicts = {
    linear: {
      relevant: 'The points are curved: try the model "quadratic"',
      irrelevant: "No curvature that matters",
    },
    quadratic: {
      relevant: "The points are curved: a straight line would not do",
      irrelevant: "A straight line would do as well",
    },
  } as const;
  return [`${verdicts[model][test.relevant ? "relevant" : "irrelevant"]} (${figures}).`];
}

function fitReason({ curve }: IonCalibration): readonly string[] {
  const test = curve.lackOfFit();
  if (test === undefined)
    return ["No level was injected twice, so there is no test of fit against pure error."];
  const p = test.p < 0.001 ? "below 0.001" : test.p.toPrecision(2);
  const figures = `F = ${test.F.toPrecision(2)} on ${test.dfNumerator} and ${test.dfDenominator} degrees of freedom, p = ${p}`;
  return [
    test.p < 0.01
      ? `The levels lie farther from the curve than repeated injections scatter (lack of fit ${figures}).`
      : `The levels lie as near to the curve as repeated injections scatter (lack of fit ${figures}).`,
  ];
}

function finite(value: number): number {
  return Number.isFinite(value) ? value : 0;
}
