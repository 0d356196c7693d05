import { studentQuantile } from "../../numeric/distributions.js";
import { levelCount } from "../response/levels.js";
import type { CalibrationModel, CalibrationWarning, StandardReading } from "../response/types.js";
import type { ExpectedScatter } from "../weights/expected-scatter.js";
import { levelOffText, suspiciousLevel } from "./suspicious-levels.js";

/** What the warnings look at. */
export interface WarnedCurve {
  readonly ion: string | undefined;
  readonly unit: string;
  readonly model: CalibrationModel;
  readonly used: readonly StandardReading[];
  readonly rejected: readonly StandardReading[];
  readonly coefficients: readonly number[];
  readonly standardErrors: readonly number[];
  readonly dof: number;
  /** Responses at the ends of the range. */
  readonly ends: readonly number[];
  /** What replicates let one expect of a reading, where the weights are fitted to them. */
  readonly expected: ExpectedScatter | undefined;
}

/** Fewest levels above zero (Standard Methods 4020 and 6020). */
const FEWEST_LEVELS = { line: 5, parabola: 6 } as const;
/** Squared relative half-width of the slope above which value ± k·u is no longer a fair interval. */
const UNSURE_SLOPE = 0.05;
/** Below so many degrees of freedom t doubles the interval (2.78 at 4, 3.18 at 3, 4.30 at 2). */
const FEWEST_DOF = 3;
/** p below which replicates do not scatter as a variance function can. */
const OTHER_FORM = 0.01;

/**
 * What is wrong with a calibration though it can be computed. Each warning has a code and says what to do.
 * @source fewest levels: Standard Methods 4020, 6020; g: E. C. Fieller 1954; at most one rejected reading and none of
 *   an end level without a shorter range: common practice, no source; scatter: Bartlett's test (see `ExpectedScatter`)
 */
export function calibrationWarnings(curve: WarnedCurve): readonly CalibrationWarning[] {
  return [
    ...levelOff(curve),
    ...unsureSlope(curve),
    ...turning(curve),
    ...fewLevels(curve),
    ...leftOut(curve),
    ...thinScatter(curve),
    ...otherForm(curve),
  ];
}

function thinScatter({ expected, ends, unit, used }: WarnedCurve): CalibrationWarning[] {
  if (!expected) return [];
  const dofs = ends.map((response) => expected.dof(response));
  if (dofs.every((dof) => dof >= FEWEST_DOF)) return [];
  const least = Math.min(...dofs);
  const values = used.map(({ concentration }) => concentration);
  const at = least === dofs[0] ? Math.min(...values) : Math.max(...values);
  const t = studentQuantile(0.975, least);
  return [
    {
      code: "thin-scatter",
      message: `The scatter at ${at} ${unit} rests on ${least === 1 ? "one degree" : "two degrees"} of freedom: intervals there are ${(t / 1.96).toFixed(1)} times as wide as with known scatter. Inject this level more often (five times or more), or state standard deviations`,
      concentration: at,
    },
  ];
}

function otherForm({ expected }: WarnedCurve): CalibrationWarning[] {
  const p = expected?.formP();
  if (p === undefined || !(p < OTHER_FORM)) return [];
  return [
    {
      code: "scatter-form",
      message: `The replicates do not scatter as √(s₀² + (θy)²) (p = ${significant(p)}): between the ends of the range intervals may hold the truth in fewer than 95 %. State standard deviations, or choose "1/x" where they grow as the root`,
    },
  ];
}

function levelOff({ used, ion, unit }: WarnedCurve): CalibrationWarning[] {
  const found = suspiciousLevel(used, ion);
  if (!found) return [];
  return [
    {
      code: found.slip === undefined ? "level-off" : "level-slip",
      message: levelOffText(found, unit),
      concentration: found.concentration,
    },
  ];
}

function unsureSlope({ model, coefficients, standardErrors, dof, unit }: WarnedCurve): CalibrationWarning[] {
  if (model !== "linear" && model !== "through-zero") return [];
  const g = (studentQuantile(0.975, dof) * standardErrors[1]) ** 2 / coefficients[1] ** 2;
  if (!(g > UNSURE_SLOPE)) return [];
  if (g >= 1) {
    return [
      {
        code: "flat-line",
        message: `The response does not rise significantly with the concentration (g = ${significant(g)}): nothing can be read off this line. Look for the right peak, or add levels`,
      },
    ];
  }
  return [
    {
      code: "unsure-slope",
      message: `The slope is known to ${significant(100 * Math.sqrt(g))} % only (g = ${significant(g)} above ${UNSURE_SLOPE}): take Fieller's interval in ${unit}, calibration.interval(response)`,
    },
  ];
}

function turning({ model, coefficients, used, unit }: WarnedCurve): CalibrationWarning[] {
  if (model !== "quadratic") return [];
  const [, b1, b2] = coefficients;
  const vertex = -b1 / (2 * b2);
  const values = used.map(({ concentration }) => concentration);
  if (!(vertex > Math.min(...values) && vertex < 1.2 * Math.max(...values))) return [];
  return [
    {
      code: "vertex-in-range",
      message: `The parabola turns at ${significant(vertex)} ${unit}, in or near the range: responses there belong to two concentrations or none. Shorten the range, or take "weak" for a weak acid or base`,
    },
  ];
}

function fewLevels({ model, used, unit }: WarnedCurve): CalibrationWarning[] {
  const count = levelCount(used, true);
  const wanted = model === "quadratic" ? FEWEST_LEVELS.parabola : FEWEST_LEVELS.line;
  if (count >= wanted) return [];
  return [
    {
      code: "few-levels",
      message: `${count} levels above 0 ${unit}: ${wanted} are asked for (Standard Methods ${model === "quadratic" ? 6020 : 4020})`,
    },
  ];
}

function leftOut({ used, rejected, unit }: WarnedCurve): CalibrationWarning[] {
  const warnings: CalibrationWarning[] = [];
  if (rejected.length > 1) {
    warnings.push({
      code: "many-rejected",
      message: `${rejected.length} readings are left out: more than one a curve asks for a new calibration`,
    });
  }
  const values = used.map(({ concentration }) => concentration);
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const outside = rejected
    .map(({ concentration }) => concentration)
    .filter((x) => x > 0 && (x < low || x > high));
  if (outside.length > 0) {
    warnings.push({
      code: "range-shortened",
      message: `No reading is left at ${[...new Set(outside)].join(", ")} ${unit}: the range is now ${low} to ${high} ${unit}`,
    });
  }
  return warnings;
}

function significant(value: number): string {
  return String(Number(value.toPrecision(3)));
}
