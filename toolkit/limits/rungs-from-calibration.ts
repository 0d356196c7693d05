import { calibrate } from "../calibration/curve/calibrate.js";
import type { Calibration, StandardReading } from "../calibration/response/types.js";
import { isIonbookError } from "../errors.js";
import {
  doubtsOfLine,
  type LimitStandard,
  type LineLimits,
  type LineOptions,
  limitsOfLine,
} from "./calibration-limits.js";
import type { LadderContext } from "./ladder-data.js";
import type { LadderLimit, LimitRole, LimitRung } from "./ladder-types.js";
import { type Definition, type Found, rungOf, spreadLimit } from "./rung-draft.js";
import { spreadFactors } from "./spread.js";

/** Standards over more than this ratio scatter too unequally for one unweighted line (common practice, no source). */
const WIDE = 100;

/** Residuals below this part of the largest response are rounding. */
const ROUNDING = 1e-12;

/** Relative half-width that counts as quantified: k = 3. */
const USUAL = 1 / 3;
const INSTRUMENT = "sees the instrument, not the procedure";
const NEEDS =
  "standards from near zero (lowest within five detection limits) on a straight line that rises beyond doubt";

/** Every definition that rests on a straight line near zero. */
export function rungsFromCalibration(context: LadderContext): readonly LimitRung[] {
  const { unit, calibration } = context;
  const line = lineOf(calibration);
  const doubts = typeof line === "string" ? [] : doubtsOf(line);
  const rung = (
    id: Definition["id"],
    name: string,
    standard: string,
    formula: string,
    found: (line: Calibration) => Found | string,
  ): LimitRung => {
    const definition: Definition = {
      id,
      name,
      standard,
      formula,
      from: "calibration",
      needs: NEEDS,
      remark: INSTRUMENT,
    };
    return rungOf(definition, unit, typeof line === "string" ? line : withDoubts(found(line), doubts));
  };
  const band = (standard: LimitStandard) => (straight: Calibration) => byBand(straight, context, standard);
  const plain = typeof line === "string" ? [] : plainDoubts(line);
  const ich = (sigma: (line: Calibration) => number) => (straight: Calibration) =>
    bySigma(straight, sigma(straight), unit, plain);
  const ICH = "ICH Q2(R2)";
  return [
    rung(
      "ich-residual",
      "ICH, σ of the residuals",
      ICH,
      "3.3σ/b, 10σ/b; σ = s_y",
      ich((l) => l.residualStandardDeviation),
    ),
    rung(
      "ich-intercept",
      "ICH, σ of the intercept",
      ICH,
      "3.3σ/b, 10σ/b; σ = s(b₀)",
      ich((l) => l.classical.standardErrors[0]),
    ),
    rung(
      "iso-11843-2",
      "ISO 11843-2",
      "ISO 11843-2:2000",
      "t(1 − α, ν)·(s/b)·√(1/m + 1/n + x̄²/S_xx); x_D = δ·…",
      band("ISO 11843-2"),
    ),
    rung(
      "hubaux-vos",
      "calibration band",
      "Hubaux and Vos, Anal. Chem. 42 (1970) 849",
      "lower prediction band at x_D meets y_C",
      band("Hubaux-Vos"),
    ),
    rung(
      "din-32645",
      "DIN 32645, with its relative-uncertainty limit",
      "DIN 32645:2008",
      "x_C as ISO; x_D by 2t; x_Q = 3·t(1 − α/2, ν)·(s/b)·√(1/m + 1/n + (x_Q − x̄)²/S_xx)",
      band("DIN 32645"),
    ),
  ];
}

/** The unweighted line, or why there is none. */
function lineOf(points: readonly StandardReading[]): Calibration | string {
  if (points.length === 0) return "no standards were given";
  const line = attempt(() => calibrate(points));
  if (typeof line === "string") return line;
  const largest = Math.max(...points.map(({ response }) => Math.abs(response)));
  if (line.residualStandardDeviation > ROUNDING * largest) return line;
  return "the standards lie on the line to the last digit: there is no scatter to take";
}

/** A result, or the message of a fault in the data that leaves the rung empty. */
function attempt<T>(call: () => T): T | string {
  try {
    return call();
  } catch (error) {
    const missing = [
      "too-few-points",
      "too-few-levels",
      "falling-line",
      "no-finite-limit",
      "dependent-columns",
    ];
    if (isIonbookError(error) && missing.includes(error.code)) return error.message;
    throw error;
  }
}

/** What speaks against a line through these standards: a range too wide for one scatter, and a response that bends. */
function doubtsOf(line: Calibration): readonly string[] {
  const levels = line.points.map(({ concentration }) => concentration).filter((x) => x > 0);
  const ratio = Math.max(...levels) / Math.min(...levels);
  const doubts: string[] = [];
  if (ratio > WIDE) {
    doubts.push(
      `the standards span ${ratio.toPrecision(2)}-fold: scatter that grows with content makes the limit too large; take those near zero`,
    );
  }
  const { F, critical } = line.mandel();
  if (F > critical) {
    doubts.push(
      `the response bends (Mandel F ${F.toPrecision(3)} against ${critical.toPrecision(3)}): its distance from a line is taken for scatter`,
    );
  }
  return doubts;
}

function withDoubts(found: Found | string, doubts: readonly string[]): Found | string {
  return typeof found === "string" ? found : { ...found, doubts: [...(found.doubts ?? []), ...doubts] };
}

/** What DIN 32645 doubts in a line holds for the plain multiples of its scatter too. */
function plainDoubts(line: Calibration): readonly string[] {
  const options: LineOptions = {
    standard: "DIN 32645",
    alpha: 0.05,
    beta: 0.05,
    replicates: 1,
    relativeUncertainty: USUAL,
  };
  const doubts = attempt(() => doubtsOfLine(line, limitsOfLine(line, options).detectionLimit));
  return typeof doubts === "string" ? [doubts] : doubts;
}

function bySigma(line: Calibration, sigma: number, unit: string, doubts: readonly string[]): Found {
  const perSlope = sigma / line.coefficients[1];
  return {
    limits: [
      spreadLimit("detection limit", unit, 3.3 * perSlope, line.dof),
      spreadLimit("quantification limit", unit, 10 * perSlope, line.dof),
    ],
    doubts,
    dof: line.dof,
  };
}

/** The limits of a standard, and what they would be with the scatter at both ends of its interval. */
function byBand(line: Calibration, context: LadderContext, standard: LimitStandard): Found | string {
  const { alpha, beta, replicates, unit } = context;
  const options: LineOptions = { standard, alpha, beta, replicates, relativeUncertainty: USUAL };
  const at = (scatter: number) => attempt(() => limitsOfLine(line, options, scatter));
  const found = at(1);
  if (typeof found === "string") return found;
  const { low, high } = spreadFactors(line.dof);
  const least = at(low);
  const most = at(high);
  const limit = (role: LimitRole, of: (limits: LineLimits) => number | undefined): LadderLimit[] => {
    const value = of(found);
    if (value === undefined) return [];
    const [lowEnd, highEnd] = [least, most].map((end) => (typeof end === "string" ? undefined : of(end)));
    const interval =
      lowEnd === undefined ? undefined : { low: lowEnd, high: highEnd ?? Infinity, level: 0.95 };
    return [{ role, value, unit, interval }];
  };
  return {
    limits: [
      ...limit("critical value", (l) => l.criticalValue),
      ...limit("detection limit", (l) => l.detectionLimit),
      ...limit("quantification limit", (l) => l.quantificationLimit),
    ],
    doubts: doubtsOfLine(line, found.detectionLimit),
    dof: line.dof,
  };
}
