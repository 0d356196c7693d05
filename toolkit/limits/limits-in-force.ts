import { requireCalibration } from "../calibration/response/require-calibration.js";
import type { Calibration } from "../calibration/response/types.js";
import { IonbookError, isIonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { studentQuantile } from "../numeric/distributions.js";
import { checkErrorProbability, meanOf, standardDeviationOf } from "./check-replicates.js";
import { type Shown, shown } from "./shown.js";

export interface LimitsInForceData {
  readonly calibration: Calibration;
  /** Areas of the blanks over the ion's fixed window, in the calibration's response unit. */
  readonly blankAreas?: readonly number[];
  /** Or the blanks already as concentrations. */
  readonly blankConcentrations?: readonly number[];
  /** Lowest calibration level. @default the lowest level of the calibration above zero */
  readonly lowestLevel?: number;
  /** @default 0.05 */
  readonly alpha?: number;
  /** @default 0.05 */
  readonly beta?: number;
}

/** The limits by which results are judged, in the calibration's unit (mg/L as injected). */
export interface LimitsInForce extends Shown {
  readonly kind: "limits-in-force";
  /** A result below it is not detected. */
  readonly criticalValue: number;
  /** The content detected with probability 1 − β. */
  readonly detectionLimit: number;
  readonly quantificationLimit: number;
  /** Standard deviation of the blanks, or of a reading at zero by the calibration. */
  readonly standardDeviation: number;
  readonly dof: number;
  readonly from: "blanks" | "calibration";
  /** In words: which definition, how many blanks, what the quantification limit is. */
  readonly definition: string;
}

/** Fewer blanks than this say too little of their spread. */
const FEWEST_BLANKS = 4;
/** Quantified from this many standard deviations of the blanks (relative standard deviation 10 %). */
const QUANTIFIED_AT = 10;
const KNOWN_DATA = {
  calibration: true,
  blankAreas: true,
  blankConcentrations: true,
  lowestLevel: true,
  alpha: true,
  beta: true,
} as const;

/**
 * Critical value, detection limit and quantification limit of one ion.
 *
 * From four blanks on (Currie, mean of n₀ blanks estimated with their spread):
 *
 *     x_C = max(0, x̄₀) + t(1 − α, ν)·s₀·√(1 + 1/n₀),   ν = n₀ − 1
 *     x_D = x_C + t(1 − β, ν)·s₀·√(1 + 1/n₀)
 *
 * x̄₀, s₀ mean and standard deviation of the blanks as concentrations. Results are not blank-corrected, so x_C counts
 * from the blanks' mean; a mean below zero counts as zero, since no negative result shows presence. x_D takes 2t·s₀
 * instead of the noncentral δ·s₀ because only with it the *estimated* limit is missed with β on average.
 *
 * With fewer blanks, from the calibration (ISO 11843-2): x_C = t(1 − α, ν)·u, x_D = x_C + t(1 − β, ν)·u, u and ν the
 * standard uncertainty and degrees of freedom of the concentration read at the curve's own response to zero. With
 * weights that assume a constant relative scatter this u is small: the instrument's noise is not in it.
 *
 * Quantification limit: the larger of the lowest calibration level and 10·s₀ (blanks) or 10·u.
 *
 * @throws IonbookError "unknown-option", "bad-option", "bad-calibration", "bad-level", "not-a-number", those of the calibration's `concentration`
 * @source L. A. Currie, Pure Appl. Chem. 67 (1995) 1699; ISO 11843-2:2000
 */
export function limitsInForce(data: LimitsInForceData): LimitsInForce {
  requireKnownOptions(data, KNOWN_DATA, "limitsInForce");
  const { calibration, alpha = 0.05, beta = 0.05 } = data;
  requireCalibration(calibration, "limitsInForce");
  checkErrorProbability(alpha, "alpha");
  checkErrorProbability(beta, "beta");
  const lowestLevel = data.lowestLevel ?? lowestAboveZero(calibration);
  const blanks = blanksOf(data);
  const spread = blanks.length >= FEWEST_BLANKS ? standardDeviationOf(blanks) : 0;
  const zero = spread > 0 ? blankZero(blanks, spread) : calibrationZero(calibration, blanks.length);
  const criticalValue = zero.offset + studentQuantile(1 - alpha, zero.dof) * zero.u;
  const detectionLimit = criticalValue + studentQuantile(1 - beta, zero.dof) * zero.u;
  const bySpread = QUANTIFIED_AT * zero.s;
  const quantificationLimit = Math.max(lowestLevel, bySpread);
  const quantified =
    bySpread > lowestLevel
      ? `ten times the standard deviation of ${zero.of}`
      : "the lowest calibration level";
  const definition = `${zero.definition}, α = ${100 * alpha} %, β = ${100 * beta} %; quantification: ${quantified}`;
  const figures = {
    kind: "limits-in-force",
    criticalValue,
    detectionLimit,
    quantificationLimit,
    standardDeviation: zero.s,
    dof: zero.dof,
    from: zero.from,
    definition,
  } as const;
  const [c, d, q] = [criticalValue, detectionLimit, quantificationLimit].map((limit) => limit.toPrecision(3));
  return shown(
    figures,
    `critical value ${c}, detection limit ${d}, quantification limit ${q} (${definition})`,
  );
}

function blanksOf({
  calibration,
  blankConcentrations,
  blankAreas = [],
}: LimitsInForceData): readonly number[] {
  const blanks = blankConcentrations ?? blankAreas.map((area) => blankConcentration(calibration, area));
  const bad = blanks.find((blank) => !Number.isFinite(blank));
  if (bad !== undefined) {
    throw new IonbookError("not-a-number", `A blank is ${bad}: leave out blanks that were not measured`);
  }
  return blanks;
}

/** What a content of zero looks like. */
interface Zero {
  readonly from: "blanks" | "calibration";
  readonly offset: number;
  /** Standard deviation of one reading. */
  readonly s: number;
  /** Standard uncertainty of the difference that is judged. */
  readonly u: number;
  readonly dof: number;
  readonly of: string;
  readonly definition: string;
}

function blankZero(blanks: readonly number[], s: number): Zero {
  const n = blanks.length;
  const mean = meanOf(blanks);
  return {
    from: "blanks",
    offset: Math.max(0, mean),
    s,
    u: s * Math.sqrt(1 + 1 / n),
    dof: n - 1,
    of: "the blanks",
    definition: `Currie, ${n} blanks, above ${mean > 0 ? "their mean" : "zero"}`,
  };
}

function calibrationZero(calibration: Calibration, blanks: number): Zero {
  const atZero = calibration.concentration(calibration.respond(0));
  return {
    from: "calibration",
    offset: 0,
    s: atZero.u,
    u: atZero.u,
    dof: atZero.dof,
    of: "a reading at zero",
    definition: `ISO 11843-2 from the calibration (${blanks === 0 ? "no blanks" : `blanks: ${blanks}, too few or all alike`})`,
  };
}

/** A blank's concentration; below a parabola's vertex, where nothing can be read off, along the chord to the first level. */
function blankConcentration(calibration: Calibration, area: number): number {
  try {
    return calibration.concentration(area, { beyondRange: "allow" }).value;
  } catch (error) {
    if (!isIonbookError(error) || error.code !== "no-inverse") throw error;
    const level = lowestAboveZero(calibration);
    const zero = calibration.respond(0);
    return ((area - zero) * level) / (calibration.respond(level) - zero);
  }
}

function lowestAboveZero(calibration: Calibration): number {
  return Math.min(...calibration.points.map((point) => point.concentration).filter((x) => x > 0));
}
