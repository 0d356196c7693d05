import { IonbookError } from "../errors.js";
import { requireKnownOptions } from "../ions/known-options.js";
import { noncentralStudentCdf, studentQuantile } from "../numeric/distributions.js";
import { checkErrorProbability } from "./check-replicates.js";
import type { LimitLadder } from "./ladder-types.js";
import { detectionNoncentrality } from "./noncentrality.js";
import { type Shown, shown } from "./shown.js";
import { spreadFactors } from "./spread.js";

export interface PowerData {
  /** s of the difference that is judged, at a content of zero. */
  readonly standardDeviation: number;
  /** ν of s. @default Infinity: σ is known */
  readonly dof?: number | undefined;
  /** θ: relative standard deviation far above zero; the scatter at c is √(s² + (θc)²). @default 0 */
  readonly relative?: number | undefined;
  /** @default 0.05 */
  readonly alpha?: number | undefined;
  /** @default 0.05 */
  readonly beta?: number | undefined;
  /** @default "mg/L" */
  readonly unit?: string | undefined;
  readonly ion?: string | undefined;
  /** Contents to compute; else 61 from zero to well beyond the detection limit. */
  readonly concentrations?: readonly number[] | undefined;
}

export interface PowerPoint {
  readonly concentration: number;
  /** Probability of a result above the critical value. */
  readonly probability: number;
  /** The same for the ends of the 95 % interval of σ; equal to `probability` for a known σ. */
  readonly low: number;
  readonly high: number;
}

/** Probability of detection against content. */
export interface PowerCurve extends Shown {
  readonly kind: "power-curve";
  readonly ion: string | undefined;
  readonly unit: string;
  readonly points: readonly PowerPoint[];
  /** t(1 − α, ν)·s */
  readonly criticalValue: number;
  /** The content detected with probability 1 − β if σ = s. */
  readonly detectionLimit: number;
  readonly standardDeviation: number;
  readonly relative: number;
  readonly dof: number;
  readonly alpha: number;
  readonly beta: number;
  /** Probability of detection of one content. */
  at(concentration: number): PowerPoint;
}

const KNOWN: Readonly<Record<keyof PowerData, true>> = {
  standardDeviation: true,
  dof: true,
  relative: true,
  alpha: true,
  beta: true,
  unit: true,
  ion: true,
  concentrations: true,
};

/**
 * How likely a content is detected when results above t(1 − α, ν)·s are called present:
 *
 *     P(c) = 1 − F(t(1 − α, ν)·σ/σ_c; ν, c/σ_c),   σ_c² = σ² + (θc)²
 *
 * F distribution of the noncentral t. It starts at α for a content of zero and passes 1 − β at δ(α, β, ν)·σ. The curve
 * takes σ = s; the band shows what σ may be by the 95 % interval of s (χ²). Contents c count from the blanks' mean, in
 * `unit` (mg/L). A ladder gives its blanks' spread, and θ where it has spikes.
 *
 * @param data the spread, or a ladder with blanks
 * @throws IonbookError "bad-spread", "bad-level", "unknown-option", "negative-concentration", "out-of-domain" for ν ≤ 0
 * @source ISO 11843-2:2000; L. A. Currie, Pure Appl. Chem. 67 (1995) 1699; with θ derived
 */
export function powerCurve(data: PowerData | LimitLadder): PowerCurve {
  const given = isLadder(data) ? fromLadder(data) : data;
  if (!isLadder(data)) requireKnownOptions(data, KNOWN, "powerCurve");
  const {
    standardDeviation: s,
    dof = Infinity,
    relative = 0,
    alpha = 0.05,
    beta = 0.05,
    unit = "mg/L",
    ion,
  } = given;
  checkErrorProbability(alpha, "alpha");
  checkErrorProbability(beta, "beta");
  if (!(s > 0 && s < Infinity) || !(relative >= 0 && relative < Infinity)) {
    throw new IonbookError(
      "bad-spread",
      `powerCurve needs standardDeviation above zero and relative not below: they are ${String(s)} and ${String(relative)}`,
    );
  }
  const t = studentQuantile(1 - alpha, dof);
  const factors = spreadFactors(dof);
  const at = (concentration: number): PowerPoint => {
    if (!(concentration >= 0 && concentration < Infinity)) {
      throw new IonbookError(
        "negative-concentration",
        `A content is ${String(concentration)}: give numbers from zero`,
      );
    }
    const power = (factor: number) => {
      const sigma = factor * s;
      const there = Math.hypot(sigma, relative * concentration);
      return 1 - noncentralStudentCdf((t * sigma) / there, dof, concentration / there);
    };
    return { concentration, probability: power(1), low: power(factors.high), high: power(factors.low) };
  };
  const detectionLimit = detectedAt(at, detectionNoncentrality(alpha, beta, dof) * s, beta);
  const points = (given.concentrations ?? spaced(2.5 * detectionLimit)).map(at);
  const figures = {
    kind: "power-curve",
    ion,
    unit,
    points,
    criticalValue: t * s,
    detectionLimit,
    standardDeviation: s,
    relative,
    dof,
    alpha,
    beta,
    at,
  } as const;
  return shown(figures, textOf(figures));
}

function textOf({
  ion,
  unit,
  criticalValue,
  detectionLimit,
  alpha,
  beta,
  at,
}: Omit<PowerCurve, keyof Shown>): string {
  const half = at(criticalValue).probability;
  return (
    `power of detection${ion === undefined ? "" : ` of ${ion}`}: ${100 * alpha} % of blanks are called present, ` +
    `a content of ${criticalValue.toPrecision(3)} ${unit} (critical value) is detected with ${(100 * half).toFixed(0)} %, ` +
    `${detectionLimit.toPrecision(3)} ${unit} with ${100 * (1 - beta)} %`
  );
}

function isLadder(data: PowerData | LimitLadder): data is LimitLadder {
  return (data as { readonly kind?: unknown } | null)?.kind === "limit-ladder";
}

function fromLadder(ladder: LimitLadder): PowerData {
  const { spread, alpha, beta, unit, ion } = ladder;
  if (spread === undefined) {
    throw new IonbookError(
      "bad-spread",
      "This ladder has no spread of blanks: give limitLadder at least four blanks, or powerCurve a standardDeviation",
    );
  }
  const { ofDifference, dof, relative } = spread;
  return { standardDeviation: ofDifference, dof, relative, alpha, beta, unit, ion };
}

/** The content with probability 1 − β: δ·s for a constant scatter, more where it grows; by bisection. */
function detectedAt(at: (c: number) => PowerPoint, constant: number, beta: number): number {
  if (Math.abs(at(constant).probability - (1 - beta)) < 1e-9) return constant;
  let [low, high] = [constant, constant];
  while (at(high).probability < 1 - beta) {
    high *= 2;
    if (high > 1e6 * constant) {
      throw new IonbookError(
        "no-finite-limit",
        "The scatter grows so fast with the content that none is detected with the probability asked for: lower relative",
      );
    }
  }
  for (let i = 0; i < 60 && high - low > 1e-12 * high; i++) {
    const middle = (low + high) / 2;
    if (at(middle).probability < 1 - beta) low = middle;
    else high = middle;
  }
  return high;
}

const STEPS = 60;

function spaced(to: number): readonly number[] {
  return Array.from({ length: STEPS + 1 }, (_, i) => (to * i) / STEPS);
}
