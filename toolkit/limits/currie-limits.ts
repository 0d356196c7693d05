import { IonbookError } from "../errors.js";
import { studentQuantile } from "../numeric/distributions.js";
import { checkErrorProbability } from "./check-replicates.js";
import { detectionNoncentrality } from "./noncentrality.js";
import { type Shown, shown } from "./shown.js";

export interface CurrieOptions {
  /** σ₀ or its estimate s₀, in signal units. */
  readonly blankStandardDeviation: number;
  /** ν of s₀. @default Infinity: σ₀ is known */
  readonly dof?: number;
  /** Signal per concentration; the limits are divided by it. @default 1 */
  readonly sensitivity?: number;
  /** One blank is subtracted from each sample: σ of the difference is √2·σ₀. @default false */
  readonly paired?: boolean;
  /** Probability of a false positive. @default 0.05 */
  readonly alpha?: number;
  /** Probability of missing the detection limit. @default 0.05 */
  readonly beta?: number;
  /** Relative standard deviation that counts as quantified. @default 0.1 */
  readonly relativeStandardDeviation?: number;
  /** The signal is a count, whose variance grows with it (σ₀ = √B). Needs `dof` Infinity. @default false */
  readonly counting?: boolean;
}

export interface CurrieLimits extends Shown {
  readonly kind: "currie-limits";
  /** L_C: a net result above it is declared present. */
  readonly criticalLevel: number;
  /** L_D: the content detected with probability 1 − β, exact (noncentral t). */
  readonly detectionLimit: number;
  /** (t(1 − α) + t(1 − β))·σ: what is used for L_D when δ·s is not at hand; 2·L_C for α = β. */
  readonly detectionLimitByTwoT: number;
  /** L_Q: the content measured with the relative standard deviation asked for. */
  readonly determinationLimit: number;
  readonly alpha: number;
  readonly beta: number;
  readonly dof: number;
}

/**
 * Critical level, detection limit and determination limit from the spread of blanks:
 *
 *     L_C = t(1 − α, ν)·σ/S,   L_D = δ(α, β, ν)·σ/S,   L_Q = σ/(RSD·S)
 *
 * σ = σ₀, or √2·σ₀ where each sample has its own blank subtracted; S sensitivity (signal per mg/L); δ the
 * noncentrality of t, z(1 − α) + z(1 − β) for a known σ₀. All for the net signal (blank subtracted). For counts the
 * variance grows with the content: L_D = L_C + z²/2 + z·√(z²/4 + L_C + σ²) with z = z(1 − β), and
 * L_Q = (k²/2)(1 + √(1 + 4σ²/k²)), k = 1/RSD.
 *
 * A content at an *estimated* δ·s₀ is missed a little more often than β on average (6.3 % instead of 5 % at ν = 4);
 * at the estimated 2t·s₀ exactly with β (`detectionLimitByTwoT`).
 *
 * @throws IonbookError "bad-spread", "bad-sensitivity", "bad-level", "out-of-domain" for ν ≤ 0, "counts-have-no-dof"
 * @source L. A. Currie, Anal. Chem. 40 (1968) 586; Pure Appl. Chem. 67 (1995) 1699
 */
export function currieLimits(data: CurrieOptions): CurrieLimits {
  if (typeof data?.blankStandardDeviation !== "number") {
    throw new IonbookError(
      "bad-spread",
      "currieLimits needs the standard deviation of the blanks, not the blanks themselves: " +
        "currieLimits({ blankStandardDeviation: standardDeviation(blanks), dof: blanks.length - 1 })",
    );
  }
  const { dof = Infinity, sensitivity = 1, alpha = 0.05, beta = 0.05, counting = false } = data;
  checkOptions(data, sensitivity);
  checkErrorProbability(alpha, "alpha");
  checkErrorProbability(beta, "beta");
  const sigma = data.blankStandardDeviation * (data.paired ? Math.SQRT2 : 1);
  const k = 1 / (data.relativeStandardDeviation ?? 0.1);
  const t = studentQuantile(1 - alpha, dof);
  const tBeta = studentQuantile(1 - beta, dof);
  const critical = t * sigma;
  const detection = counting
    ? critical + tBeta ** 2 / 2 + tBeta * Math.sqrt(tBeta ** 2 / 4 + critical + sigma ** 2)
    : detectionNoncentrality(alpha, beta, dof) * sigma;
  const determination = counting ? (k * k * (1 + Math.sqrt(1 + (4 * sigma ** 2) / (k * k)))) / 2 : k * sigma;
  const figures = {
    kind: "currie-limits",
    criticalLevel: critical / sensitivity,
    detectionLimit: detection / sensitivity,
    detectionLimitByTwoT: (t + tBeta) * (sigma / sensitivity),
    determinationLimit: determination / sensitivity,
    alpha,
    beta,
    dof,
  } as const;
  return shown(
    figures,
    `critical level ${figures.criticalLevel.toPrecision(3)}, ` +
      `detection limit ${figures.detectionLimit.toPrecision(3)}, ` +
      `determination limit ${figures.determinationLimit.toPrecision(3)} (Currie, α = ${alpha}, β = ${beta})`,
  );
}

function checkOptions(data: CurrieOptions, sensitivity: number): void {
  const { blankStandardDeviation: s, relativeStandardDeviation: rsd = 0.1 } = data;
  if (!(s > 0 && s < Infinity)) {
    throw new IonbookError(
      "bad-spread",
      `The blanks' standard deviation is ${s}: it must be above zero. Where blanks show no peak, take areas over a ` +
        "fixed window or low spikes",
    );
  }
  if (!(sensitivity > 0 && sensitivity < Infinity)) {
    throw new IonbookError("bad-sensitivity", `The sensitivity is ${sensitivity}: it must be above zero`);
  }
  if (!(rsd > 0 && rsd < 1)) {
    throw new IonbookError("bad-level", `relativeStandardDeviation is ${rsd}: write 0.1 for 10 %`);
  }
  if (data.counting && (data.dof ?? Infinity) !== Infinity) {
    throw new IonbookError(
      "counts-have-no-dof",
      "The spread of counts follows from the counts: leave out dof, or leave out counting",
    );
  }
}
