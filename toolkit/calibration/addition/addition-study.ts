import { DISPLAY, type DisplayBundle, displayOf } from "../../display.js";
import { IonbookError } from "../../errors.js";
import { requireKnownOptions } from "../../ions/known-options.js";
import { studentQuantile } from "../../numeric/distributions.js";
import {
  combineLinear,
  isMeasuredValue,
  type MeasuredValue,
  measured,
  minus,
  over,
  plus,
} from "../../uncertainty/measured.js";
import type { MandelTest } from "../response/types.js";
import { mandelTest } from "../tests-of-fit/mandel.js";
import { type AdditionLine, additionLine, type StandardAddition } from "./standard-addition.js";

export interface AdditionStudyOptions {
  /** @default "mg/L" */
  readonly unit?: string;
  /** For headings. */
  readonly ion?: string;
  /** Name of the result's source. @default one of its own */
  readonly source?: string;
  /** Slope of the external calibration, response per unit: says whether the matrix changes the response. */
  readonly externalSlope?: MeasuredValue;
  /** Response of a blank that went through everything: taken off every response, its u carried into the result. */
  readonly blank?: MeasuredValue;
}

/** One thing looked at, with what was found. */
export interface AdditionCheck {
  readonly name: string;
  readonly passed: boolean;
  readonly words: string;
  readonly source: string;
}

/** A standard addition with its line and all that a reader would ask of it. */
export interface AdditionStudy {
  readonly kind: "standard-addition";
  readonly ion: string | undefined;
  readonly unit: string;
  readonly concentration: MeasuredValue;
  /**
   * 95 % by Fieller's theorem, which also holds where the slope is badly known; undefined where it has no end. Of the
   * line alone, without the blank's u.
   */
  readonly interval: { readonly low: number; readonly high: number } | undefined;
  readonly points: readonly StandardAddition[];
  readonly intercept: number;
  readonly slope: number;
  readonly standardErrors: readonly [intercept: number, slope: number];
  readonly residualStandardDeviation: number;
  readonly dof: number;
  readonly curvature: MandelTest;
  /** Slope of the additions over that of the external calibration. */
  readonly slopeRatio: MeasuredValue | undefined;
  readonly checks: readonly AdditionCheck[];
  toString(): string;
  [DISPLAY](): DisplayBundle | Promise<DisplayBundle>;
}

const KNOWN = { unit: true, ion: true, source: true, externalSlope: true, blank: true } as const;
const LEVEL = 0.95;
/** The top addition over what was there. */
const TOP_ADDITION = [1.5, 3] as const;
const PRACTICE = "common practice, no source";

/**
 * Concentration by standard addition as in `standardAddition`, with what decides whether to believe it: curvature
 * (Mandel), the size of the top addition, a blank, and the slope against the external calibration,
 *
 *     matrix effect where |ratio − 1| > 2·u(ratio)
 *
 * and Fieller's interval about −b₀/b₁. Units: additions and result in `unit`, response in any one unit.
 *
 * @throws IonbookError as `standardAddition`; "bad-option" for a slope or blank that is no measured value
 * @source J. N. Miller and J. C. Miller, Statistics and Chemometrics for Analytical Chemistry, ch. 5; top addition 1.5
 *   to 3 times the content and test of the slope: common practice, no source; interval: E. C. Fieller,
 *   J. R. Stat. Soc. B 16 (1954) 175 (from memory)
 */
export function studyStandardAddition(
  points: readonly StandardAddition[],
  options: AdditionStudyOptions = {},
): AdditionStudy {
  requireKnownOptions(options, KNOWN, "studyStandardAddition");
  for (const name of ["externalSlope", "blank"] as const) {
    const given = options[name];
    if (given === undefined || isMeasuredValue(given)) continue;
    throw new IonbookError("bad-option", `${name} is a measured value: measured(0.2446, "1", { u: 0.0009 })`);
  }
  const { blank, unit = "mg/L" } = options;
  const corrected =
    blank && Array.isArray(points)
      ? points.map((point) => ({ ...point, response: point?.response - blank.value }))
      : points;
  const line = additionLine(corrected, options);
  const curvature = mandelTest(line.x, line.y, new Float64Array(line.x.length).fill(1));
  const slopeRatio = ratioOf(line, options.externalSlope);
  const concentration = blank ? lessBlank(line, blank, unit) : line.concentration;
  const study: AdditionStudy = {
    kind: "standard-addition",
    ion: options.ion,
    unit,
    concentration,
    interval: fieller(line),
    points: corrected,
    intercept: line.intercept,
    slope: line.slope,
    standardErrors: [Math.sqrt(line.covariance[0]), Math.sqrt(line.covariance[3])],
    residualStandardDeviation: line.residualStandardDeviation,
    dof: line.dof,
    curvature,
    slopeRatio,
    checks: checksOf(line, curvature, slopeRatio, blank !== undefined),
    toString: () => studyText(study),
    [DISPLAY]: () => displayOf(study),
  };
  return study;
}

/** The blank is one for all points: off by u, it moves the content by u/b₁. */
function lessBlank(
  { concentration, slope }: AdditionLine,
  blank: MeasuredValue,
  unit: string,
): MeasuredValue {
  const shift = combineLinear([{ value: minus(blank, blank.value), factor: -1 / slope }], unit);
  return plus(concentration, shift);
}

function ratioOf({ slope, covariance, dof }: AdditionLine, external: MeasuredValue | undefined) {
  if (external === undefined) return undefined;
  const own = measured(
    slope,
    external.unit,
    { u: Math.sqrt(covariance[3]) },
    { source: "slope of the additions", dof },
  );
  return over(own, external);
}

/** (b₀ − c·b₁)² ≤ t²·var(b₀ − c·b₁), solved for c; undefined where the slope may be zero. */
function fieller({ intercept, slope, covariance, dof }: AdditionLine) {
  const t2 = studentQuantile((1 + LEVEL) / 2, dof) ** 2;
  const a = slope ** 2 - t2 * covariance[3];
  if (a <= 0) return undefined;
  const b = intercept * slope - t2 * covariance[1];
  const root = Math.sqrt(Math.max(0, b * b - a * (intercept ** 2 - t2 * covariance[0])));
  return { low: (b - root) / a, high: (b + root) / a };
}

function checksOf(
  { concentration, x }: AdditionLine,
  curvature: MandelTest,
  ratio: MeasuredValue | undefined,
  blank: boolean,
): readonly AdditionCheck[] {
  const top = Math.max(...x) / concentration.value;
  const [least, most] = TOP_ADDITION;
  return [
    {
      name: "straight line",
      passed: !curvature.relevant,
      words: Number.isFinite(curvature.F)
        ? `${curvature.verdict} (F ${curvature.F.toFixed(2)}, critical ${curvature.critical.toFixed(2)})`
        : curvature.verdict,
      source: curvature.source,
    },
    {
      name: "size of the top addition",
      passed: top >= least && top <= most,
      words: `${top.toFixed(2)} times the content; ${least} to ${most} times is wanted`,
      source: PRACTICE,
    },
    {
      name: "sample without addition",
      passed: x.includes(0),
      words: x.includes(0) ? "injected" : "missing: the line is extrapolated further than needed",
      source: PRACTICE,
    },
    {
      name: "blank",
      passed: blank,
      words: blank ? "taken off" : "not given: a constant offset of the response is not cured by additions",
      source: PRACTICE,
    },
    ...(ratio ? [slopeCheck(ratio)] : []),
  ];
}

function slopeCheck(ratio: MeasuredValue): AdditionCheck {
  const passed = Math.abs(ratio.value - 1) <= 2 * ratio.u;
  const words = `${ratio.value.toFixed(3)} of the external slope, u ${ratio.u.toFixed(3)}: ${passed ? "no matrix effect seen" : "the matrix changes the response; the external calibration would be off by as much"}`;
  return { name: "matrix effect", passed, words, source: `${PRACTICE}: |ratio − 1| > 2 u` };
}

function studyText({ ion, concentration, checks }: AdditionStudy): string {
  const lines = checks.map(({ name, passed, words }) => `  ${passed ? "passed" : "look"}: ${name}: ${words}`);
  return [`standard addition${ion === undefined ? "" : ` of ${ion}`}: ${concentration}`, ...lines].join("\n");
}
